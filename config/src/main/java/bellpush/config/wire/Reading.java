package bellpush.config.wire;

import bellpush.config.model.Value;
import java.util.OptionalInt;

/** What has been found so far while one message is matched. */
final class Reading {
    final byte[] message;
    private final Value[] found;
    /** Numbers that are told in two pieces, how great and which way, by name; made when the first piece is met. */
    private Pieces[] pieces;
    byte[] body;

    private static final class Pieces {
        Value size;
        OptionalInt sign = OptionalInt.empty();
    }

    Reading(byte[] message, int names) {
        this.message = message;
        found = names == 0 ? null : new Value[names];
    }

    /** Whether the value is acceptable: there is one, and it equals what the same name had elsewhere in the message. */
    boolean put(int name, Format format, Value value) {
        if (value == null) {
            return false;
        }
        if (name < 0) {
            return true;
        }
        return switch (format) {
            case Format.Size _ -> size(pieces(name), value);
            case Format.Way way -> way(pieces(name), way.sign((long) ((Value.Num) value).number()));
            default -> {
                Value before = found[name];
                found[name] = value;
                yield before == null || before.equals(value);
            }
        };
    }

    private static boolean size(Pieces of, Value value) {
        Value before = of.size;
        of.size = value;
        return before == null || before.equals(value);
    }

    private static boolean way(Pieces of, OptionalInt sign) {
        OptionalInt before = of.sign;
        of.sign = sign;
        return sign.isPresent() && (before.isEmpty() || before.equals(sign));
    }

    private Pieces pieces(int name) {
        if (pieces == null) {
            pieces = new Pieces[found.length];
        }
        if (pieces[name] == null) {
            pieces[name] = new Pieces();
        }
        return pieces[name];
    }

    /**
     * Puts together what was told in pieces. False if they are no number, such as 0 that goes up, or if one is missing.
     */
    boolean complete() {
        if (pieces == null) {
            return true;
        }
        for (int name = 0; name < pieces.length; name++) {
            Pieces of = pieces[name];
            if (of != null) {
                if (of.size == null || of.sign.isEmpty()) {
                    return false;
                }
                double size = ((Value.Num) of.size).number();
                int sign = of.sign.getAsInt();
                Value whole = Value.of(sign * size);
                if (sign != 0 && size == 0 || found[name] != null && !found[name].equals(whole)) {
                    return false;
                }
                found[name] = whole;
            }
        }
        return true;
    }

    Value get(int name) {
        return found[name];
    }
}
