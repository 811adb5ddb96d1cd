package bellpush.runtime.core;

import bellpush.config.model.Ease;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Value;
import java.time.Duration;
import java.util.Optional;

/**
 * One property on its way to its target: where it should be at a time, and what has to be sent for that. Driven by speeds, it
 * reckons where it is from when each speed left and what the table says of it, and every next speed makes good what the ones
 * before had to be rounded by. It never turns back on its way. Times are monotonic nanoseconds.
 */
final class GlideAxis {
    /** How the controls of streams are called; no control of a panel has a blank in its name. */
    static final String STREAM = "glide ";
    private static final String OWN_MOVE = "move ";
    /** By so much of its range a device may tell a value beside what it was sent. Common practice, no source. */
    private static final double TOLD_BESIDE = 0.02;

    final long id;
    /** In whose name it sends. */
    final String control;
    final PropertyRef property;
    final GlidePlan.By by;
    final Value target;
    /** Its speed, where it is driven by one. */
    final Optional<PropertyRef> speed;
    long timer;
    /** Whether a speed has been asked for. */
    boolean drove;

    private final PropertyType type;
    private final Optional<GlidePlan.Drive> drive;
    private final Trail trail;
    private final Ease ease;
    private final double from;
    private final double to;
    private final long startsAt;
    private final long endsAt;
    private final long pace;
    private Value last;
    /** Where it was at {@code since}, and how many units per second it has made from then on. */
    private double reckoned;
    private double perSecond;
    private long since;

    /** @param takes how long its device needs for each value that it is sent */
    GlideAxis(long id, GlidePlan.Way way, Ease ease, long startsAt, long endsAt, Duration takes) {
        this.id = id;
        this.ease = ease;
        this.startsAt = startsAt;
        this.endsAt = endsAt;
        by = way.by();
        control = (by == GlidePlan.By.MOVE ? OWN_MOVE : STREAM) + id;
        property = way.property();
        type = way.type();
        target = way.target();
        drive = way.speed();
        speed = drive.map(GlidePlan.Drive::property);
        from = way.from();
        to = target instanceof Value.Num(double number) ? number : from;
        pace = way.pace().toNanos();
        last = Value.of(Rounded.of(type, from));
        reckoned = from;
        since = startsAt;
        trail = new Trail(startsAt, by == GlidePlan.By.SPEEDS ? 0 : from, takes.toNanos(),
                type.range().map(range -> range.width() * TOLD_BESIDE).orElse(0.0));
    }

    /** Whether it begins where it is to end. */
    boolean isThere() {
        return to == from;
    }

    boolean touches(PropertyRef other) {
        return property.equals(other) || speed.filter(other::equals).isPresent();
    }

    /** When the next value is due: the last one before the end leaves the device its time until the end. */
    long nextAt(long now) {
        if (by == GlidePlan.By.MOVE || endsAt - now <= pace) {
            return endsAt;
        }
        long steps = (endsAt - now) / pace;
        long next = endsAt - steps * pace;
        if (next <= now || next - now < pace / 2) {
            next += pace; // a step that is much shorter than the others would only be held up by the pace
        }
        return Math.min(next, endsAt);
    }

    private double shouldBeAt(long at) {
        return from + (to - from) * ease.at((double) (at - startsAt) / Math.max(1, endsAt - startsAt));
    }

    /** The value for now, unless it is the one that was sent last. */
    Optional<Value> nextValue(long now) {
        Value value = Value.of(Rounded.of(type, shouldBeAt(now)));
        boolean same = value.equals(last);
        last = value;
        return same ? Optional.empty() : Optional.of(value);
    }

    /** The speed that brings it to where it should be when the next one is due. */
    Value nextSpeed(long now) {
        GlidePlan.Drive driven = drive.orElseThrow();
        long next = nextAt(now);
        double wanted = (shouldBeAt(next) - at(now)) / Math.max(1e-3, (next - now) / 1e9);
        double most = driven.fastest(to > from);
        double asked = to > from ? Math.clamp(wanted, 0, most) : Math.clamp(wanted, most, 0);
        return Value.of(Rounded.of(driven.type(), driven.table().speed(asked)));
    }

    /** A value, or a speed, has left. */
    void left(long now, Value value) {
        if (value instanceof Value.Num(double number)) {
            trail.sent(now, number);
            if (by == GlidePlan.By.SPEEDS) {
                reckoned = at(now);
                since = now;
                perSecond = drive.orElseThrow().table().perSecond(number);
            }
        }
    }

    /**
     * Whether a report shows that somebody at the device has taken it: it is told to be where it was not sent, or that it stands
     * or goes back while it is driven. A device's own move is not held against anything, since nothing overrides it.
     */
    boolean taken(long now, PropertyRef told, Value value) {
        if (!(value instanceof Value.Num(double number))) {
            return false;
        }
        return switch (by) {
            case MOVE -> false;
            case SPEEDS -> drove && speed.filter(told::equals).isPresent() && trail.turnsOrStands(now, number);
            case VALUES -> property.equals(told) && trail.leaves(now, number);
        };
    }

    /** Where it is, by reckoning. */
    double at(long now) {
        return reckoned + perSecond * (now - since) / 1e9;
    }
}
