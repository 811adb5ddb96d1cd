package bellpush.runtime.core;

import bellpush.config.model.Condition;
import bellpush.config.model.Macro;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Step;
import bellpush.config.model.Value;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/** One run of a macro, from the press to the promise. Plain state; {@link Runs} moves it. */
final class Run {
    enum Phase {
        /** Another run holds a lane that this one needs. */
        WAITING_FOR_LANE,
        /** Steps are being run, or waited in. */
        STEPS,
        /** The last step is done; devices have yet to report what was promised. */
        PROMISE, ENDED
    }

    /** A list of steps and the next one in it. {@code macro} is whose steps they are. */
    static final class Frame {
        final Macro macro;
        final List<Step> steps;
        int next;

        Frame(Macro macro, List<Step> steps) {
            this.macro = macro;
            this.steps = steps;
        }
    }

    /** What an {@code until} waits for. */
    record Awaited(Condition condition, Step.Until step) {}

    final long id;
    final Macro macro;
    final Reach reach;
    final String press;
    final String control;
    final long startedAt;
    final Deque<Frame> frames = new ArrayDeque<>();
    final Map<PropertyRef, Value> remembered = new HashMap<>();

    Phase phase = Phase.WAITING_FOR_LANE;
    /** Where the chain stands on its own timeline: waits are measured from here, so that a late timer makes nothing later. */
    long due;
    long timer;
    Awaited awaited;
    int steps;
    /** Why it failed, once it has; a fallback macro may still be running then. */
    String failure;

    Run(long id, Macro macro, Reach reach, String press, String control, long startedAt) {
        this.id = id;
        this.macro = macro;
        this.reach = reach;
        this.press = press;
        this.control = control;
        this.startedAt = startedAt;
        this.due = startedAt;
        frames.push(new Frame(macro, macro.steps()));
    }

    boolean usesLaneOf(Run other) {
        return reach.lanes().stream().anyMatch(other.reach.lanes()::contains);
    }

    boolean active() {
        return phase == Phase.WAITING_FOR_LANE || phase == Phase.STEPS;
    }
}
