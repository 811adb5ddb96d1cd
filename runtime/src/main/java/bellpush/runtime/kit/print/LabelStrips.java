package bellpush.runtime.kit.print;

import java.util.ArrayList;
import java.util.List;

/** Strips to cut out: one for each row of the front, each label over or under the middle of its control. */
final class LabelStrips {
    private static final double HEIGHT_MM = 9;
    private static final double TEXT_MM = 4.4;
    private static final double CAPTION_MM = 2.6;
    /** Room of a strip with what is above it, and the gap to the next. */
    private static final double STEP_MM = HEIGHT_MM + 10;
    private static final double PADDING_MM = 1.2;

    private final Front front;
    private final Typeface face;
    private final PageFrame frame;
    private final List<String> notes = new ArrayList<>();

    private LabelStrips(Front front, Paper paper, Typeface face) {
        this.front = front;
        this.face = face;
        this.frame = new PageFrame(paper, true);
    }

    /** A piece of a row that fits on a page. @param cells where each label's place ends, to the right of {@code left} */
    private record Strip(String caption, List<Front.Item> items, double left, List<Double> cells) {}

    static Pages of(String site, Front front, Paper paper, Typeface face) {
        return new LabelStrips(front, paper, face).pages(site);
    }

    private Pages pages(String site) {
        List<Strip> strips = new ArrayList<>();
        List<List<Front.Item>> rows = front.rowsAsTheyLie();
        for (int row = 0; row < rows.size(); row++) {
            strips.addAll(strips(rows.get(row), "row " + (row + 1)));
        }
        int perPage = (int) (frame.heightMm() / STEP_MM);
        int pages = Math.max(1, (strips.size() + perPage - 1) / perPage);
        List<Sheet> sheets = new ArrayList<>();
        for (int page = 0; page < pages; page++) {
            List<Mark> content = new ArrayList<>();
            for (int i = page * perPage; i < Math.min(strips.size(), (page + 1) * perPage); i++) {
                content.addAll(draw(strips.get(i), frame.top() + (i - page * perPage) * STEP_MM + 6));
            }
            sheets.add(frame.page(site + " \u2013 label strips",
                    "Cut along the dashed lines. The small marks are the middles of the controls.", page + 1, pages,
                    content,
                    face));
        }
        return new Pages(sheets, notes);
    }

    private List<Strip> strips(List<Front.Item> row, String name) {
        List<Strip> strips = new ArrayList<>();
        int from = 0;
        while (from < row.size()) {
            int to = from + 1;
            while (to < row.size() && edge(row, to + 1) - edge(row, from) <= frame.widthMm()) {
                to++;
            }
            List<Double> cells = new ArrayList<>();
            for (int i = from + 1; i <= to; i++) {
                cells.add(edge(row, i) - edge(row, from));
            }
            boolean whole = from == 0 && to == row.size();
            strips.add(new Strip(name + ", from the left" + (whole ? "" : ", part " + (strips.size() + 1)),
                    row.subList(from, to), edge(row, from), cells));
            from = to;
        }
        return strips;
    }

    /** The left edge of the place of label {@code i}: half-way to its neighbour. */
    private static double edge(List<Front.Item> row, int i) {
        int last = row.size() - 1;
        double pitch = row.size() == 1
                ? Front.PITCH_MM
                : i == 0 ? row.get(1).x() - row.get(0).x() : row.get(last).x() - row.get(last - 1).x();
        // Two in one place have no room at all; a note has told of it.
        double half = Math.clamp(pitch, 10, 1.5 * Front.PITCH_MM) / 2;
        return i == 0
                ? row.getFirst().x() - half
                : i > last
                        ? row.getLast().x() + half
                        : (row.get(i - 1).x() + row.get(i).x()) / 2;
    }

    private List<Mark> draw(Strip strip, double top) {
        List<Mark> marks = new ArrayList<>();
        double left = frame.left();
        double width = strip.cells().getLast();
        marks.add(new Mark.Text(strip.caption(), left, top - 3, CAPTION_MM, Mark.Align.LEFT));
        marks.add(new Mark.Box(left, top, width, HEIGHT_MM, Mark.HAIR_MM, true));
        double from = 0;
        for (int i = 0; i < strip.items().size(); i++) {
            Front.Item item = strip.items().get(i);
            double to = strip.cells().get(i);
            if (i > 0) {
                marks.add(new Mark.Line(left + from, top, left + from, top + HEIGHT_MM, Mark.HAIR_MM, true));
            }
            double middle = item.x() - strip.left();
            marks.add(new Mark.Line(left + middle, top - 1.8, left + middle, top - 0.3, Mark.HAIR_MM, false));
            // Around the control's own middle as long as both sides have room, so that it stands over it.
            double half = Math.min(middle - from, to - middle);
            double room = Math.max(1, 2 * half - 2 * PADDING_MM);
            FittedText text = FittedText.in(item.label(), room, HEIGHT_MM - 2 * PADDING_MM, TEXT_MM, face);
            if (!text.legible()) {
                notes.add("On the strip, the label \"" + item.label() + "\" has " + Front.mm(room)
                        + " mm and gets smaller than can be read. Shorten it, or give \"" + item.name()
                        + "\" more room under \"places\".");
            }
            marks.addAll(text.around(left + middle, top + HEIGHT_MM / 2));
            from = to;
        }
        return marks;
    }
}
