package bellpush.config.model;

import java.time.Duration;
import java.util.List;
import java.util.Optional;

/**
 * Something a device has. {@code set}: what changes it; {@code ask}: what asks for it; {@code answer}: what the device says
 * to that question and at no other time; {@code report}: what the device may say at any time. In its own templates the
 * field {@code value} is the property; any other property of the kind is named in full.
 *
 * @param reported   whether the device ever tells this property (by an answer, its own report or one of the kind's
 *                   reports), so that a sent value is only assumed until it does
 * @param initial    what a simulated device starts with
 * @param fastest    least time between two writes of this property
 * @param takes      how long the device needs to arrive at a new value, zero if at once; it reports when it is there
 * @param steadyWhile while this holds (its names are properties of the same kind), the property must not be changed;
 *                   the device is {@code ""} in its references
 * @param unsettles  properties of the same kind that are something else, and not known, once this one has been set: a speed
 *                   unsettles the position
 * @param move       how the device itself moves it to a value within a time
 * @param speeds     how fast it goes at each value of another property, its speed
 */
public record Property(String name, String about, PropertyType type, Optional<Template> set, Optional<Template> ask,
        Optional<Template> answer, Optional<Template> report, boolean reported, Value initial, Duration fastest,
        Duration takes, Optional<Condition> steadyWhile, List<String> unsettles, Optional<Move> move,
        Optional<Speeds> speeds, Source at) {

    /** A property that only {@code set} moves. */
    public Property(String name, String about, PropertyType type, Optional<Template> set, Optional<Template> ask,
            Optional<Template> answer, Optional<Template> report, boolean reported, Value initial, Duration fastest,
            Duration takes, Optional<Condition> steadyWhile, List<String> unsettles, Source at) {
        this(name, about, type, set, ask, answer, report, reported, initial, fastest, takes, steadyWhile, unsettles,
                Optional.empty(), Optional.empty(), at);
    }

    /** A property that unsettles no other. */
    public Property(String name, String about, PropertyType type, Optional<Template> set, Optional<Template> ask,
            Optional<Template> answer, Optional<Template> report, boolean reported, Value initial, Duration fastest,
            Duration takes, Optional<Condition> steadyWhile, Source at) {
        this(name, about, type, set, ask, answer, report, reported, initial, fastest, takes, steadyWhile, List.of(),
                at);
    }

    /** The same property, which may be written as often as one likes. */
    public Property unpaced() {
        return fastest.isZero()
                ? this
                : new Property(name, about, type, set, ask, answer, report, reported, initial, Duration.ZERO, takes,
                        steadyWhile, unsettles, move, speeds, at);
    }

    /** The same with other ways to move it. */
    public Property moved(Optional<Move> newMove, Optional<Speeds> newSpeeds) {
        return new Property(name, about, type, set, ask, answer, report, reported, initial, fastest, takes, steadyWhile,
                unsettles, newMove, newSpeeds, at);
    }

    /** The same, unsettling these. */
    public Property unsettling(List<String> names) {
        return new Property(name, about, type, set, ask, answer, report, reported, initial, fastest, takes, steadyWhile,
                List.copyOf(names), move, speeds, at);
    }
}
