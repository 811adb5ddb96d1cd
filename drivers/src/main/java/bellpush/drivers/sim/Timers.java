package bellpush.drivers.sim;

/** Time, given from outside, so that tests need not wait. Everything runs on one thread. */
interface Timers {
    /** A clock that only goes forward, in nanoseconds; only differences mean something. */
    long nowNanos();

    /** Runs the task once after the delay (0: soon), unless it is cancelled before. */
    Timer after(long delayNanos, Runnable task);

    interface Timer {
        void cancel();
    }
}
