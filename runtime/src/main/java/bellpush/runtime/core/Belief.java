package bellpush.runtime.core;

import bellpush.config.model.Value;
import java.util.Optional;

/**
 * What the core holds about a property.
 *
 * @param value empty if and only if the basis is UNKNOWN
 * @param since monotonic nanoseconds of the input that it rests on
 */
public record Belief(Basis basis, Optional<Value> value, long since) {
    public enum Basis {
        /** The device said so. */
        REPORTED,
        /** We sent it, or it is the declared effect of what we sent. */
        ASSUMED, UNKNOWN;

        /** The word used in messages and the log. */
        public String word() {
            return name().toLowerCase(java.util.Locale.ROOT);
        }
    }

    static final Belief NOTHING = new Belief(Basis.UNKNOWN, Optional.empty(), Long.MIN_VALUE);
}
