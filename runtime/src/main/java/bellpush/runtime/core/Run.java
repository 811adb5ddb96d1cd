package bellpush.runtime.core;

import bellpush.config.model.Macro;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Step;
import bellpush.config.model.Value;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/** One run of a macro, from the press to the promise. Plain state; {@link Runs} and {@link Steps} move it. */
final class Run {
    enum Phase {
        /** Another run holds a lane that this one needs. */
        WAITING_FOR_LANE,
        /** Steps are being run, or waited in. */
        STEPS,
        /** The last step is done; devices have yet to report what was promised. */
        PROMISE, ENDED
    }

    /**
     * Where in a run a message comes from, so that its failing is decided by whom it concerns, however late it is known.
     *
     * @param guard     what the step says itself of its failing, or null
     * @param confirmed whether the step sees to it by itself that the message arrives
     * @param stage     of the run when it was sent
     */
    record Sender(Run run, Strand strand, Macro macro, Step.Otherwise guard, boolean confirmed, int stage) {}

    final long id;
    final Macro macro;
    final Reach reach;
    final String press;
    final String control;
    final long startedAt;
    final Map<PropertyRef, Value> remembered = new HashMap<>();
    /** The chains that go on side by side, the run's own first. */
    final List<Strand> strands = new ArrayList<>();

    Phase phase = Phase.WAITING_FOR_LANE;
    long promiseTimer;
    int steps;
    int lastStrand;
    /** Counts up when what it was doing is given up for a fallback, or for tidying up. */
    int stage;
    /** Whether what it has set in motion is being stopped at this moment: that undoes messages of its own, which is no failure. */
    boolean halting;
    /** Whether its strands are being moved at this moment. */
    boolean moving;
    /** Why it failed, once it has; a fallback macro may still be running then. */
    String failure;
    /** Who takes over from it, once somebody does; it may still be tidying up then. */
    String takenOver;

    Run(long id, Macro macro, Reach reach, String press, String control, long startedAt) {
        this.id = id;
        this.macro = macro;
        this.reach = reach;
        this.press = press;
        this.control = control;
        this.startedAt = startedAt;
        strands.add(new Strand(this, 0, null, startedAt));
    }

    Strand main() {
        return strands.getFirst();
    }

    boolean usesLaneOf(Run other) {
        return reach.lanes().stream().anyMatch(other.reach.lanes()::contains);
    }

    boolean active() {
        return phase == Phase.WAITING_FOR_LANE || phase == Phase.STEPS;
    }
}
