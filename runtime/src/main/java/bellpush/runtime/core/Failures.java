package bellpush.runtime.core;

import java.util.LinkedHashMap;
import java.util.Map;

/** Which macros have failed so lately that the sign of it is still shown, by the names of their files. */
final class Failures {
    private record Failure(String control, long timer) {}

    private final Turn turn;
    private final long shownNanos;
    private final Map<String, Failure> failures = new LinkedHashMap<>();

    Failures(Turn turn, long shownNanos) {
        this.turn = turn;
        this.shownNanos = shownNanos;
    }

    boolean has(String family) {
        return failures.containsKey(family);
    }

    /** Whether the last run that this control started of some macro has failed. */
    boolean hasFor(String control) {
        return failures.values().stream().anyMatch(failure -> failure.control.equals(control));
    }

    void remember(String family, String control) {
        forget(family);
        failures.put(family,
                new Failure(control, turn.start(turn.now() + shownNanos, new Wake.FailureShown(family))));
    }

    void forget(String family) {
        Failure old = failures.remove(family);
        if (old != null) {
            turn.stop(old.timer);
        }
    }

    /** Its timer has fired. */
    void shown(String family) {
        failures.remove(family);
    }
}
