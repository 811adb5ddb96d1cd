package bellpush.runtime.screen;

import java.text.Normalizer;
import java.util.ArrayList;
import java.util.List;
import org.jline.utils.WCWidth;

/**
 * Text that is safe to draw. Labels come from a file and reasons from devices; neither may move the cursor, turn the
 * writing direction round or pile marks on a cell.
 */
final class PlainText {
    /** Longer text is cut before any work is done on it. */
    static final int LONGEST_CHARS = 1_000;

    private PlainText() {}

    /** One code point per cell or pair of cells: no controls, no format characters, no combining marks, no lone surrogates. */
    static String of(String text) {
        String bounded = text.length() > LONGEST_CHARS ? text.substring(0, LONGEST_CHARS) : text;
        StringBuilder plain = new StringBuilder(bounded.length());
        Normalizer.normalize(bounded, Normalizer.Form.NFC).codePoints().forEach(point -> {
            switch (Character.getType(point)) {
                case Character.CONTROL, Character.LINE_SEPARATOR, Character.PARAGRAPH_SEPARATOR ->
                    plain.append(' ');
                case Character.FORMAT, Character.NON_SPACING_MARK, Character.ENCLOSING_MARK,
                        Character.COMBINING_SPACING_MARK ->
                    {
                }
                case Character.SURROGATE, Character.PRIVATE_USE, Character.UNASSIGNED -> plain.append('?');
                case Character.SPACE_SEPARATOR -> plain.append(' ');
                default -> {
                    if (WCWidth.wcwidth(point) > 0) {
                        plain.appendCodePoint(point);
                    }
                }
            }
        });
        return plain.toString();
    }

    /** The same in ASCII: letters lose their accents, anything else becomes a question mark. */
    static String ascii(String plain) {
        StringBuilder ascii = new StringBuilder(plain.length());
        Normalizer.normalize(plain, Normalizer.Form.NFKD).codePoints().forEach(point -> {
            if (point >= ' ' && point < 127) {
                ascii.append((char) point);
            } else if (Character.getType(point) != Character.NON_SPACING_MARK) {
                ascii.append(switch (point) {
                    case '\u2018', '\u2019' -> '\'';
                    case '\u201c', '\u201d' -> '"';
                    case '\u2010', '\u2011', '\u2012', '\u2013', '\u2014', '\u2212' -> '-';
                    default -> '?';
                });
            }
        });
        return ascii.toString();
    }

    /** Columns that plain text takes. */
    static int columns(String plain) {
        return plain.codePoints().map(PlainText::columns).sum();
    }

    static int columns(int point) {
        return point < 127 ? 1 : Math.max(1, Math.min(2, WCWidth.wcwidth(point)));
    }

    /** The start of it that fits, with {@code more} as its end where something had to go. Never wider than {@code columns}. */
    static String cut(String plain, int columns, String more) {
        if (columns(plain) <= columns) {
            return plain;
        }
        int room = columns - columns(more);
        if (room < 0) {
            return "";
        }
        StringBuilder start = new StringBuilder();
        for (int at = 0; at < plain.length();) {
            int point = plain.codePointAt(at);
            room -= columns(point);
            if (room < 0) {
                break;
            }
            start.appendCodePoint(point);
            at += Character.charCount(point);
        }
        return start.toString().stripTrailing() + more;
    }

    /** Broken between words into lines of at most {@code columns}; a word that is longer than a line is cut. */
    static List<String> wrapped(String plain, int columns, String more) {
        List<String> lines = new ArrayList<>();
        StringBuilder line = new StringBuilder();
        for (String word : plain.strip().split(" +")) {
            if (!line.isEmpty() && columns(line.toString()) + 1 + columns(word) > columns) {
                lines.add(line.toString());
                line.setLength(0);
            }
            line.append(line.isEmpty() ? "" : " ").append(cut(word, columns, more));
        }
        lines.add(line.toString());
        return lines;
    }
}
