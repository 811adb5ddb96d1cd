package bellpush.runtime.kit.print;

import bellpush.config.model.Site;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;

/**
 * The card for the volunteer: every control in the order of the panel, what it is for, what to do, what its lamp says. One page, in the
 * largest letters with which everything fits; two or more, where the smallest do not fit on one.
 */
final class CueCard {
    /**
     * Points, from the largest. Below the last nobody reads it beside a panel in a dim hall (common practice, no source): rather
     * two pages, of which the second goes on the back.
     */
    private static final double[] SIZES_POINTS = {12, 11.5, 11, 10.75, 10.5, 10.25, 10, 9.75, 9.5, 9.25, 9};
    private static final double GUTTER_MM = 7;
    private static final double TITLE_MM = 6.5;
    private static final double CAUTION_MM = 3;
    private static final double HEADING = 1.2;
    private static final String CAUTIONS = "Cameras on motors and rails start without warning: keep people, hair and cables clear"
            + " of them. This panel is no emergency stop.";

    private final Site site;
    private final Paper paper;
    private final Typeface face;
    private final CueWords words;

    private CueCard(Site site, Paper paper, Typeface face) {
        this.site = site;
        this.paper = paper;
        this.face = face;
        this.words = new CueWords(site);
    }

    static Pages of(Site site, Front front, Paper paper, Typeface face) {
        return new CueCard(site, paper, face).pages(front);
    }

    /** Something that stays in one piece. @param marks with the block's upper left corner as their origin */
    private record Block(double heightMm, List<Mark> marks) {}

    private Pages pages(Front front) {
        List<Sheet> sheets = List.of();
        for (double points : SIZES_POINTS) {
            double size = points * Typeface.MM_PER_POINT;
            for (int columns = points > 10 ? 1 : 2; columns <= 2; columns++) {
                sheets = pages(front, size, columns);
                if (sheets.size() == 1) {
                    return new Pages(sheets, List.of());
                }
            }
        }
        return new Pages(sheets, List.of("The cue card does not fit on one page in letters that can be read; it has "
                + sheets.size() + " pages. Shorter \"about\" texts help."));
    }

    private List<Sheet> pages(Front front, double size, int columns) {
        double left = Paper.MARGIN_MM + 3;
        double width = paper.widthMm(false) - 2 * left;
        double columnWidth = (width - (columns - 1) * GUTTER_MM) / columns;
        double bottom = paper.heightMm(false) - Paper.MARGIN_MM - CAUTION_MM * 2.4;
        List<Block> blocks = blocks(front, size, columnWidth);
        Block legend = legend(size, width);

        List<List<Mark>> pages = new ArrayList<>();
        List<Mark> page = new ArrayList<>(moved(legend.marks(), left, Paper.MARGIN_MM + TITLE_MM + 4));
        pages.add(page);
        double top = Paper.MARGIN_MM + TITLE_MM + 4 + legend.heightMm() + 3;
        int column = 0;
        double y = top;
        for (Block block : blocks) {
            if (y + block.heightMm() > bottom && y > top) {
                column++;
                y = top;
                if (column == columns) {
                    page = new ArrayList<>();
                    pages.add(page);
                    top = Paper.MARGIN_MM + TITLE_MM + 4;
                    column = 0;
                    y = top;
                }
            }
            page.addAll(moved(block.marks(), left + column * (columnWidth + GUTTER_MM), y));
            y += block.heightMm();
        }
        List<Sheet> sheets = new ArrayList<>();
        for (int i = 0; i < pages.size(); i++) {
            sheets.add(framed(pages.get(i), i + 1, pages.size(), left, width, bottom));
        }
        return sheets;
    }

    private Sheet framed(List<Mark> content, int number, int of, double left, double width, double bottom) {
        List<Mark> marks = new ArrayList<>(content);
        String title = face.printable(site.name() + " \u2013 what the panel does");
        double size = Math.min(TITLE_MM, (width - 15) / face.widthMm(title, 1));
        marks.add(new Mark.Text(title, left, Paper.MARGIN_MM + TITLE_MM * Typeface.CAPITAL, size, Mark.Align.LEFT));
        if (of > 1) {
            marks.add(new Mark.Text(number + " of " + of, left + width, Paper.MARGIN_MM + TITLE_MM * Typeface.CAPITAL,
                    CAUTION_MM, Mark.Align.RIGHT));
        }
        List<String> cautions = Wrapped.lines(CAUTIONS, width, CAUTION_MM, face);
        for (int i = 0; i < cautions.size(); i++) {
            marks.add(
                    new Mark.Text(cautions.get(i), left, bottom + CAUTION_MM * (1.3 + i * Typeface.LEADING), CAUTION_MM,
                            Mark.Align.LEFT));
        }
        return new Sheet(title, paper.widthMm(false), paper.heightMm(false), marks);
    }

