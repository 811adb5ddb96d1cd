package bellpush.config.wire;

import bellpush.config.model.Value;

/** What has been found so far while one message is matched. */
final class Reading {
    final byte[] message;
    private final Value[] found;
    byte[] body;

    Reading(byte[] message, int names) {
        this.message = message;
        found = names == 0 ? null : new Value[names];
    }

    /** Whether the value is acceptable: there is one, and it equals what the same name had elsewhere in the message. */
    boolean put(int name, Value value) {
        if (value == null) {
            return false;
        }
        if (name < 0) {
            return true;
        }
        Value before = found[name];
        found[name] = value;
        return before == null || before.equals(value);
    }

    Value get(int name) {
        return found[name];
    }
}
