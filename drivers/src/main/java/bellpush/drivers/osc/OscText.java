package bellpush.drivers.osc;

import java.util.HexFormat;
import java.util.List;

/** OSC messages for a log: printable whatever a device sends, on one line, never longer than asked. */
final class OscText {
    /** Text is cut here before it is even looked at, so that showing a long packet costs no more than a short one. */
    private final StringBuilder out = new StringBuilder(64);
    private final int longest;

    private OscText(int longest) {
        this.longest = longest;
    }

    /** Like {@code /key/fill i 3} or {@code /line si "Titles" 2}: address, type tags, then what has a value. */
    static String shown(OscMessage message, int longest) {
        OscText text = new OscText(longest);
        text.escape(message.address());
        if (!message.arguments().isEmpty()) {
            text.out.append(' ');
            text.tags(message.arguments());
            text.values(message.arguments());
        }
        return text.cut();
    }

    static String shown(String anything, int longest) {
        OscText text = new OscText(longest);
        text.escape(anything);
        return text.cut();
    }

    static String shownChar(char c) {
        return c == ' ' ? "a space" : shown(String.valueOf(c), 10);
    }

    private String cut() {
        return out.length() <= longest ? out.toString() : out.substring(0, longest - 1) + "…";
    }

    private boolean full() {
        return out.length() > longest;
    }

    private void tags(List<OscValue> values) {
        for (OscValue value : values) {
            if (full()) {
                return;
            }
            switch (value) {
                case OscValue.Array(List<OscValue> elements) -> {
                    out.append('[');
                    tags(elements);
                    out.append(']');
                }
                case OscValue.Unreadable(String tags, int _) -> escape(tags.isEmpty() ? "(no type tags)" : tags);
                default -> out.append(OscEncoder.tag(value));
            }
        }
    }

    private void values(List<OscValue> values) {
        for (OscValue value : values) {
            if (full()) {
                return;
            }
            switch (value) {
                case OscValue.Int32(int n) -> out.append(' ').append(n);
                case OscValue.Int64(long n) -> out.append(' ').append(n);
                case OscValue.Float32(float n) -> out.append(' ').append(n);
                case OscValue.Float64(double n) -> out.append(' ').append(n);
                case OscValue.Text(String text) -> quote(text);
                case OscValue.Symbol(String text) -> quote(text);
                case OscValue.Char(int code) -> quote(Character.isValidCodePoint(code)
                        ? Character.toString(code)
                        : "?");
                case OscValue.Time(OscTimeTag tag) -> out.append(' ').append(tag);
                case OscValue.Colour(int rgba) -> out.append(" #").append(HexFormat.of().toHexDigits(rgba));
                case OscValue.Midi(int bytes) -> out.append(' ').append(HexFormat.of().toHexDigits(bytes));
                case OscValue.Blob blob -> blob(blob.shared());
                case OscValue.Array(List<OscValue> elements) -> {
                    out.append(" [");
                    values(elements);
                    out.append(" ]");
                }
                case OscValue.Unreadable(String _, int bytes) ->
                    out.append(" (").append(bytes).append(" bytes not read)");
                case OscValue.Flag _,OscValue.Nil _,OscValue.Impulse _ -> {
                }
            }
        }
    }

    private void blob(byte[] bytes) {
        out.append(" (").append(bytes.length).append(" bytes");
        if (bytes.length > 0) {
            out.append(": ").append(HexFormat.of().formatHex(bytes, 0, Math.min(bytes.length, 16)));
        }
        out.append(bytes.length > 16 ? "…)" : ")");
    }

    private void quote(String text) {
        out.append(" \"");
        escape(text);
        out.append('"');
    }

    private void escape(String text) {
        for (int i = 0; i < text.length() && !full();) {
            int c = text.codePointAt(i);
            i += Character.charCount(c);
            switch (c) {
                case '\n' -> out.append("\\n");
                case '\r' -> out.append("\\r");
                case '\t' -> out.append("\\t");
                case '"' -> out.append("\\\"");
                case '\\' -> out.append("\\\\");
                default -> {
                    if (printable(c)) {
                        out.appendCodePoint(c);
                    } else {
                        out.append(String.format("\\u%04x", c));
                    }
                }
            }
        }
    }

    /** Neither control characters nor those that turn the direction of writing, hide, or are half a character. */
    private static boolean printable(int c) {
        return switch (Character.getType(c)) {
            case Character.CONTROL, Character.FORMAT, Character.SURROGATE, Character.UNASSIGNED, Character.PRIVATE_USE,
                    Character.LINE_SEPARATOR, Character.PARAGRAPH_SEPARATOR ->
                false;
            default -> true;
        };
    }
}
