package bellpush.config.model;

import java.math.BigInteger;
import java.time.Duration;

/**
 * Frames per second as an exact fraction, such as 30000/1001. Source of the rates: ITU-R BT.709 part 2, SMPTE ST 12-1.
 */
public record FrameRate(long numerator, long denominator) {
    public FrameRate {
        if (numerator <= 0 || denominator <= 0) {
            throw new IllegalArgumentException("a frame rate is a positive fraction");
        }
    }

    /** The time of {@code frames} frames, kept as a fraction and rounded once, to the nearest nanosecond, half up. */
    public Duration of(long frames) {
        BigInteger top = BigInteger.valueOf(frames).multiply(BigInteger.valueOf(denominator))
                .multiply(BigInteger.valueOf(2_000_000_000L)).add(BigInteger.valueOf(numerator));
        return Duration.ofNanos(top.divide(BigInteger.valueOf(numerator).shiftLeft(1)).longValueExact());
    }

    @Override
    public String toString() {
        return denominator == 1 ? Long.toString(numerator) : numerator + "/" + denominator;
    }
}
