package bellpush.runtime.panel.chips;

import java.util.concurrent.locks.LockSupport;

/** Time, so that tests can hand in their own. */
public interface Clock {
    Clock REAL = new Clock() {
        @Override
        public long nanos() {
            return System.nanoTime();
        }

        @Override
        public void pause(long nanos) {
            long end = nanos() + nanos;
            for (long left = nanos; left > 0 && !Thread.currentThread().isInterrupted(); left = end - nanos()) {
                LockSupport.parkNanos(left);
            }
        }
    };

    /** As {@link System#nanoTime()}. */
    long nanos();

    /** Lets time pass. Only for what happens at the start and after faults: it holds up everything on the thread. */
    void pause(long nanos);
}
