package bellpush.runtime.core;

import bellpush.config.model.Macro;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Step;
import bellpush.config.model.Value;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.List;
import java.util.Map;
import java.util.Set;

/** One chain of steps of a run: the run's own, or a branch of a {@code together}. Plain state; {@link Steps} moves it. */
final class Strand {
    /** A list of steps and the next one in it. {@code macro} is whose steps they are. */
    static final class Frame {
        final Macro macro;
        final List<Step> steps;
        /** Whether these are all the steps of the macro, and not those of an {@code if} or of a branch. */
        final boolean whole;
        /** Whether no step ran it: a fallback, or what tidies up before another takes over. */
        final boolean inPlace;
        int next;
        /** What the step that is being run says itself of its failing, or null. */
        Step.Otherwise guard;
        /** When the macro's time is over, and the timer of that; 0 where something outer ends sooner anyway. */
        long limitAt;
        long limitTimer;

        private Frame(Macro macro, List<Step> steps, boolean whole, boolean inPlace) {
            this.macro = macro;
            this.steps = steps;
            this.whole = whole;
            this.inPlace = inPlace;
        }

        static Frame of(Macro macro) {
            return new Frame(macro, macro.steps(), true, false);
        }

        static Frame inPlace(Macro macro) {
            return new Frame(macro, macro.steps(), true, true);
        }

        /** Some steps of a macro that is running already. */
        static Frame part(Macro macro, List<Step> steps) {
            return new Frame(macro, steps, false, false);
        }
    }

    /** What it waits for, other than for a time. */
    sealed interface Waiting {
        record ForCondition(Step.Until step) implements Waiting {}

        /**
         * That devices report what they were sent.
         *
         * @param sent how often it was sent
         */
        record ForReports(Map<PropertyRef, Value> values, Step.Confirm confirm, int sent) implements Waiting {}

        /** That nothing is about to leave any more that changes what the step looks up. */
        record ForDepartures(Set<PropertyRef> of, Step step) implements Waiting {}

        record ForBranches(List<Strand> branches) implements Waiting {}

        /** That what it has begun arrives, which its timer tells. */
        record ForGlide(Run.Sender from) implements Waiting {}
    }

    final Run run;
    final int number;
    /** Whose step it is a branch of, or null. */
    final Strand parent;
    final Deque<Frame> frames = new ArrayDeque<>();
    /** Where the chain stands on its own timeline: waits are measured from here, so that a late timer makes nothing later. */
    long due;
    long timer;
    Waiting waiting;
    /** It has come to its end, or was dropped. */
    boolean over;

    Strand(Run run, int number, Strand parent, long due) {
        this.run = run;
        this.number = number;
        this.parent = parent;
        this.due = due;
    }

    boolean ready() {
        return !over && timer == 0 && waiting == null;
    }
}
