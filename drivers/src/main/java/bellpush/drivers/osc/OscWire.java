package bellpush.drivers.osc;

import bellpush.config.model.Value;
import java.util.HexFormat;
import java.util.Optional;

/**
 * Between the wire values of a kind (flag, number, text) and OSC arguments. What has no counterpart among them (blob,
 * colour, MIDI, time tag) is a text of hexadecimal digits.
 */
final class OscWire {
    /** The tags that a template may name. */
    static final String TAGS = "ifsbhtdScrmTFNI";
    private static final String NUMBERS = "ifhdTF";
    private static final String TEXTS = "sSc";
    /** Beyond this, not every whole number is a double. */
    private static final double WHOLE_MAX = 1L << 53;

    private OscWire() {}

    /**
     * The argument for a value.
     *
     * @param tag an OSC type tag, or a blank: the value decides (whole number i, or h where it is too big for i; fraction
     *            f; flag T or F; text s)
     * @throws IllegalArgumentException if the value does not fit the tag; nothing is ever cut or wrapped
     */
    static OscValue argument(char tag, Value value) {
        return switch (tag) {
            case ' ' -> byValue(value);
            case 'i' -> new OscValue.Int32((int) whole(value, Integer.MIN_VALUE, Integer.MAX_VALUE, "a 32-bit number"));
            case 'h' -> new OscValue.Int64((long) whole(value, -WHOLE_MAX, WHOLE_MAX, "a whole number up to 2^53"));
            case 'f' -> float32(number(value));
            case 'd' -> new OscValue.Float64(number(value));
            case 'T', 'F' -> OscValue.Flag.of(flag(value));
            case 's' -> new OscValue.Text(value.toString());
            case 'S' -> new OscValue.Symbol(value.toString());
            case 'c' -> new OscValue.Char(character(value));
            case 'b' -> new OscValue.Blob(hex(value, -1));
            case 'r' -> new OscValue.Colour(HexFormat.fromHexDigits(hexDigits(value, 8)));
            case 'm' -> new OscValue.Midi(HexFormat.fromHexDigits(hexDigits(value, 8)));
            case 't' -> new OscValue.Time(value.toString().equals("immediately")
                    ? OscTimeTag.IMMEDIATELY
                    : new OscTimeTag(HexFormat.fromHexDigitsToLong(hexDigits(value, 16))));
            default -> throw new IllegalArgumentException("the OSC type tag " + tag + " carries no value");
        };
    }

    private static OscValue byValue(Value value) {
        return switch (value) {
            case Value.Flag(boolean on) -> OscValue.Flag.of(on);
            case Value.Text(String text) -> new OscValue.Text(text);
            case Value.Num(double n) when n == (int) n -> new OscValue.Int32((int) n);
            case Value.Num(double n) when n == Math.rint(n) && Math.abs(n) <= WHOLE_MAX ->
                new OscValue.Int64((long) n);
            case Value.Num(double n) -> float32(n);
        };
    }

    private static OscValue.Float32 float32(double number) {
        float f = (float) number;
        if (Float.isInfinite(f)) {
            throw new IllegalArgumentException(number + " is too big for a 32-bit float (f); use d");
        }
        return new OscValue.Float32(f);
    }

    private static double whole(Value value, double min, double max, String what) {
        double n = number(value);
        if (n != Math.rint(n) || n < min || n > max) {
            throw new IllegalArgumentException(value + " is not " + what);
        }
        return n;
    }

    private static double number(Value value) {
        return switch (value) {
            case Value.Num(double n) -> n;
            case Value.Flag(boolean on) -> on ? 1 : 0;
            case Value.Text(String text) -> {
                if (text.length() > 40 || !text.matches("[+-]?\\d+(\\.\\d+)?")) {
                    throw new IllegalArgumentException("\"" + OscText.shown(text, 60) + "\" is not a number");
                }
                yield Double.parseDouble(text);
            }
        };
    }

