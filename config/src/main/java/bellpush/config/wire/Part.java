package bellpush.config.wire;

import bellpush.config.model.Value;
import java.util.Arrays;
import java.util.Map;

/** A piece of a compiled template. Offsets are those of the template's text. */
sealed interface Part {
    Value ONE = Value.of(1);
    Value EMPTY = Value.of("");

    /** Bytes it always takes, or -1 if that depends on the value. */
    int width();

    /** Appends its bytes. */
    void write(Out out, Map<String, Value> values);

    /** Whether bytes [from, to) of the message fit, {@link #width()} many where that is fixed. */
    boolean read(Reading reading, int from, int to);

    record Literal(byte[] bytes) implements Part {
        @Override
        public int width() {
            return bytes.length;
        }

        @Override
        public void write(Out out, Map<String, Value> values) {
            out.put(bytes);
        }

        @Override
        public boolean read(Reading reading, int from, int to) {
            return Arrays.equals(reading.message, from, to, bytes, 0, bytes.length);
        }
    }

    /** A field with a value: its own property, an argument, {@code sequence} or {@code any}. */
    record Slot(String name, int index, Format format, int offset) implements Part {
        @Override
        public int width() {
            return format.width();
        }

        @Override
        public void write(Out out, Map<String, Value> values) {
            format.write(out, name, value(values));
        }

        Value value(Map<String, Value> values) {
            if (index < 0) {
                return format.number() ? ONE : EMPTY;
            }
            Value value = values.get(name);
            if (value == null) {
                throw new IllegalArgumentException("no value for the field {" + name + "}");
            }
            return value;
        }

        @Override
        public boolean read(Reading reading, int from, int to) {
            if (index < 0 && format instanceof Format.Plain) {
                return true; // anything, also what is no UTF-8
            }
            return reading.put(index, format, format.read(reading.message, from, to));
        }
    }

    /** One byte of which at least one half is a field; the other half is the digit {@code high} or {@code low}. */
    record Halves(Slot highSlot, int high, Slot lowSlot, int low) implements Part {
        @Override
        public int width() {
            return 1;
        }

        @Override
        public void write(Out out, Map<String, Value> values) {
            int h = highSlot == null ? high : (int) highSlot.format.digits(highSlot.name, highSlot.value(values));
            int l = lowSlot == null ? low : (int) lowSlot.format.digits(lowSlot.name, lowSlot.value(values));
            out.put(h << 4 | l);
        }

        @Override
        public boolean read(Reading reading, int from, int to) {
            int h = reading.message[from] >> 4 & 0xf;
            int l = reading.message[from] & 0xf;
            return (highSlot == null ? h == high : reading.put(highSlot.index, highSlot.format, Value.of(h)))
                    && (lowSlot == null ? l == low : reading.put(lowSlot.index, lowSlot.format, Value.of(l)));
        }
    }

    /** The count of bytes after it, plus {@code plus}. Written once the rest of the message is. */
    record Length(Format format, int plus, int offset) implements Part {
        @Override
        public int width() {
            return format.width();
        }

        @Override
        public void write(Out out, Map<String, Value> values) {
            out.fill(Math.max(0, width()), 0);
        }

        byte[] of(int bytesAfter) {
            Out out = new Out(Math.max(4, width()));
            format.write(out, "length", Value.of((double) bytesAfter + plus));
            return out.bytes();
        }

        @Override
        public boolean read(Reading reading, int from, int to) {
            return format.read(reading.message, from, to) instanceof Value.Num(double n)
                    && n == (double) (reading.message.length - to) + plus;
        }
    }

    /** A checksum over the bytes before it. Written once they are final. */
    record Check(Format.Check format, int offset) implements Part {
        @Override
        public int width() {
            return format.width();
        }

        @Override
        public void write(Out out, Map<String, Value> values) {
            out.fill(width(), 0);
        }

        byte[] over(byte[] message, int at) {
            if (format.from() > at) {
                throw new IllegalArgumentException(
                        "the checksum begins at byte " + format.from() + " but stands at byte " + at);
            }
            int sum = format.kind().over(message, format.from(), at);
            Out out = new Out(width());
            if (format.hex()) {
                out.hexes(sum, width());
            } else {
                out.integer(sum, width(), false);
            }
            return out.bytes();
        }

        @Override
        public boolean read(Reading reading, int from, int to) {
            if (format.from() > from) {
                return false;
            }
            int sum = format.kind().over(reading.message, format.from(), from);
            Format stands = format.hex() ? new Format.Hex(to - from) : new Format.Int(to - from, false, false);
            return stands.read(reading.message, from, to) instanceof Value.Num(double n) && n == sum;
        }
    }

    /** The message within an envelope; written by {@link WireTemplate#wrap}. */
    record Body(int offset) implements Part {
        @Override
        public int width() {
            return -1;
        }

        @Override
        public void write(Out out, Map<String, Value> values) {
            throw new IllegalArgumentException("this template is an envelope: it wraps a message and is none itself");
        }

        @Override
        public boolean read(Reading reading, int from, int to) {
            reading.body = Arrays.copyOfRange(reading.message, from, to);
            return true;
        }
    }
}
