package bellpush.runtime.kit.print;

import java.util.ArrayList;
import java.util.List;

/** What every page that is measured from has around its content: title and subtitle, both rulers, the advice to print at true size. */
record PageFrame(Paper paper, boolean onItsSide) {
    private static final double TITLE_MM = 4.2;
    private static final double SMALL_MM = 2.8;
    private static final double HEAD_MM = 12;
    private static final double FOOT_MM = 10;
    private static final double RULER_COLUMN_MM = 12;

    double left() {
        return Paper.MARGIN_MM;
    }

    double top() {
        return Paper.MARGIN_MM + HEAD_MM;
    }

    /** Width of the content. */
    double widthMm() {
        return paper.widthMm(onItsSide) - 2 * Paper.MARGIN_MM - RULER_COLUMN_MM;
    }

    /** Height of the content. */
    double heightMm() {
        return paper.heightMm(onItsSide) - 2 * Paper.MARGIN_MM - HEAD_MM - FOOT_MM;
    }

    /**
     * @param subtitle what to know about the page, one line
     * @param content  in the page's own coordinates
     * @param page     from 1
     */
    Sheet page(String title, String subtitle, int page, int pages, List<Mark> content, Typeface face) {
        double right = paper.widthMm(onItsSide) - Paper.MARGIN_MM;
        double bottom = paper.heightMm(onItsSide) - Paper.MARGIN_MM;
        String number = pages == 1 ? "" : page + " of " + pages;
        List<Mark> marks = new ArrayList<>();
        marks.add(line(title, Paper.MARGIN_MM + 3.5, TITLE_MM, right - left() - face.widthMm(number, SMALL_MM) - 4,
                face));
        marks.add(line(subtitle, Paper.MARGIN_MM + 8, SMALL_MM, right - left(), face));
        marks.add(new Mark.Text(number, right, Paper.MARGIN_MM + 3.5, SMALL_MM, Mark.Align.RIGHT));
        marks.addAll(content);
        marks.addAll(Ruler.along(left() + 2, bottom));
        marks.addAll(Ruler.down(right, bottom - Ruler.LENGTH_MM - 2));
        double adviceLeft = left() + 2 + Ruler.LENGTH_MM + 14;
        List<String> advice = Wrapped.lines(Ruler.ADVICE, right - RULER_COLUMN_MM - adviceLeft, SMALL_MM, face);
        for (int i = 0; i < advice.size(); i++) {
            marks.add(new Mark.Text(advice.get(i), adviceLeft,
                    bottom - (advice.size() - 1 - i) * SMALL_MM * Typeface.LEADING, SMALL_MM, Mark.Align.LEFT));
        }
        return new Sheet(face.printable(title), paper.widthMm(onItsSide), paper.heightMm(onItsSide), marks);
    }

    /** Shrunk, if it would not fit. */
    private Mark line(String text, double baseline, double size, double width, Typeface face) {
        String printable = face.printable(text);
        return new Mark.Text(printable, left(), baseline,
                Math.min(size, width / Math.max(1e-3, face.widthMm(printable, 1))),
                Mark.Align.LEFT);
    }
}
