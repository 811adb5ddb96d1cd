package bellpush.config.wire;

import bellpush.config.model.Value;
import java.math.BigDecimal;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.util.OptionalInt;

/** How one field looks on the wire. Nothing is ever cut or wrapped: what does not fit is refused. */
public sealed interface Format {
    /** Any number of bytes, up to the next literal or the end: a number as its shortest decimal, a text as UTF-8. Reads as text. */
    record Plain() implements Format {}

    /** Unsigned decimal digits without padding, at most 10. For {@code sequence} and {@code length} in text templates. */
    record Digits() implements Format {}

    /** An integer of 1, 2 or 4 bytes. */
    record Int(int bytes, boolean signed, boolean little) implements Format {}

    /** IEEE 754 binary32. */
    record Float32(boolean little) implements Format {}

    /** Half a byte: one hex digit of the template. */
    record Nibble() implements Format {}

    /** {@code count} bytes {@code 0d}, the highest digit first; {@code signed}: two's complement over 4·count bits. */
    record Nibbles(int count, boolean signed) implements Format {}

    /** Packed decimal, two digits a byte, the highest first. {@code digits} is even. */
    record Bcd(int digits) implements Format {}

    /** ASCII decimal digits, zero-padded; a sign takes the first digit's place. */
    record Dec(int digits) implements Format {}

    /** ASCII hex digits, written upper-case, read in either. */
    record Hex(int digits) implements Format {}

    /**
     * How great a number is, whatever its sign: half a byte ({@code bits} 4), one byte (8) or two (16), the high one first. Stands
     * in a message together with {@link Way} of the same name. In place of 0 stands {@code atRest}: some devices want a speed
     * of at least 1 also where nothing moves.
     */
    record Size(int bits, int atRest) implements Format {}

    /** Which way a number goes: one code below 0, one at 0, one above; {@code digits} hex digits each, 1, 2 or 4. */
    record Way(int digits, int below, int rest, int above) implements Format {
        private String hex(int code) {
            return java.util.HexFormat.of().toHexDigits(code, digits);
        }

        /** -1, 0 or 1 for a code of its own; empty for any other. */
        OptionalInt sign(long code) {
            return code == rest
                    ? OptionalInt.of(0)
                    : code == below ? OptionalInt.of(-1) : code == above ? OptionalInt.of(1) : OptionalInt.empty();
        }
    }

    /** Exactly {@code bytes} bytes of UTF-8, padded at the end with spaces. */
    record TextFixed(int bytes) implements Format {}

    /** A checksum over the bytes before it, from byte {@code from} (counted from 0) on; {@code hex}: as ASCII hex digits. */
    record Check(Checksum kind, int from, boolean hex) implements Format {}

    /** The message within an envelope. */
    record Body() implements Format {}

    /** Bytes it always takes, or -1 if that depends on the value. A nibble says 0: it shares its byte. */
    default int width() {
        return switch (this) {
            case Plain _,Digits _,Body _ -> -1;
            case Int i -> i.bytes;
            case Float32 _ -> 4;
            case Nibble _ -> 0;
            case Size s -> s.bits / 8;
            case Way w -> w.digits / 2;
            case Nibbles n -> n.count;
            case Bcd b -> b.digits / 2;
            case Dec d -> d.digits;
            case Hex h -> h.digits;
            case TextFixed t -> t.bytes;
            case Check c -> c.kind.width() * (c.hex ? 2 : 1);
        };
    }

    /** Whether it holds numbers only. */
    default boolean number() {
        return switch (this) {
            case Plain _,TextFixed _,Body _,Check _ -> false;
            case Digits _,Int _,Float32 _,Nibble _,Nibbles _,Bcd _,Dec _,Hex _,Size _,Way _ -> true;
        };
    }

    /** Whether it holds whole numbers only. */
    default boolean whole() {
        return number() && !(this instanceof Float32);
    }

    /** The least number it holds; for formats that hold numbers only. */
    default double min() {
        return switch (this) {
            case Int i -> i.signed ? -Math.scalb(1.0, 8 * i.bytes - 1) : 0;
            case Nibbles n -> n.signed ? -Math.scalb(1.0, 4 * n.count - 1) : 0;
            case Dec d -> d.digits == 1 ? 0 : 1 - Math.pow(10, d.digits - 1.0);
            case Float32 _ -> -Float.MAX_VALUE;
            case Size _ -> -max();
            case Way _ -> -Math.scalb(1.0, 52);
            default -> 0;
        };
    }

