package bellpush.runtime.kit.print;

import java.util.ArrayList;
import java.util.List;

/**
 * A short text made to fit into a place: shrunk, broken into two lines where that leaves it larger, and shrunk further.
 *
 * @param legible whether it got at least {@link #LEAST_MM}
 */
record FittedText(List<String> lines, double sizeMm, boolean legible) {
    /** Five points. Anything smaller is not read at arm's length (common practice, no source). */
    static final double LEAST_MM = 1.8;

    static FittedText in(String text, double widthMm, double heightMm, double largestMm, Typeface face) {
        String printable = face.printable(text);
        FittedText best = as(List.of(printable), widthMm, heightMm, largestMm, face);
        for (int space = printable.indexOf(' '); space >= 0; space = printable.indexOf(' ', space + 1)) {
            FittedText broken = as(List.of(printable.substring(0, space), printable.substring(space + 1)), widthMm,
                    heightMm, largestMm, face);
            // One line reads better: two must earn it. Of two breaks that are as large, the more even one.
            boolean larger = broken.sizeMm > best.sizeMm * (best.lines.size() == 1 ? 1.15 : 1);
            boolean evener = best.lines.size() == 2 && broken.sizeMm == best.sizeMm
                    && widest(broken.lines, face) < widest(best.lines, face);
            if (larger || evener) {
                best = broken;
            }
        }
        return best;
    }

    private static FittedText as(List<String> lines, double widthMm, double heightMm, double largestMm, Typeface face) {
        double widest = widest(lines, face);
        double byWidth = widest == 0 ? largestMm : widthMm / widest;
        double byHeight = heightMm / tallness(lines.size());
        double size = Math.min(largestMm, Math.min(byWidth, byHeight));
        return new FittedText(lines, size, size >= LEAST_MM);
    }

    private static double widest(List<String> lines, Typeface face) {
        return lines.stream().mapToDouble(line -> face.widthMm(line, 1)).max().orElse(0);
    }

    /** Height of so many lines, from the top of a capital to the bottom of a tail, for a font of size 1. */
    private static double tallness(int lines) {
        return Typeface.CAPITAL + Typeface.TAIL + (lines - 1) * Typeface.LEADING;
    }

    double heightMm() {
        return tallness(lines.size()) * sizeMm;
    }

    /** The lines, centred on {@code x}, the first one's capitals reaching up to {@code top}. */
    List<Mark> below(double x, double top) {
        List<Mark> marks = new ArrayList<>();
        for (int i = 0; i < lines.size(); i++) {
            marks.add(new Mark.Text(lines.get(i), x, top + (Typeface.CAPITAL + i * Typeface.LEADING) * sizeMm, sizeMm,
                    Mark.Align.MIDDLE));
        }
        return marks;
    }

    /** The lines, centred on a point. */
    List<Mark> around(double x, double y) {
        // A tail is rare on a label: capitals, not tails, should look centred.
        return below(x, y - (heightMm() - Typeface.TAIL * sizeMm) / 2);
    }
}
