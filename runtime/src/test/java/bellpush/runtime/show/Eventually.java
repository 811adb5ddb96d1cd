package bellpush.runtime.show;

import java.util.concurrent.locks.LockSupport;
import java.util.function.BooleanSupplier;

/** Waits for what another thread will do, with a deadline that a slow machine does not miss. */
public final class Eventually {
    private static final long DEADLINE_NANOS = 10_000_000_000L;

    private Eventually() {}

    public static void that(String what, BooleanSupplier holds) {
        long deadline = System.nanoTime() + DEADLINE_NANOS;
        while (!holds.getAsBoolean()) {
            if (System.nanoTime() - deadline > 0) {
                throw new AssertionError("after ten seconds it still does not hold that " + what);
            }
            LockSupport.parkNanos(2_000_000);
        }
    }
}
