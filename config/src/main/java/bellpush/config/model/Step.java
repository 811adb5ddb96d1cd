package bellpush.config.model;

import java.time.Duration;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/** One link of a macro's chain. */
public sealed interface Step {
    /** Where the step stands in the site. */
    Source at();

    /**
     * Properties to values, in the order written.
     *
     * @param confirm where the devices must report the values before the chain goes on
     */
    record Set(Map<PropertyRef, Operand> values, Optional<Confirm> confirm, Source at) implements Step {
        /** A set of fixed values that asks for no confirmation. */
        public static Set to(Map<PropertyRef, Value> values, Source at) {
            return new Set(fixed(values), Optional.empty(), at);
        }
    }

    private static Map<PropertyRef, Operand> fixed(Map<PropertyRef, Value> values) {
        Map<PropertyRef, Operand> operands = new LinkedHashMap<>();
        values.forEach((property, value) -> operands.put(property, Operand.of(value)));
        return operands;
    }

    /**
     * What has not been reported {@code within} this time is sent again.
     *
     * @param times how often it is sent in all, at least 1
     */
    record Confirm(Duration within, int times) {}

    /** A command with its arguments, complete and of the right types. */
    record Do(String device, String command, Map<String, Operand> arguments, Source at) implements Step {}

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

    /** Branches side by side; goes on when all are done. If one fails, the others are stopped and the step fails. */
    record Together(List<List<Step>> branches, Source at) implements Step {}

    /**
     * Ends other runs where they are, with the repeats that wait for them, drops what of theirs still waits to be sent, and
     * leaves no speed of theirs behind.
     *
     * @param families whose runs, by the names of their files; empty: everything, and every speed axis is stopped
     */
    record Stop(List<String> families, Source at) implements Step {}

    /**
     * Number properties go to values within {@code over} and arrive together; the step is done when they have.
     *
     * @param over longer than zero
     */
    record Glide(Map<PropertyRef, Operand> values, Duration over, Ease ease, Source at) implements Step {
        /** To fixed values. */
        public static Glide to(Map<PropertyRef, Value> values, Duration over, Ease ease, Source at) {
            return new Glide(fixed(values), over, ease, at);
        }
    }

    /** A line in the event log. */
    record Say(String text, Source at) implements Step {}

    /** A step with a say of its own in what happens when it fails; that comes before its macro's. */
    record Guarded(Step step, Otherwise otherwise) implements Step {
        @Override
        public Source at() {
            return step.at();
        }
    }

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
