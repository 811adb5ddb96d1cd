package bellpush.config.json;

import bellpush.config.model.Source;
import bellpush.config.problem.Spot;
import java.util.Arrays;

/** A file's text with the place of each of its lines. A line ends with LF, CR, or CR LF. */
final class SourceText {
    final String file;
    final String text;
    private final int[] lineStarts;

    SourceText(String file, String text) {
        this.file = file;
        this.text = text;
        int[] starts = new int[16];
        int count = 1;
        for (int i = 0; i < text.length(); i++) {
            char c = text.charAt(i);
            if (c == '\n' || c == '\r' && (i + 1 == text.length() || text.charAt(i + 1) != '\n')) {
                if (count == starts.length) {
                    starts = Arrays.copyOf(starts, count * 2);
                }
                starts[count++] = i + 1;
            }
        }
        this.lineStarts = Arrays.copyOf(starts, count);
    }

    Spot spot(int offset, int length) {
        int at = Math.clamp(offset, 0, text.length());
        int found = Arrays.binarySearch(lineStarts, at);
        int line = found >= 0 ? found : -found - 2;
        return new Spot(new Source(file, line + 1, at - lineStarts[line] + 1), Math.max(1, length));
    }

    /** The offset after the closing quotation mark of the text that opens at {@code offset}, or the end of its line. */
    int endOfQuoted(int offset) {
        int i = offset + 1;
        while (i < text.length() && text.charAt(i) != '"' && text.charAt(i) >= ' ') {
            i += text.charAt(i) == '\\' ? 2 : 1;
        }
        return Math.min(text.length(), i < text.length() && text.charAt(i) == '"' ? i + 1 : i);
    }

    /** The offset of the first character that is neither white space nor in a comment. */
    int skipBlanks(int offset) {
        int i = offset;
        while (i < text.length()) {
            char c = text.charAt(i);
            if (c == ' ' || c == '\t' || c == '\n' || c == '\r') {
                i++;
            } else if (text.startsWith("//", i)) {
                while (i < text.length() && text.charAt(i) != '\n' && text.charAt(i) != '\r') {
                    i++;
                }
            } else if (text.startsWith("/*", i)) {
                int end = text.indexOf("*/", i + 2);
                if (end < 0) {
                    return i;
                }
                i = end + 2;
            } else {
                return i;
            }
        }
        return i;
    }

    /** The offset after the word, number or single character at {@code offset}. */
    int endOfWord(int offset) {
        int i = offset;
        while (i < text.length()
                && (Character.isLetterOrDigit(text.charAt(i)) || "+-._".indexOf(text.charAt(i)) >= 0)) {
            i++;
        }
        return Math.max(i, Math.min(offset + 1, text.length()));
    }
}
