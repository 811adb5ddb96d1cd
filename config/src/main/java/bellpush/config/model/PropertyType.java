package bellpush.config.model;

import java.util.Map;
import java.util.Optional;

/**
 * What values a property or an argument takes, and how they look on the wire. "Site values" are what an admin writes
 * ({@code "slides"}, {@code true}, {@code -6.5}); "wire values" are what the device sends and receives.
 */
public sealed interface PropertyType {

    /** On or off. {@code offWire} and {@code onWire} are the wire values, by default the numbers 0 and 1. */
    record Flag(Value offWire, Value onWire) implements PropertyType {}

    /** One of a few names, in the order written; each name has a wire value, by default the name itself. */
    record Choice(Map<String, Value> wireByName) implements PropertyType {}

    /** A whole number within [min, max]. With {@code wire}, [min, max] is mapped linearly on [wire.from, wire.to]. */
    record Whole(long min, long max, String unit, Optional<WireRange> wire) implements PropertyType {}

    /** A number within [min, max]; two values closer than half of {@code step} (never 0) are the same value. */
    record Number(double min, double max, double step, String unit, Optional<WireRange> wire)
            implements
                PropertyType {}

    /** Any text up to {@code maxLength} UTF-16 units, without control characters. */
    record Text(int maxLength) implements PropertyType {}

    /** Where min and max of a number land on the wire; {@code from} may be greater than {@code to} (an inverted scale). */
    record WireRange(double from, double to) {
        /**
         * Whether the device takes whole numbers only: both ends are whole, and not both within -1 and 1, which is how devices
         * write shares.
         */
        public boolean whole() {
            return from == Math.rint(from) && to == Math.rint(to) && Math.max(Math.abs(from), Math.abs(to)) > 1;
        }
    }

    /** The least and the greatest value of a number. */
    record Range(double min, double max) {
        public double width() {
            return max - min;
        }

        /** The end towards greater values, or towards smaller ones. */
        public double end(boolean up) {
            return up ? max : min;
        }
    }

    /** From where to where its values go, if they are numbers. */
    default Optional<Range> range() {
        return switch (this) {
            case Whole w -> Optional.of(new Range(w.min, w.max));
            case Number n -> Optional.of(new Range(n.min, n.max));
            case Flag _,Choice _,Text _ -> Optional.empty();
        };
    }

    /** Whether a site value is one that this type takes. */
    default boolean accepts(Value value) {
        return switch (this) {
            case Flag _ -> value instanceof Value.Flag;
            case Choice c -> value instanceof Value.Text(String t) && c.wireByName.containsKey(t);
            case Whole w -> value instanceof Value.Num(double n) && n == Math.rint(n) && n >= w.min && n <= w.max;
            case Number r -> value instanceof Value.Num(double n) && n >= r.min && n <= r.max;
            case Text x -> value instanceof Value.Text(String t) && t.length() <= x.maxLength
                    && t.chars().noneMatch(Character::isISOControl);
        };
    }

    /** Whether two site values of this type mean the same to the device (numbers within half a step, or half a wire unit). */
    default boolean same(Value a, Value b) {
        if (a.equals(b)) {
            return true;
        }
        if (a instanceof Value.Num(double x) && b instanceof Value.Num(double y)) {
            return switch (this) {
                case Number r -> Math.abs(x - y) <= tolerance(r.min, r.max, r.step, r.wire);
                case Whole w -> Math.abs(x - y) <= (w.wire.isPresent() ? tolerance(w.min, w.max, 0, w.wire) : 0);
                default -> false;
            };
        }
        return false;
    }

    private static double tolerance(double min, double max, double step, Optional<WireRange> wire) {
        // A device that takes fractions tells more than whole units of its scale apart.
        double wireUnit = wire.filter(w -> w.whole() && w.to != w.from).map(w -> (max - min) / Math.abs(w.to - w.from))
                .orElse(0.0);
        double half = Math.max(step, wireUnit) / 2;
        return half + Math.abs(max - min) * 1e-9;
    }

    /** The wire value of an accepted site value. */
    default Value toWire(Value value) {
        return switch (this) {
            case Flag f -> ((Value.Flag) value).on() ? f.onWire : f.offWire;
            case Choice c -> c.wireByName.get(((Value.Text) value).text());
            case Whole w -> w.wire.map(r -> scale((Value.Num) value, w.min, w.max, r)).orElse(value);
            case Number n -> n.wire.map(r -> scale((Value.Num) value, n.min, n.max, r)).orElse(value);
            case Text _ -> value;
        };
    }

    private static Value scale(Value.Num value, double min, double max, WireRange wire) {
        double at = max == min ? wire.from : wire.from + (value.number() - min) * (wire.to - wire.from) / (max - min);
        return Value.of(wire.whole() ? Math.rint(at) : at);
    }

    /**
     * The site value of a wire value, or empty if the device sent something that this type cannot hold. Numbers may
     * arrive as decimal text, words in any case. A number outside the range is not accepted: what a device reports is
     * not bent into what was expected.
     */
    default Optional<Value> fromWire(Value wire) {
        return switch (this) {
            case Flag f -> sameWire(f.onWire, wire)
                    ? Optional.of(Value.of(true))
                    : sameWire(f.offWire, wire) ? Optional.of(Value.of(false)) : Optional.empty();
            case Choice c -> c.wireByName.entrySet().stream().filter(e -> sameWire(e.getValue(), wire)).findFirst()
                    .map(e -> Value.of(e.getKey()));
            case Whole w -> number(wire).map(n -> w.wire.map(r -> Math.rint(unscale(n, w.min, w.max, r))).orElse(n))
                    .map(Value::of).filter(this::accepts);
            case Number r -> number(wire).map(n -> r.wire.map(x -> unscale(n, r.min, r.max, x)).orElse(n))
                    .map(n -> nudge(n, r.min, r.max)).map(Value::of).filter(this::accepts);
            case Text _ -> Optional.of(Value.of(wire.toString())).filter(this::accepts);
        };
    }

    private static double unscale(double wire, double min, double max, WireRange r) {
        return r.to == r.from ? min : min + (wire - r.from) * (max - min) / (r.to - r.from);
    }

    /** A 32-bit float or a scaled end point may land a hair outside its own range; that hair is not an error. */
    private static double nudge(double n, double min, double max) {
        double hair = Math.max(Math.abs(min), Math.abs(max)) * 1e-6;
        return n < min && n >= min - hair ? min : n > max && n <= max + hair ? max : n;
    }

    private static boolean sameWire(Value expected, Value wire) {
        if (expected instanceof Value.Num(double n)) {
            return number(wire).filter(m -> m == n).isPresent();
        }
        if (expected instanceof Value.Flag || wire instanceof Value.Flag) {
            return expected.equals(wire);
        }
        return expected.toString().equalsIgnoreCase(wire.toString());
    }

    private static Optional<Double> number(Value wire) {
        return switch (wire) {
            case Value.Num(double n) -> Optional.of(n);
            case Value.Flag(boolean on) -> Optional.of(on ? 1.0 : 0.0);
            case Value.Text(String t) -> parse(t.strip());
        };
    }

    private static Optional<Double> parse(String text) {
        if (text.isEmpty() || text.length() > 40 || !text.matches("[+-]?(\\d+\\.?\\d*|\\.\\d+)([eE][+-]?\\d{1,3})?")) {
            return Optional.empty();
        }
        double n = Double.parseDouble(text);
        return Double.isFinite(n) ? Optional.of(n) : Optional.empty();
    }
}