    /** The greatest number it holds; for formats that hold numbers only. */
    default double max() {
        return switch (this) {
            case Int i -> Math.scalb(1.0, 8 * i.bytes - (i.signed ? 1 : 0)) - 1;
            case Nibble _ -> 15;
            case Size s -> Math.scalb(1.0, s.bits) - 1;
            case Way _ -> Math.scalb(1.0, 52);
            case Nibbles n -> Math.scalb(1.0, 4 * n.count - (n.signed ? 1 : 0)) - 1;
            case Bcd b -> Math.pow(10, b.digits) - 1;
            case Dec d -> Math.pow(10, d.digits) - 1;
            case Hex h -> Math.scalb(1.0, 4 * h.digits) - 1;
            case Digits _ -> 4294967295.0;
            case Float32 _ -> Float.MAX_VALUE;
            default -> Double.POSITIVE_INFINITY;
        };
    }

    /** How a template writes it; empty for the plain format and the body. */
    default String word() {
        return switch (this) {
            case Plain _,Digits _,Body _ -> "";
            case Int i -> (i.signed ? "s" : "u") + 8 * i.bytes + (i.little ? "le" : "");
            case Float32 f -> f.little ? "f32le" : "f32";
            case Nibble _ -> "nibble";
            case Nibbles n -> (n.signed ? "snibbles" : "nibbles") + n.count;
            case Bcd b -> "bcd" + b.digits;
            case Dec d -> "dec" + d.digits;
            case Hex h -> "hex" + h.digits;
            case Size s -> "size" + s.bits + (s.atRest == 0 ? "" : " or " + s.atRest);
            case Way w -> ("way " + w.hex(w.below) + " " + w.hex(w.rest) + " " + w.hex(w.above));
            case TextFixed t -> "text" + t.bytes;
            case Check c -> c.kind.word() + (c.from > 0 ? "@" + c.from : "") + (c.hex ? ".hex" : "");
        };
    }

    /**
     * Appends a wire value.
     *
     * @throws IllegalArgumentException if it does not fit; the message is for people and names the field
     */
    default void write(Out out, String name, Value value) {
        switch (this) {
            case Plain _ -> writePlain(out, name, value);
            case Digits _ -> out.decimal(wholeNumber(name, value));
            case Int i -> out.integer(wholeNumber(name, value), i.bytes, i.little);
            case Float32 f -> out.integer(Float.floatToIntBits(single(name, value)), 4, f.little);
            case Nibble _ -> throw new IllegalStateException("a nibble shares its byte");
            case Size _,Way _ -> out.integer(digits(name, value), width(), false);
            case Nibbles n -> {
                long number = wholeNumber(name, value);
                for (int i = n.count - 1; i >= 0; i--) {
                    out.put((int) (number >> 4 * i) & 0xf);
                }
            }
            case Bcd b -> {
                long number = wholeNumber(name, value);
                long packed = 0;
                for (int shift = 0; shift < 4 * b.digits; shift += 4, number /= 10) {
                    packed |= number % 10 << shift;
                }
                out.integer(packed, b.digits / 2, false);
            }
            case Dec d -> {
                long number = wholeNumber(name, value);
                if (number < 0) {
                    out.put('-');
                    out.decimals(-number, d.digits - 1);
                } else {
                    out.decimals(number, d.digits);
                }
            }
            case Hex h -> out.hexes(wholeNumber(name, value), h.digits);
            case TextFixed t -> writeFixed(out, name, value, t.bytes);
            case Check _,Body _ -> throw new IllegalStateException("not a value's format");
        }
    }

    /** What stands in the message for a whole number, of a format that has a fixed count of hex digits. */
    default long digits(String name, Value value) {
        long number = wholeNumber(name, value);
        return switch (this) {
            case Size s -> number == 0 ? s.atRest : Math.abs(number);
            case Way w -> number == 0 ? w.rest : number < 0 ? w.below : w.above;
            default -> number;
        };
    }

    private void writePlain(Out out, String name, Value value) {
        switch (value) {
            case Value.Num(double n) -> writeShortest(out, n);
            case Value.Text(String t) -> {
                if (!out.text(t)) {
                    throw refused(name,
                            "the text holds half a character (an unpaired surrogate), which cannot be sent");
                }
            }
            case Value.Flag _ ->
                throw refused(name, "true and false have no bytes of their own; give the flag wire values, "
                        + "such as \"wire\": [\"OFF\", \"ON\"]");
        }
    }

    private static void writeShortest(Out out, double n) {
        long limit = 1L << 53;
        double power = 1;
        for (int places = 0; places <= 6; places++, power *= 10) {
            double scaled = Math.rint(n * power);
            if (Math.abs(scaled) >= limit) {
                break;
            }
            if (scaled / power == n) { // both exact, so this division rounds as reading the decimal does
                long units = (long) scaled;
                long unit = (long) power;
                if (units < 0) {
                    out.put('-');
                    units = -units;
                }
                out.decimal(units / unit);
                if (places > 0) {
                    out.put('.');
                    out.decimals(units % unit, places);
                }
                return;
            }
        }
        out.text(new BigDecimal(Double.toString(n)).stripTrailingZeros().toPlainString());
    }

