package bellpush.drivers.sim;

import bellpush.config.model.Property;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Value;
import bellpush.drivers.link.Timers;
import java.time.Duration;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.Map;
import java.util.Set;
import java.util.function.BiConsumer;

/**
 * Number properties of a simulated device that are between two places: on their way to one, or driven at a speed until
 * something ends it or the range does. One motion for each property at most. On the device's event loop only.
 */
final class Motions {
    /** How often a device tells where something is that moves. Common practice, no source. */
    static final Duration TELLS_EVERY = Duration.ofMillis(50);
    /** At least so long, so that no arithmetic divides by nothing. */
    private static final double LEAST_SECONDS = 1e-6;

    /** Goes from {@code from} at a steady rate, and ends at {@code end}, exactly. */
    private record Motion(Property property, double from, double perSecond, double end, long since,
            Timers.Alarm arrival) {
        double at(long now) {
            double at = from + perSecond * (now - since) / 1e9;
            return perSecond > 0 ? Math.min(at, end) : Math.max(at, end);
        }
    }

    private final Timers timers;
    private final BiConsumer<Map<String, Value>, Boolean> moved;
    private final Map<String, Motion> motions = new LinkedHashMap<>();
    private Timers.Alarm tick;

    /** @param moved gets where properties are now, and whether that is to be told */
    Motions(Timers timers, BiConsumer<Map<String, Value>, Boolean> moved) {
        this.timers = timers;
        this.moved = moved;
    }

    boolean moves(String property) {
        return motions.containsKey(property);
    }

    /** Goes to a value within a time. */
    void take(Property property, double from, double to, Duration over) {
        double seconds = Math.max(LEAST_SECONDS, over.toNanos() / 1e9);
        begin(property, from, (to - from) / seconds, to, over.toNanos());
    }

    /** Goes to a value at a rate above 0. */
    void go(Property property, double from, double to, double perSecond) {
        double seconds = Math.abs(to - from) / perSecond;
        begin(property, from, to > from ? perSecond : -perSecond, to, Math.round(seconds * 1e9));
    }

    /** Goes on at a rate until its range ends; at 0 it stands. */
    void drive(Property property, double from, double perSecond) {
        if (perSecond == 0) {
            cancel(property.name());
            return;
        }
        double end = property.type().range().map(range -> range.end(perSecond > 0)).orElse(from);
        begin(property, from, perSecond, end, (long) Math.min(Math.ceil((end - from) / perSecond * 1e9), 1e17));
    }

    private void begin(Property property, double from, double perSecond, double end, long nanos) {
        forget(property.name()); // and not the tick, or what is told a new speed again and again would never tell
        if (from == end) {
            restIfNothingMoves();
            return;
        }
        Timers.Alarm arrival = timers.after(nanos, () -> arrive(property.name()));
        motions.put(property.name(), new Motion(property, from, perSecond, end, timers.nanoTime(), arrival));
        if (tick == null) {
            tick = timers.after(TELLS_EVERY.toNanos(), this::tell);
        }
    }

    private void arrive(String name) {
        Motion motion = motions.remove(name);
        if (motion != null) {
            moved.accept(Map.of(name, Value.of(motion.end)), true);
        }
        restIfNothingMoves();
    }

    private void tell() {
        tick = null;
        if (!motions.isEmpty()) {
            tick = timers.after(TELLS_EVERY.toNanos(), this::tell);
            moved.accept(now(), true);
        }
    }

    /** Says where everything is, to nobody else. */
    void settle() {
        if (!motions.isEmpty()) {
            moved.accept(now(), false);
        }
    }

    private Map<String, Value> now() {
        Map<String, Value> now = new LinkedHashMap<>();
        motions.forEach((name, motion) -> now.put(name, value(motion)));
        return now;
    }

    private Value value(Motion motion) {
        double at = motion.at(timers.nanoTime());
        return Value
                .of(motion.property.type() instanceof PropertyType.Whole ? Math.rint(at) : Math.rint(at * 1e9) / 1e9);
    }

    /** Where it is now, to more than its type can hold. */
    double at(String name, double standing) {
        Motion motion = motions.get(name);
        return motion == null ? standing : motion.at(timers.nanoTime());
    }

    /** It stands where it is, which {@link #settle} has told. */
    void cancel(String name) {
        forget(name);
        restIfNothingMoves();
    }

    private void forget(String name) {
        Motion motion = motions.remove(name);
        if (motion != null) {
            motion.arrival.cancel();
        }
    }

    /** All of them stand. */
    void stop() {
        Set<String> names = new LinkedHashSet<>(motions.keySet());
        names.forEach(this::cancel);
    }

    private void restIfNothingMoves() {
        if (motions.isEmpty() && tick != null) {
            tick.cancel();
            tick = null;
        }
    }
}
