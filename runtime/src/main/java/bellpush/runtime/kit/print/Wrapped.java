package bellpush.runtime.kit.print;

import java.util.ArrayList;
import java.util.List;

/** Text broken between words, so that no line is wider than its column. A word that is wider than the column is broken. */
final class Wrapped {
    private Wrapped() {}

    static List<String> lines(String text, double widthMm, double sizeMm, Typeface face) {
        List<String> lines = new ArrayList<>();
        StringBuilder line = new StringBuilder();
        for (String word : face.printable(text).split(" +")) {
            String rest = word;
            if (!line.isEmpty() && face.widthMm(line + " " + rest, sizeMm) > widthMm) {
                lines.add(line.toString());
                line.setLength(0);
            }
            while (line.isEmpty() && rest.length() > 1 && face.widthMm(rest, sizeMm) > widthMm) {
                int fits = fitting(rest, widthMm, sizeMm, face);
                lines.add(rest.substring(0, fits));
                rest = rest.substring(fits);
            }
            line.append(line.isEmpty() ? "" : " ").append(rest);
        }
        lines.add(line.toString());
        return lines;
    }

    private static int fitting(String word, double widthMm, double sizeMm, Typeface face) {
        int fits = word.offsetByCodePoints(0, 1);
        while (fits < word.length()
                && face.widthMm(word.substring(0, word.offsetByCodePoints(fits, 1)), sizeMm) <= widthMm) {
            fits = word.offsetByCodePoints(fits, 1);
        }
        return fits;
    }
}
