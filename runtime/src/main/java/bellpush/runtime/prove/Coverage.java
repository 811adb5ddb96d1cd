package bellpush.runtime.prove;

import bellpush.config.model.Step;
import bellpush.runtime.core.Event;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;

/** Which steps were run in some trial, and of each {@code until} whether its condition was ever met with all gear well. */
final class Coverage {
    private final Set<String> ran = new HashSet<>();
    private final Set<String> met = new HashSet<>();
    private final Set<String> missed = new HashSet<>();
    private final Map<String, Boolean> untils = new HashMap<>();

    void note(Slice slice, List<Event> events, boolean allWell) {
        Map<Object, String> waiting = new HashMap<>();
        for (Event event : events) {
            Object run = event.details().get("run");
            if (run == null) {
                continue;
            }
            String until = waiting.remove(run);
            if (until != null && allWell) {
                (missedBy(event) ? missed : met).add(until);
            }
            if (event.what().equals("step") || event.what().equals("say")) {
                String at = (String) event.details().get("at");
                ran.add(at);
                if (untils.computeIfAbsent(at, place -> slice.stepsByPlace().get(place) instanceof Step.Until)) {
                    waiting.put(run, at);
                }
            }
        }
        if (allWell) {
            met.addAll(waiting.values());
        }
    }

    void add(Coverage other) {
        ran.addAll(other.ran);
        met.addAll(other.met);
        missed.addAll(other.missed);
    }

    /** The event that comes next after an until that was not met at once or later is its failure, or a note of it. */
    private static boolean missedBy(Event event) {
        return switch (event.what()) {
            case "failed" -> !String.valueOf(event.details().get("why")).startsWith("promise not kept");
            case "note" -> !String.valueOf(event.details().get("text")).startsWith("cannot tell");
            default -> false;
        };
    }

    boolean ran(Step step) {
        return ran.contains(step.at().toString());
    }

    /** Whether an until was reached with all gear well, and its condition never came to hold. */
    boolean neverHolds(Step step) {
        return missed.contains(step.at().toString()) && !met.contains(step.at().toString());
    }
}
