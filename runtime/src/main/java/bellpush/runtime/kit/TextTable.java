package bellpush.runtime.kit;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * Rows of words in columns. Where they are wider than the terminal, the widest columns get narrower and their words go to more lines; nothing
 * is cut off.
 */
final class TextTable {
    private static final String GAP = "  ";
    /** A column is never narrower than this, whatever the terminal: it then overflows, which is better than single letters. */
    private static final int NARROWEST = 6;

    private final List<String[]> rows = new ArrayList<>();
    private final int columns;

    TextTable(String... heads) {
        columns = heads.length;
        rows.add(heads);
    }

    TextTable row(String... cells) {
        rows.add(cells);
        return this;
    }

    /** @param width columns of the terminal */
    String render(int width) {
        int[] widths = widths(width);
        StringBuilder out = new StringBuilder();
        for (int i = 0; i < rows.size(); i++) {
            line(out, rows.get(i), widths);
            if (i == 0) {
                line(out, Arrays.stream(widths).mapToObj("-"::repeat).toArray(String[]::new), widths);
            }
        }
        return out.toString();
    }

    private int[] widths(int width) {
        int[] widths = new int[columns];
        int[] words = new int[columns];
        rows.forEach(row -> {
            for (int i = 0; i < columns; i++) {
                widths[i] = Math.max(widths[i], length(row[i]));
                words[i] = Math.max(words[i],
                        Arrays.stream(row[i].split(" ")).mapToInt(TextTable::length).max().orElse(0));
            }
        });
        int room = width - GAP.length() * (columns - 1);
        narrow(widths, words, room); // between words, as long as that is enough
        int[] narrowest = new int[columns];
        Arrays.fill(narrowest, NARROWEST);
        narrow(widths, narrowest, room);
        return widths;
    }

    /** Takes from the widest column that is wider than its least width, until all fit or none can give. */
    private static void narrow(int[] widths, int[] least, int room) {
        while (Arrays.stream(widths).sum() > room) {
            int widest = -1;
            for (int i = 0; i < widths.length; i++) {
                if (widths[i] > least[i] && (widest < 0 || widths[i] > widths[widest])) {
                    widest = i;
                }
            }
            if (widest < 0) {
                return;
            }
            widths[widest]--;
        }
    }

    private void line(StringBuilder out, String[] cells, int[] widths) {
        List<List<String>> wrapped = new ArrayList<>();
        for (int i = 0; i < columns; i++) {
            wrapped.add(wrapped(cells[i], widths[i]));
        }
        int lines = wrapped.stream().mapToInt(List::size).max().orElse(1);
        for (int line = 0; line < lines; line++) {
            StringBuilder text = new StringBuilder();
            for (int i = 0; i < columns; i++) {
                String part = line < wrapped.get(i).size() ? wrapped.get(i).get(line) : "";
                text.append(part).append(" ".repeat(Math.max(0, widths[i] - length(part)))).append(GAP);
            }
            out.append(text.toString().stripTrailing()).append('\n');
        }
    }

    /** Broken between words; a word longer than the line is broken as well. */
    static List<String> wrapped(String text, int width) {
        List<String> lines = new ArrayList<>();
        StringBuilder line = new StringBuilder();
        for (String word : text.split(" ")) {
            String rest = word;
            if (!line.isEmpty() && length(line) + 1 + length(rest) > width) {
                lines.add(line.toString());
                line.setLength(0);
            }
            while (line.isEmpty() && length(rest) > width) {
                int cut = rest.offsetByCodePoints(0, width);
                lines.add(rest.substring(0, cut));
                rest = rest.substring(cut);
            }
            line.append(line.isEmpty() ? "" : " ").append(rest);
        }
        lines.add(line.toString());
        return lines;
    }

    private static int length(CharSequence text) {
        return text.toString().codePointCount(0, text.length());
    }
}
