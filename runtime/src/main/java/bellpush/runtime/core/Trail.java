package bellpush.runtime.core;

import java.util.ArrayDeque;
import java.util.Deque;
import java.util.stream.Stream;

/**
 * What a glide has sent lately, against which a report is held: is it of ours, or has somebody moved the thing at the device?
 * In doubt it is ours. Reports come late, devices are slow and round, and a glide that ends without need is no better than
 * one that goes on against a hand. Times are monotonic nanoseconds.
 */
final class Trail {
    /** So old a value may still be told; a device that takes its time, so much longer. Common practice, no source. */
    private static final long TOLD_WITHIN_NANOS = 2_000_000_000L;
    /** What was under way when the glide began may be told for so long. Common practice, no source. */
    private static final long GRACE_NANOS = 1_000_000_000L;

    private record Sent(long at, double value) {}

    private final Deque<Sent> sent = new ArrayDeque<>();
    private final long judgesFrom;
    private final long lasts;
    private final double slack;

    /**
     * @param value where it was at the start
     * @param takes how long the device needs for each value
     * @param slack by how much a report may be beside what was sent
     */
    Trail(long start, double value, long takes, double slack) {
        sent.add(new Sent(start, value));
        judgesFrom = start + GRACE_NANOS + takes;
        lasts = TOLD_WITHIN_NANOS + takes;
        this.slack = slack;
    }

    void sent(long now, double value) {
        sent.add(new Sent(now, value));
        forgetOld(now);
    }

    /** What was sent last before that time was still the value at its beginning. */
    private void forgetOld(long now) {
        Sent oldest = sent.removeFirst();
        while (!sent.isEmpty() && sent.getFirst().at <= now - lasts) {
            oldest = sent.removeFirst();
        }
        sent.addFirst(oldest);
    }

    /** Whether a value is neither one that was sent nor between two of them. */
    boolean leaves(long now, double value) {
        return judges(now) && (value < values().min(Double::compare).orElseThrow() - slack
                || value > values().max(Double::compare).orElseThrow() + slack);
    }

    /** Whether a speed is none, or goes the other way, though nothing but speeds this way was sent. */
    boolean turnsOrStands(long now, double speed) {
        return judges(now) && values().noneMatch(each -> each == 0 || each * speed > 0);
    }

    private boolean judges(long now) {
        forgetOld(now);
        return now >= judgesFrom;
    }

    private Stream<Double> values() {
        return sent.stream().map(Sent::value);
    }
}
