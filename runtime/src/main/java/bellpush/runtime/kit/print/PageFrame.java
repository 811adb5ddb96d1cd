package bellpush.runtime.kit.print;

import java.util.ArrayList;
import java.util.List;

/** What every page that is measured from has around its content: a title, both rulers, and the advice to print at true size. */
record PageFrame(Paper paper, boolean onItsSide) {
    private static final double TITLE_MM = 4.2;
    private static final double SMALL_MM = 2.8;
    private static final double HEAD_MM = 9;
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

    /** @param content in the page's own coordinates. @param page from 1 */
    Sheet page(String title, int page, int pages, List<Mark> content, Typeface face) {
        double right = paper.widthMm(onItsSide) - Paper.MARGIN_MM;
        double bottom = paper.heightMm(onItsSide) - Paper.MARGIN_MM;
        String number = pages == 1 ? "" : page + " of " + pages;
        double titleWidth = right - left() - face.widthMm(number, SMALL_MM) - 4;
        FittedText fitted = FittedText.in(title, titleWidth, TITLE_MM, TITLE_MM, face);
        List<Mark> marks = new ArrayList<>();
        marks.add(new Mark.Text(String.join(" ", fitted.lines()), left(), Paper.MARGIN_MM + 4,
                Math.min(TITLE_MM, titleWidth / Math.max(1, face.widthMm(String.join(" ", fitted.lines()), 1))),
                Mark.Align.LEFT));
        marks.add(new Mark.Text(number, right, Paper.MARGIN_MM + 4, SMALL_MM, Mark.Align.RIGHT));
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
}
