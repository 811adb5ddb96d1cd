package bellpush.runtime.prove;

import bellpush.config.model.PropertyRef;
import bellpush.config.model.Value;

/** What a property holds, which need not have been chosen yet. Where it is copied, the copies are the same object. */
final class Unknown {
    enum Origin {
        /** So it stood when the story begins. */
        START,
        /** We sent it, or it follows from what we sent. */
        SENT,
        /** A command changed it to something that nobody can foretell. */
        EFFECT,
        /** Somebody changed it at the device after we had set it. */
        HAND
    }

    final PropertyRef of;
    Origin origin;
    Value value;

    Unknown(PropertyRef of, Origin origin) {
        this.of = of;
        this.origin = origin;
    }

    static Unknown known(PropertyRef of, Value value) {
        Unknown known = new Unknown(of, Origin.SENT);
        known.value = value;
        return known;
    }

    boolean open() {
        return value == null;
    }
}
