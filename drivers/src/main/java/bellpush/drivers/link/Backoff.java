package bellpush.drivers.link;

import java.time.Duration;
import java.util.random.RandomGenerator;

/**
 * How long to wait before connecting again: 0.25 s, doubling up to 10 s, each give or take a fifth, so that a room full of
 * gear that comes back after a power cut is not knocked over by everybody at once. Never above 10 s.
 */
public final class Backoff {
    /** A link that was up for this long was a real one: the next wait is the short one again. */
    public static final Duration PROVEN = Duration.ofSeconds(5);

    private static final long FIRST_NANOS = 250_000_000;
    private static final long LONGEST_NANOS = 10_000_000_000L;
    private static final double JITTER = 0.2;

    private final RandomGenerator random;
    private long nextNanos = FIRST_NANOS;

    public Backoff(RandomGenerator random) {
        this.random = random;
    }

    /** The wait before the next attempt, in nanoseconds; the one after it is twice as long. */
    public long nextNanos() {
        double spread = 1 + JITTER * (2 * random.nextDouble() - 1);
        long wait = Math.min(LONGEST_NANOS, Math.round(nextNanos * spread));
        nextNanos = Math.min(LONGEST_NANOS, nextNanos * 2);
        return wait;
    }

    /** The device has proved to be there. */
    public void reset() {
        nextNanos = FIRST_NANOS;
    }
}
