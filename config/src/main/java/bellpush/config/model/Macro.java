package bellpush.config.model;

import java.time.Duration;
import java.util.List;
import java.util.Optional;

/**
 * A chain of steps. A file that has arguments is a macro for each way in which the site runs it, with the arguments put in.
 *
 * @param name          the file's name; with arguments, {@code stage-preset preset=3}
 * @param family        the file's name, in which all that were made of one file are one: a press of one finds another running
 * @param lanes         what it must have to itself; macros in one lane never interleave, a later one waits its turn
 * @param takesOver     whether it stops the runs that hold or wait for its lanes, instead of waiting
 * @param onTakeover    what is run, to its end, when another takes over from this one; empty: it stops where it is
 * @param again         what a second press does while it runs
 * @param repeatsMax    how many presses may wait while it runs, where {@code again} is to queue; else without meaning
 * @param onFailure     what happens when a step fails
 * @param within        how long its steps may take, from when it has its lanes; over it the macro fails
 * @param promise       what it guarantees once it is done
 * @param promiseWithin how long after the last step the devices may take to report what was promised
 */
public record Macro(String name, String family, String label, List<String> lanes, boolean takesOver,
        Optional<String> onTakeover, Again again, int repeatsMax, Step.Otherwise onFailure, Duration within,
        List<Step> steps, Optional<Condition> promise, Duration promiseWithin, Source at) {

    /** A macro without arguments that waits for its lanes, with the usual limits. */
    public Macro(String name, String label, List<String> lanes, Again again, Step.Otherwise onFailure, List<Step> steps,
            Optional<Condition> promise, Duration promiseWithin, Source at) {
        this(name, name, label, lanes, false, Optional.empty(), again, 1, onFailure, Limits.DEFAULT.macro(), steps,
                promise, promiseWithin, at);
    }

    public enum Again {
        /** The press is noted in the log and does nothing. */
        IGNORE,
        /** The run is stopped where it is and starts from the first step. */
        RESTART,
        /** The run starts once more when the present one has ended; a few may wait, more are ignored. */
        QUEUE;

        public String word() {
            return name().toLowerCase(java.util.Locale.ROOT);
        }
    }
}
