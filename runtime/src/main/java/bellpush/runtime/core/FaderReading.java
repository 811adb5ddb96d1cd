package bellpush.runtime.core;

import bellpush.config.model.Fader;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Value;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.Optional;
import java.util.OptionalDouble;

/**
 * What one fader makes of where it stands. With pick-up it leaves the property alone until it has met or passed the property's
 * value, at the start and each time something else has changed that value, so that nothing jumps under a finger. Where the
 * value is not known it waits for it to be told. Only where nobody can tell it does a movement of the fader set it: a fader that
 * is dead for the whole evening would be worse.
 */
final class FaderReading {
    private static final int RECENT = 200;
    /** A share of its way that no noise makes: a hand has moved it. */
    private static final double HAND = 0.02;
    /** A report of a value that was sent may be so late. */
    private static final long RECENT_NANOS = 2_000_000_000L;

    /** A value sent lately, of which a report may still come in. */
    private record Sent(Value value, long at) {}

    private final Fader fader;
    private final PropertyType type;
    private final Travel travel;
    private final Deque<Sent> recent = new ArrayDeque<>();
    private boolean follows;
    private double at = Double.NaN;
    /** How far up it stood when it was found, or when its property was last waited for or changed by something else. */
    private double stoodAt = Double.NaN;
    private long unsureSince;
    private Optional<Value> last = Optional.empty();

    FaderReading(Fader fader, PropertyType type) {
        this.fader = fader;
        this.type = type;
        travel = new Travel(fader.calibration(), fader.steadiness());
        follows = !fader.pickUp();
    }

    Fader fader() {
        return fader;
    }

    /** Whether it has been read, so that what is read next is a move. */
    boolean found() {
        return travel.known();
    }

    /** Whether the property goes where the fader goes. */
    boolean follows() {
        return follows;
    }

    /**
     * The fader was read.
     *
     * @param present what the property is, as far as can be known
     * @param wait    whether a value that is not known may still be told, so that it should be waited for
     * @return the value to send, if it is a new one
     */
    OptionalDouble moved(long now, double share, Optional<Value> present, boolean wait) {
        boolean found = !travel.known();
        double before = at;
        travel.read(share);
        at = exact();
        if (found) {
            last = Optional.of(Value.of(Rounded.of(type, at))); // where it was found is a state
            stoodAt = travel.way();
            return OptionalDouble.empty();
        }
        if (!follows && !meets(before, present, wait)) {
            return OptionalDouble.empty();
        }
        if (!follows) {
            follows = true;
            last = present;
        }
        double value = travel.way() == 1 ? fader.to() : travel.way() == 0 ? fader.from() : Rounded.of(type, at);
        if (last.filter(Value.of(value)::equals).isPresent()) {
            return OptionalDouble.empty();
        }
        last = Optional.of(Value.of(value));
        recent.addLast(new Sent(last.get(), now));
        if (recent.size() > RECENT) {
            recent.removeFirst();
        }
        return OptionalDouble.of(value);
    }

    private boolean meets(double before, Optional<Value> present, boolean wait) {
        if (present.isEmpty() && wait) {
            stoodAt = travel.way();
        }
        if (present.isEmpty()) {
            return Math.abs(travel.way() - stoodAt) >= HAND;
        }
        return present.get() instanceof Value.Num(double value) && ((before - value) * (at - value) <= 0
                || type.same(present.get(), Value.of(Rounded.of(type, at))));
    }

    private double exact() {
        return fader.from() + Math.pow(travel.way(), fader.curve()) * (fader.to() - fader.from());
    }

    /** Something else has set the property, or may have: the fader has to meet the value again. Empty: nobody knows to what. */
    void setElsewhere(long now, Optional<Value> value) {
        if (value.isEmpty()) {
            unsureSince = now;
        }
        if (value.isEmpty() || last.filter(l -> type.same(l, value.get())).isEmpty()) {
            recent.clear();
            follows = !fader.pickUp();
            last = Optional.empty();
            stoodAt = travel.known() ? travel.way() : Double.NaN;
        }
    }

    /** When it last became doubtful what the property is. */
    long unsureSince() {
        return unsureSince;
    }

    /** The device tells a value: the fader's own ones come back late, and are no change by somebody else. */
    void reported(long now, Value value) {
        recent.removeIf(own -> now - own.at > RECENT_NANOS);
        if (recent.stream().noneMatch(own -> type.same(own.value, value))) {
            setElsewhere(now, Optional.of(value));
        }
    }

    /** What it sent last was not taken: should the fader stand there again, it is sent again. */
    void notTaken(Value value) {
        if (last.filter(value::equals).isPresent()) {
            last = Optional.empty();
        }
    }

    /** It cannot be read: where it is next found is a state. */
    void lost() {
        travel.forget();
        recent.clear();
        follows = !fader.pickUp();
    }
}