    private void writeFixed(Out out, String name, Value value, int bytes) {
        int before = out.size();
        writePlain(out, name, value);
        int used = out.size() - before;
        if (used > bytes) {
            throw refused(name, shown(value) + " takes " + used + " bytes and the field has " + bytes);
        }
        if (used > 0 && out.raw()[out.size() - 1] == ' ') {
            throw refused(name, "a text that ends with a space cannot be told from the padding of this field");
        }
        out.fill(bytes - used, ' ');
    }

    /** The value as a whole number that this format holds. */
    default long wholeNumber(String name, Value value) {
        double n = numberWithin(name, value);
        if (n != Math.rint(n)) {
            throw refused(name, shown(value) + " has a fraction and the field holds whole numbers only");
        }
        return (long) n;
    }

    private float single(String name, Value value) {
        return (float) numberWithin(name, value);
    }

    private double numberWithin(String name, Value value) {
        if (!(value instanceof Value.Num(double n))) {
            throw refused(name, shown(value) + " is not a number");
        }
        if (n < min() || n > max()) {
            throw refused(name,
                    shown(value) + " does not fit; the field holds " + Value.of(min()) + " to " + Value.of(max()));
        }
        return n;
    }

    private IllegalArgumentException refused(String name, String why) {
        String format = word();
        return new IllegalArgumentException("field {" + name + (format.isEmpty() ? "" : ":" + format) + "}: " + why);
    }

    private static String shown(Value value) {
        String text = value.toString();
        String few = text.length() > 40 ? text.substring(0, 40) + "…" : text;
        return value instanceof Value.Text ? "\"" + few + "\"" : few;
    }

    /** The wire value in bytes [from, to), which are {@link #width()} many where that is fixed; null if they are none of this format. */
    default Value read(byte[] b, int from, int to) {
        return switch (this) {
            case Plain _ -> utf8(b, from, to);
            case Digits _ -> {
                long n = to - from > 10 ? -1 : digits(b, from, to, 10);
                yield n < 0 || n > max() ? null : Value.of(n);
            }
            case Int i -> {
                long n = integer(b, from, to, i.little);
                int unused = 64 - 8 * i.bytes;
                yield Value.of(i.signed ? n << unused >> unused : n);
            }
            case Float32 f -> {
                float n = Float.intBitsToFloat((int) integer(b, from, to, f.little));
                yield Float.isFinite(n) ? Value.of(n) : null;
            }
            case Nibble _ -> null;
            case Size _,Way _ -> Value.of(integer(b, from, to, false));
            case Nibbles n -> {
                long number = 0;
                boolean good = true;
                for (int i = from; i < to; i++) {
                    good &= (b[i] & 0xf0) == 0;
                    number = number << 4 | b[i] & 0xf;
                }
                int unused = 64 - 4 * n.count;
                yield good ? Value.of(n.signed ? number << unused >> unused : number) : null;
            }
            case Bcd _ -> {
                long number = 0;
                boolean good = true;
                for (int i = from; i < to; i++) {
                    int high = b[i] >> 4 & 0xf;
                    int low = b[i] & 0xf;
                    good &= high < 10 && low < 10;
                    number = number * 100 + high * 10 + low;
                }
                yield good ? Value.of(number) : null;
            }
            case Dec _ -> {
                boolean sign = b[from] == '-' || b[from] == '+';
                long n = digits(b, sign ? from + 1 : from, to, 10);
                yield n < 0 ? null : Value.of(b[from] == '-' ? -n : n);
            }
            case Hex _ -> {
                long n = digits(b, from, to, 16);
                yield n < 0 ? null : Value.of(n);
            }
            case TextFixed _ -> {
                int end = to;
                while (end > from && b[end - 1] == ' ') {
                    end--;
                }
                yield utf8(b, from, end);
            }
            case Check _,Body _ -> null;
        };
    }

    private static long integer(byte[] b, int from, int to, boolean little) {
        long n = 0;
        for (int i = from; i < to; i++) {
            n = n << 8 | b[little ? to - 1 - (i - from) : i] & 0xff;
        }
        return n;
    }

    /** ASCII digits as a number; -1 if there are none, or others among them. Callers keep it within 15 decimal or 13 hex digits. */
    private static long digits(byte[] b, int from, int to, int base) {
        long n = from == to ? -1 : 0;
        for (int i = from; i < to && n >= 0; i++) {
            int digit = b[i] < 0 ? -1 : Character.digit(b[i], base);
            n = digit < 0 ? -1 : n * base + digit;
        }
        return n;
    }

    /** Null if it is not UTF-8: a device's bytes are not bent into what was expected. */
    private static Value utf8(byte[] b, int from, int to) {
        for (int i = from; i < to; i++) {
            if (b[i] < 0) {
                try {
                    return Value.of(
                            StandardCharsets.UTF_8.newDecoder().decode(ByteBuffer.wrap(b, from, to - from)).toString());
                } catch (CharacterCodingException e) {
                    return null;
                }
            }
        }
        return Value.of(new String(b, from, to - from, StandardCharsets.ISO_8859_1));
    }
}
