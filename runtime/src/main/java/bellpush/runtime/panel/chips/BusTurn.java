package bellpush.runtime.panel.chips;

import java.util.concurrent.TimeUnit;

/**
 * Whose turn it is on one physical bus: whoever has it may make a transfer there, and may touch the state of the chips on it.
 * <p>
 * Those who set lamps {@link #take} it and wait until they get it. The thread {@code chips} reads for all buses and so never waits for
 * one: it {@link #tryTake}s its turn, is woken when a turn that it was refused is free, and goes before those who wait. So a press
 * waits for the one transfer that is under way on its own bus, and for none on another.
 */
public final class BusTurn {
    /** The thread {@code chips} comes within a moment. At the end of a show it does not come at all. */
    private static final long GIVE_WAY_NANOS = 20_000_000;

    private final Runnable wake;
    private Thread holder;
    /** How often the holder has taken it and not given it back. */
    private int taken;
    private boolean refused;

    /** @param wake wakes the thread {@code chips}; returns at once */
    public BusTurn(Runnable wake) {
        this.wake = wake;
    }

    /** Waits for the transfer that is under way, and lets one reader go first. From any thread, also from one that has it. */
    synchronized void take() {
        Thread me = Thread.currentThread();
        boolean interrupted = false;
        long end = System.nanoTime() + GIVE_WAY_NANOS;
        while (holder != me && (holder != null || refused)) {
            long left = end - System.nanoTime();
            if (holder == null && left <= 0) {
                refused = false; // nobody reads any more
                break;
            }
            try {
                if (holder == null) {
                    TimeUnit.NANOSECONDS.timedWait(this, left);
                } else {
                    wait();
                    end = System.nanoTime() + GIVE_WAY_NANOS;
                }
            } catch (InterruptedException e) {
                interrupted = true; // a lamp that is half set would be worse
            }
        }
        holder = me;
        taken++;
        if (interrupted) {
            me.interrupt();
        }
    }

    /** Does not wait. @return whether it was taken; if not, the thread {@code chips} is woken when it may be */
    synchronized boolean tryTake() {
        if (!mayTake()) {
            return false;
        }
        holder = Thread.currentThread();
        taken++;
        refused = false;
        return true;
    }

    /** Whether {@link #tryTake} would take it now; if not, as there. */
    synchronized boolean mayTake() {
        boolean may = holder == null || holder == Thread.currentThread();
        refused |= !may;
        return may;
    }

    /** Does something in its turn, for which it waits as {@link #take} does. */
    void during(Runnable work) {
        take();
        try {
            work.run();
        } finally {
            give();
        }
    }

    /** Does something if it need not wait, as {@link #tryTake} does not. */
    void ifFree(Runnable work) {
        if (tryTake()) {
            try {
                work.run();
            } finally {
                give();
            }
        }
    }

    void give() {
        synchronized (this) {
            taken--;
            if (taken > 0) {
                return;
            }
            holder = null;
            notifyAll();
            if (!refused) {
                return;
            }
        }
        wake.run();
    }

    /** Something has happened on this bus that the thread {@code chips} should look after. */
    void wake() {
        wake.run();
    }
}
