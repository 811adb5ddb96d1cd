package bellpush.runtime.panel.chips;

import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.locks.LockSupport;

/**
 * The thread {@code chips}: goes round the chores of a panel, the most overdue one first, and sleeps until the next is due. A chore
 * that was started by an interrupt goes before those that only poll.
 */
public final class ChipsThread implements AutoCloseable {
    private static final long CLOSE_WAIT_MS = 3_000; // a bus that hangs lets go after a second

    private final List<Chore> chores = new CopyOnWriteArrayList<>();
    private final Clock clock;
    private final Thread thread = new Thread(this::loop, "chips");
    private volatile boolean closing;

    public ChipsThread(Clock clock) {
        this.clock = clock;
        thread.setDaemon(true);
    }

    /** From any thread. */
    public void add(Chore chore) {
        chores.add(chore);
        wake();
    }

    public void start() {
        thread.start();
    }

    /** A chore may be due earlier than it said. From any thread; cheap. */
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
            next.run(now);
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

    /** Waits until the chore that is running has ended. No chore runs after that. */
    @Override
    public void close() {
        closing = true;
        wake();
        try {
            thread.join(CLOSE_WAIT_MS);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }
}