    /** What all lamps say, in a frame. */
    private Block legend(double size, double width) {
        double padding = 2;
        Map<String, String> legend = words.legend();
        double first = legend.keySet().stream().mapToDouble(look -> face.widthMm(face.printable(look), size)).max()
                .orElse(0)
                + 4;
        List<Mark> marks = new ArrayList<>();
        double y = padding;
        for (Map.Entry<String, String> each : legend.entrySet()) {
            marks.add(new Mark.Text(face.printable(each.getKey()), padding, y + size * Typeface.CAPITAL, size,
                    Mark.Align.LEFT));
            y += paragraph(each.getValue(), padding + first, y, width - 2 * padding - first, size, marks);
            y += size * 0.15;
        }
        y += padding - size * (Typeface.LEADING - Typeface.CAPITAL - Typeface.TAIL);
        marks.add(new Mark.Box(0, 0, width, y, 0.25, false));
        return new Block(y, marks);
    }

    private List<Block> blocks(Front front, double size, double width) {
        List<Block> blocks = new ArrayList<>();
        List<List<Front.Item>> rows = front.rowsAsTheyLie();
        for (int row = 0; row < rows.size(); row++) {
            boolean first = true;
            for (Front.Item item : rows.get(row)) {
                CueWords.Entry entry = words.of(item.name()).orElseThrow();
                blocks.add(block(entry, first ? "row " + (row + 1) : "", size, width));
                first = false;
            }
        }
        return blocks;
    }

    private Block block(CueWords.Entry entry, String caption, double size, double width) {
        List<Mark> marks = new ArrayList<>();
        double y = 0;
        if (!caption.isEmpty()) {
            double small = size * 0.85;
            marks.add(new Mark.Line(0, 0.5, width, 0.5, 0.25, false));
            marks.add(new Mark.Text(caption, width, 0.5 + small * 1.05, small, Mark.Align.RIGHT));
            y += 0.5 + small * 0.25;
        }
        double heading = size * HEADING;
        String act = face.printable(entry.act().isEmpty() ? "" : "\u2013 " + entry.act());
        double room = width - (caption.isEmpty() ? 0 : face.widthMm(caption, size * 0.85) + 3)
                - (act.isEmpty() ? 0 : face.widthMm(act, size) + 1.5);
        String label = face.printable(entry.label());
        double labelSize = Math.min(heading, room / Math.max(1e-3, face.widthMm(label, 1)));
        double baseline = y + heading * Typeface.CAPITAL + heading * 0.1;
        marks.add(new Mark.Text(label, 0, baseline, labelSize, Mark.Align.LEFT));
        if (!act.isEmpty()) {
            marks.add(new Mark.Text(act, face.widthMm(label, labelSize) + 1.5, baseline, size, Mark.Align.LEFT));
        }
        y += heading * Typeface.LEADING;
        if (!entry.text().isEmpty()) {
            y += paragraph(String.join(" ", entry.text()), 0, y, width, size, marks);
        }
        return new Block(y + size * 0.4, marks);
    }

    /** Adds the lines and returns the height they take. */
    private double paragraph(String text, double x, double y, double width, double size, List<Mark> marks) {
        List<String> lines = Wrapped.lines(text, width, size, face);
        for (int i = 0; i < lines.size(); i++) {
            marks.add(new Mark.Text(lines.get(i), x, y + size * (Typeface.CAPITAL + i * Typeface.LEADING), size,
                    Mark.Align.LEFT));
        }
        return lines.size() * size * Typeface.LEADING;
    }

    private static List<Mark> moved(List<Mark> marks, double x, double y) {
        return marks.stream().map(mark -> (Mark) switch (mark) {
            case Mark.Text(String text, double tx, double baseline, double size, Mark.Align align) ->
                new Mark.Text(text,
                        tx + x, baseline + y, size, align);
            case Mark.Line(double x1, double y1, double x2, double y2, double w, boolean dashed) ->
                new Mark.Line(x1 + x,
                        y1 + y, x2 + x, y2 + y, w, dashed);
            case Mark.Box(double bx, double by, double w, double h, double stroke, boolean dashed) ->
                new Mark.Box(bx + x,
                        by + y, w, h, stroke, dashed);
            case Mark.Ring ring -> new Mark.Ring(ring.x() + x, ring.y() + y, ring.diameter(), ring.widthMm(),
                    ring.dashed());
            case Mark.Window window -> window;
        }).toList();
    }
}