    private static boolean flag(Value value) {
        return switch (value) {
            case Value.Flag(boolean on) -> on;
            case Value.Num(double n) when n == 0 || n == 1 -> n == 1;
            case Value.Num(double n) -> throw new IllegalArgumentException(n + " is neither 0 nor 1");
            case Value.Text(String text) -> throw new IllegalArgumentException(
                    "\"" + OscText.shown(text, 60) + "\" is neither true nor false");
        };
    }

    private static int character(Value value) {
        if (value instanceof Value.Text(String text) && text.length() == 1 && text.charAt(0) < 128) {
            return text.charAt(0);
        }
        if (value instanceof Value.Num(double n) && n == Math.rint(n) && n >= 0 && n <= 127) {
            return (int) n;
        }
        throw new IllegalArgumentException(
                "\"" + OscText.shown(value.toString(), 60) + "\" is not one ASCII character");
    }

    private static byte[] hex(Value value, int digits) {
        return HexFormat.of().parseHex(hexDigits(value, digits));
    }

    private static String hexDigits(Value value, int digits) {
        String text = value.toString().replace(" ", "");
        boolean fits = digits < 0 ? text.length() % 2 == 0 : text.length() == digits;
        if (!fits || !text.chars().allMatch(HexFormat::isHexDigit)) {
            throw new IllegalArgumentException("\"" + OscText.shown(value.toString(), 60) + "\" is not "
                    + (digits < 0 ? "an even number of" : digits) + " hexadecimal digits");
        }
        return text;
    }

    /**
     * The value of a received argument, or empty if it has none (N, arrays, numbers that are not finite). A 32-bit float is
     * the shortest decimal that means it: a device that was sent 0.1 reports 0.1 and not 0.10000000149011612.
     */
    static Optional<Value> value(OscValue argument) {
        return switch (argument) {
            case OscValue.Int32(int n) -> Optional.of(Value.of(n));
            case OscValue.Int64(long n) -> Optional.of(Value.of(n));
            case OscValue.Float32(float n) when !Float.isFinite(n) -> Optional.empty();
            case OscValue.Float32(float n) when n == (int) n -> Optional.of(Value.of(n));
            case OscValue.Float32(float n) -> Optional.of(Value.of(Double.parseDouble(Float.toString(n))));
            case OscValue.Float64(double n) -> Double.isFinite(n) ? Optional.of(Value.of(n)) : Optional.empty();
            case OscValue.Flag(boolean on) -> Optional.of(Value.of(on));
            case OscValue.Text(String text) -> Optional.of(Value.of(text));
            case OscValue.Symbol(String text) -> Optional.of(Value.of(text));
            case OscValue.Char(int code) -> Character.isValidCodePoint(code)
                    ? Optional.of(Value.of(Character.toString(code)))
                    : Optional.empty();
            case OscValue.Blob blob -> Optional.of(Value.of(HexFormat.of().formatHex(blob.shared())));
            case OscValue.Colour(int rgba) -> Optional.of(Value.of(HexFormat.of().toHexDigits(rgba)));
            case OscValue.Midi(int bytes) -> Optional.of(Value.of(HexFormat.of().toHexDigits(bytes)));
            case OscValue.Time(OscTimeTag tag) -> Optional.of(Value.of(tag.toString()));
            case OscValue.Nil _,OscValue.Impulse _,OscValue.Array _,OscValue.Unreadable _ -> Optional.empty();
        };
    }

    /**
     * Whether a field with this tag takes the argument. The device may choose another type of the same sort: a number for a
     * number (flags count as numbers), a text for a text. A field without a tag takes whatever has a value.
     */
    static boolean takes(char tag, OscValue argument) {
        if (argument instanceof OscValue.Array || argument instanceof OscValue.Unreadable) {
            return false;
        }
        char came = OscEncoder.tag(argument);
        return tag == ' ' || tag == came || NUMBERS.indexOf(tag) >= 0 && NUMBERS.indexOf(came) >= 0
                || TEXTS.indexOf(tag) >= 0 && TEXTS.indexOf(came) >= 0;
    }
}
