package bellpush.runtime.kit.print;

import java.util.ArrayList;
import java.util.List;

/** Two rulers of 50 mm, along and down a page, that tell whether a printer has kept the scale. */
final class Ruler {
    static final double LENGTH_MM = 50;
    static final String ADVICE = "Print at 100 %, without \"fit to page\". Both rulers must measure 50 mm: check with a real one before you cut or drill.";

    private static final double STROKE_MM = 0.2;
    private static final double TEXT_MM = 2.6;

    private Ruler() {}

    /** Room that the ruler along takes, upwards from its line. */
    static final double HEIGHT_MM = 6;

    /** Along, with its left end at a point; ticks and figures above the line. */
    static List<Mark> along(double x, double y) {
        List<Mark> marks = new ArrayList<>();
        marks.add(new Mark.Line(x, y, x + LENGTH_MM, y, STROKE_MM, false));
        for (int mm = 0; mm <= LENGTH_MM; mm += 5) {
            marks.add(new Mark.Line(x + mm, y, x + mm, y - tick(mm), STROKE_MM, false));
            if (mm % 10 == 0) {
                marks.add(new Mark.Text(mm == LENGTH_MM ? "50 mm" : String.valueOf(mm), x + mm, y - 3, TEXT_MM,
                        mm == LENGTH_MM ? Mark.Align.LEFT : Mark.Align.MIDDLE));
            }
        }
        return marks;
    }

    /** Down, with its upper end at a point; ticks and figures to the left of the line. */
    static List<Mark> down(double x, double y) {
        List<Mark> marks = new ArrayList<>();
        marks.add(new Mark.Line(x, y, x, y + LENGTH_MM, STROKE_MM, false));
        for (int mm = 0; mm <= LENGTH_MM; mm += 5) {
            marks.add(new Mark.Line(x, y + mm, x - tick(mm), y + mm, STROKE_MM, false));
            if (mm % 10 == 0) {
                marks.add(new Mark.Text(String.valueOf(mm), x - 3, y + mm + TEXT_MM * Typeface.CAPITAL / 2, TEXT_MM,
                        Mark.Align.RIGHT));
            }
        }
        return marks;
    }

    private static double tick(int mm) {
        return mm % 10 == 0 ? 2 : 1;
    }
}
