package bellpush.config.model;

import java.time.Duration;
import java.util.List;
import java.util.Map;

/** One link of a macro's chain. */
public sealed interface Step {
    /** Where the step stands in the site. */
    Source at();

    /** Properties to values, in the order written. */
    record Set(Map<PropertyRef, Value> values, Source at) implements Step {}

    /** A command with its arguments, complete and of the right types. */
    record Do(String device, String command, Map<String, Value> arguments, Source at) implements Step {}

    /** Measured from when the step before was due, so that a chain does not drift. */
    record Wait(Duration time, Source at) implements Step {}

    /** Goes on as soon as the condition holds for certain; after {@code within}, {@code otherwise} says what happens. */
    record Until(Condition condition, Duration within, Otherwise otherwise, Source at) implements Step {}

    record If(Condition condition, List<Step> then, List<Step> otherwise, Source at) implements Step {}

    /** Notes the property's present value for this run. An unknown value fails the step. */
    record Remember(PropertyRef property, Source at) implements Step {}

    /** Sets the property back to what this run remembered. */
    record Restore(PropertyRef property, Source at) implements Step {}

    /** Runs another macro's steps here and goes on when they are done. */
    record Run(String macro, Source at) implements Step {}

    /**
     * Number properties go to values within {@code over} and arrive together; the step is done when they have.
     *
     * @param over longer than zero
     */
    record Glide(Map<PropertyRef, Value> values, Duration over, Ease ease, Source at) implements Step {}

    /** A line in the event log. */
    record Say(String text, Source at) implements Step {}

    /** What a step or a macro does when it fails. */
    sealed interface Otherwise {
        /** The macro fails. */
        record Stop() implements Otherwise {}

        /** The chain goes on with the next step. */
        record GoOn() implements Otherwise {}

        /** The macro fails after another macro has been run in its place. */
        record Instead(String macro) implements Otherwise {}
    }
}
