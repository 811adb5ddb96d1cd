package bellpush.config.model;

import java.time.Duration;
import java.util.List;
import java.util.Optional;

/**
 * A chain of steps.
 *
 * @param lanes         what it must have to itself; macros in one lane never interleave, a later one waits its turn
 * @param again         what a second press does while it runs
 * @param onFailure     what happens when a step fails
 * @param promise       what it guarantees once it is done
 * @param promiseWithin how long after the last step the devices may take to report what was promised
 */
public record Macro(String name, String label, List<String> lanes, Again again, Step.Otherwise onFailure,
        List<Step> steps, Optional<Condition> promise, Duration promiseWithin, Source at) {

    public enum Again {
        /** The press is noted in the log and does nothing. */
        IGNORE,
        /** The run is stopped where it is and starts from the first step. */
        RESTART,
        /** The run starts once more when the present one has ended; one may wait, more are ignored. */
        QUEUE;

        public String word() {
            return name().toLowerCase(java.util.Locale.ROOT);
        }
    }
}
