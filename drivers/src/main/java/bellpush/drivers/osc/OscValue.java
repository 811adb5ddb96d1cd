package bellpush.drivers.osc;

import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;

/**
 * One argument of an OSC message. Every type tag of OSC 1.0 has a record; {@link Unreadable} stands for what a received
 * message holds and we cannot read. Immutable.
 */
public sealed interface OscValue {
    /** {@code i} */
    record Int32(int number) implements OscValue {}

    /** {@code f}. All 32 bits count: a not-a-number goes out as it came in. */
    record Float32(float number) implements OscValue {}

    /** {@code s}. Sent as UTF-8, of which the ASCII of OSC 1.0 is a part; holds no NUL. */
    record Text(String text) implements OscValue {}

    /** {@code b} */
    record Blob(byte[] bytes) implements OscValue {
        public Blob {
            bytes = bytes.clone();
        }

        @Override
        public byte[] bytes() {
            return bytes.clone();
        }

        /** As {@link #bytes}, without the copy; for those in this package who only read. */
        byte[] shared() {
            return bytes;
        }

        @Override
        public boolean equals(Object other) {
            return other instanceof Blob(byte[] theirs) && Arrays.equals(bytes, theirs);
        }

        @Override
        public int hashCode() {
            return Arrays.hashCode(bytes);
        }

        @Override
        public String toString() {
            return "Blob[" + HexFormat.of().formatHex(bytes) + "]";
        }
    }

    /** {@code h} */
    record Int64(long number) implements OscValue {}

    /** {@code t} */
    record Time(OscTimeTag tag) implements OscValue {}

    /** {@code d} */
    record Float64(double number) implements OscValue {}

    /** {@code S}: a text that some systems tell from {@link Text}. */
    record Symbol(String text) implements OscValue {}

    /** {@code c}: an ASCII character (0 to 127 where we send it) in 32 bits. */
    record Char(int code) implements OscValue {}

    /** {@code r}: red, green, blue, alpha, a byte each, red highest. */
    record Colour(int rgba) implements OscValue {}

    /** {@code m}: four bytes, from the highest: port, status, data, data. */
    record Midi(int bytes) implements OscValue {}

    /** {@code T} and {@code F} */
    record Flag(boolean on) implements OscValue {
        public static final Flag ON = new Flag(true);
        public static final Flag OFF = new Flag(false);

        public static Flag of(boolean on) {
            return on ? ON : OFF;
        }
    }

    /** {@code N} */
    record Nil() implements OscValue {
        public static final Nil NIL = new Nil();
    }

    /** {@code I}: "infinitum" in OSC 1.0, "impulse" in 1.1. */
    record Impulse() implements OscValue {
        public static final Impulse IMPULSE = new Impulse();
    }

    /** {@code [ ]} */
    record Array(List<OscValue> elements) implements OscValue {
        public Array {
            elements = List.copyOf(elements);
        }
    }

    /**
     * All arguments of a received message whose type tags we do not know, or that has none. OSC 1.0 wants such a message
     * discarded: no template matches it, and it cannot be sent. It is kept this far so that the log can say what came.
     *
     * @param tags  the type tags without the comma, shortened; empty if the message has no type tag string
     * @param bytes how many bytes of data were left unread
     */
    record Unreadable(String tags, int bytes) implements OscValue {}
}
