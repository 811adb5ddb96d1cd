package bellpush.config.model;

import java.util.List;

/** Something that holds, does not hold, or cannot be told yet. Names in it are checked when the site is loaded. */
public sealed interface Condition {
    /** The property's value passes the test. */
    record Is(PropertyRef property, Test test) implements Condition {}

    record All(List<Condition> of) implements Condition {}

    record Any(List<Condition> of) implements Condition {}

    record Not(Condition of) implements Condition {}

    record LinkIs(String device, LinkState state) implements Condition {}

    /** The switch of the panel stands so. */
    record SwitchIs(String control, boolean on) implements Condition {}

    /** A run of the macro has started and has not ended; of any of its family, where it has arguments. */
    record Running(String macro) implements Condition {}

    /** The last run of the macro failed, and its sign of failure has not gone out yet. */
    record Failed(String macro) implements Condition {}

    sealed interface Test {
        record Equal(Value value) implements Test {}

        record Above(double limit) implements Test {}

        record Below(double limit) implements Test {}
    }
}
