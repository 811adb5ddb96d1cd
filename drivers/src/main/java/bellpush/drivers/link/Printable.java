package bellpush.drivers.link;

import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;

/** Messages as people can read them in a log: no control characters, never long. */
public final class Printable {
    /** What {@link MessageCodec#show} and every log line keep to, in UTF-16 units. */
    public static final int LENGTH_MAX = 400;

    private Printable() {}

    /**
     * The bytes as text if they are printable UTF-8, else as pairs of hex digits. Line ends after the text are shown as
     * {@code \\r} and {@code \\n}: a framing that leaves one of them over is a common mistake in a kind.
     */
    public static String bytes(byte[] message) {
        int end = message.length;
        while (end > 0 && (message[end - 1] == '\r' || message[end - 1] == '\n')) {
            end--;
        }
        if (end == 0 || end == message.length || message.length - end > 4) {
            return plainBytes(message);
        }
        String text = plainBytes(Arrays.copyOf(message, end));
        if (text.equals(hex(Arrays.copyOf(message, end)))) {
            return hex(message);
        }
        String ends = new String(message, end, message.length - end, StandardCharsets.US_ASCII);
        return shortened(text + ends.replace("\r", "\\r").replace("\n", "\\n"));
    }

    private static String plainBytes(byte[] message) {
        int looked = Math.min(message.length, LENGTH_MAX);
        for (int i = 0; i < looked; i++) {
            if ((message[i] & 0xff) < 0x20 || message[i] == 0x7f) {
                return hex(message);
            }
        }
        try {
            // All of it, not a piece: a cut in the middle of a character would look like a wrong one.
            String text = StandardCharsets.UTF_8.newDecoder().decode(ByteBuffer.wrap(message)).toString();
            return text.chars().anyMatch(Printable::unprintable) ? hex(message) : shortened(text);
        } catch (CharacterCodingException _) {
            return hex(message);
        }
    }

    /** Pairs of hex digits with blanks between them. */
    public static String hex(byte[] message) {
        int shown = Math.min(message.length, LENGTH_MAX / 3);
        var text = new StringBuilder(3 * shown + 1);
        for (int i = 0; i < shown; i++) {
            text.append(i == 0 ? "" : " ").append(Character.forDigit(message[i] >> 4 & 15, 16))
                    .append(Character.forDigit(message[i] & 15, 16));
        }
        return text.append(shown < message.length ? "…" : "").toString();
    }

    /** Text with question marks for control characters, shortened to {@link #LENGTH_MAX}. */
    public static String text(String text) {
        String shown = shortened(text);
        if (shown.chars().noneMatch(Printable::unprintable)) {
            return shown;
        }
        var clean = new StringBuilder(shown.length());
        shown.chars().forEach(c -> clean.append(unprintable(c) ? '?' : (char) c));
        return clean.toString();
    }

    /** Besides control characters, those that turn the direction of writing or break a line: they could forge a log line. */
    private static boolean unprintable(int c) {
        return Character.isISOControl(c) || c == 0x2028 || c == 0x2029 || c >= 0x202a && c <= 0x202e
                || c >= 0x2066 && c <= 0x2069;
    }

    private static String shortened(String text) {
        if (text.length() <= LENGTH_MAX) {
            return text;
        }
        int end = Character.isHighSurrogate(text.charAt(LENGTH_MAX - 2)) ? LENGTH_MAX - 2 : LENGTH_MAX - 1;
        return text.substring(0, end) + "…";
    }
}
