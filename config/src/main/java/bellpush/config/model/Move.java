package bellpush.config.model;

import java.time.Duration;
import java.util.Optional;

/**
 * A device's own move of a number property to a value within a time. Fields of {@code send} are {@code value}, {@code over}
 * and other properties of the kind.
 *
 * @param unit    what {@code over} counts: a millisecond, a second, or a frame
 * @param whole   whether {@code over} has no fraction; else it is told to a thousandth
 * @param longest the longest time that the device takes
 * @param stop    the command of the kind, without arguments, that ends the move where it is; without it nothing can
 */
public record Move(Template send, Duration unit, boolean whole, Duration longest, Optional<String> stop) {
    /** How {@code over} is written in the message: at least one whole unit, or a thousandth. */
    public Value wire(Duration over) {
        double units = (double) over.toNanos() / unit.toNanos();
        double counted = whole ? Math.rint(units) : Math.rint(units * 1_000) / 1_000;
        return Value.of(Math.max(whole ? 1 : 0.001, counted));
    }

    /** The time that a message means. @param over the number in it */
    public Duration time(double over) {
        double nanos = over * unit.toNanos();
        return Duration.ofNanos(Math.round(Math.clamp(nanos, 0, longest.toNanos())));
    }

    /** What {@code over} may be in a message. */
    public PropertyType type() {
        double most = Math.max(whole ? 1 : 0.001, (double) longest.toNanos() / unit.toNanos());
        return whole
                ? new PropertyType.Whole(1, (long) Math.ceil(most - 1e-9), "", Optional.empty())
                : new PropertyType.Number(0.001, most, 0.001, "", Optional.empty());
    }
}
