package bellpush.runtime.panel.chips;

import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.locks.LockSupport;
import java.util.function.Consumer;

/**
 * A thread that goes round chores, the most overdue one first, and sleeps until the next is due. A chore that was started by an
 * interrupt goes before those that only poll. {@code chips} reads the chips of a panel, {@code strips} tells strips again what they show.
 */
public final class ChipsThread implements Round {
    private static final long CLOSE_WAIT_MS = 3_000; // a bus that hangs lets go after a second

    private final List<Chore> chores = new CopyOnWriteArrayList<>();
    private final Clock clock;
    private final Consumer<String> failed;
    private final Thread thread;
    private volatile boolean closing;

    /** @param name of the thread @param failed takes a sentence for the log */
    public ChipsThread(String name, Clock clock, Consumer<String> failed) {
        this.clock = clock;
        this.failed = failed;
        thread = new Thread(this::loop, name);
        thread.setDaemon(true);
    }

    @Override
    public void add(Chore chore) {
        chores.add(chore);
        wake();
    }

    @Override
    public void start() {
        thread.start();
    }

    @Override
    public void wake() {
        LockSupport.unpark(thread);
    }

    /** Runs one chore if one is due. @return how long until one is due; 0 or less: one is due now, or has just been run */
    long runDue(long now) {
        Chore next = null;
        long least = Chore.NEVER;
        for (Chore chore : chores) {
            long wait = chore.waitNanos(now);
            if (wait < least) {
                least = wait;
                next = chore;
            }
        }
        if (next != null && least <= 0) {
            try {
                next.run(now);
            } catch (RuntimeException e) {
                // One chore that fails must not silence the others; it is left out, as its chip would be.
                chores.remove(next);
                failed.accept("A chip is no longer looked after, since the program has made a mistake (" + e
                        + "). Start it again, and tell whoever looks after the program.");
            }
        }
        return least;
    }

    private void loop() {
        while (!closing) {
            long wait = runDue(clock.nanos());
            if (wait == Chore.NEVER) {
                LockSupport.park(this);
            } else if (wait > 0) {
                LockSupport.parkNanos(this, wait);
            }
        }
    }

    @Override
    public void close() {
        closing = true;
        wake();
        if (thread.getState() == Thread.State.NEW) {
            return;
        }
        try {
            thread.join(CLOSE_WAIT_MS);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }
}
