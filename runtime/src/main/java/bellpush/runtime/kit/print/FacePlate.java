package bellpush.runtime.kit.print;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import java.util.function.DoublePredicate;
import java.util.stream.IntStream;

/** The front at true size: outline, holes with their middles, labels; in one piece, tiled onto pages, and as a table of holes. */
final class FacePlate {
    private static final double OUTLINE_MM = 0.3;
    private static final double HOLE_MM = 0.2;
    private static final double LABEL_MM = 3.6;
    private static final double LABEL_HEIGHT_MM = 5;
    private static final double LONGEST_LABEL_MM = 40;
    private static final double SMALL_MM = 2.3;
    private static final double TABLE_MM = 3;
    private static final double TABLE_STEP_MM = 5, CLOSEST_STEP_MM = 4;
    /** White around the plate, so that its outline is whole. */
    private static final double AROUND_MM = 3;
    /** What two pages of a tiled plate have in common. */
    private static final double OVERLAP_MM = 10;
    /** Half the size of the marks by which pages are laid over one another, and where they are along a seam. */
    private static final double EX_MM = 3;
    private static final double[] CROSSES = {0.06, 0.5, 0.94};
    private static final String KEY = "Large dashed circles: what covers the plate. Small dashed ones: an LED of 5 mm, unless it is in the button.";
    private static final String DATA_SHEET = "Hole sizes are the usual ones: check each part's data sheet before you drill.";

    private final String site;
    private final Front front;
    private final Paper paper;
    private final Typeface face;
    private final List<String> notes = new ArrayList<>();
    private final Sheet plate;

    FacePlate(String site, Front front, Paper paper, Typeface face) {
        this.site = site;
        this.front = front;
        this.paper = paper;
        this.face = face;
        this.plate = plate();
    }

    /** The whole plate on one sheet as large as it needs, for those who can print or cut that. */
    Sheet whole() {
        double rulers = 16;
        List<Mark> marks = new ArrayList<>();
        marks.add(new Mark.Window(0, 0, plate.widthMm(), plate.heightMm(), 0, 0, plate));
        marks.addAll(Ruler.along(AROUND_MM, plate.heightMm() + rulers - 4));
        marks.addAll(Ruler.down(plate.widthMm() + rulers - 4, AROUND_MM));
        double height = Math.max(plate.heightMm(), Ruler.LENGTH_MM + 2 * AROUND_MM) + rulers;
        return new Sheet(plate.title(), Math.max(plate.widthMm(), Ruler.LENGTH_MM + 20) + rulers, height, marks);
    }

    /** The plate in pieces that overlap, and the table of holes. */
    Pages pages() {
        PageFrame upright = new PageFrame(paper, false);
        PageFrame onItsSide = new PageFrame(paper, true);
        PageFrame frame = tiles(upright) < tiles(onItsSide) ? upright : onItsSide;
        int across = count(plate.widthMm(), frame.widthMm());
        int down = count(plate.heightMm(), frame.heightMm());
        List<List<Mark>> contents = new ArrayList<>();
        List<String> titles = new ArrayList<>();
        List<String> subtitles = new ArrayList<>();
        for (int row = 0; row < down; row++) {
            for (int column = 0; column < across; column++) {
                contents.add(tile(frame, column, row));
                titles.add(site + " \u2013 front, " + Front.mm(front.widthMm()) + " x " + Front.mm(front.heightMm())
                        + " mm"
                        + (across * down == 1
                                ? ""
                                : ", column " + (column + 1) + " of " + across + ", row " + (row + 1) + " of " + down));
                subtitles.add(KEY + (across * down == 1 ? "" : " Lay the pages over one another by the X marks."));
            }
        }
        for (List<Mark> table : table(upright)) {
            contents.add(table);
            titles.add(site + " \u2013 holes of the front");
            subtitles.add("Measured from the plate's upper left corner to the middle of the hole. " + DATA_SHEET);
        }
        List<Sheet> sheets = new ArrayList<>();
        for (int i = 0; i < contents.size(); i++) {
            sheets.add(
                    (i < across * down ? frame : upright).page(titles.get(i), subtitles.get(i), i + 1, contents.size(),
                            contents.get(i),
                            face));
        }
        return new Pages(sheets, notes);
    }

    private int tiles(PageFrame frame) {
        return count(plate.widthMm(), frame.widthMm()) * count(plate.heightMm(), frame.heightMm());
    }

    private static int count(double length, double room) {
        return length <= room ? 1 : (int) Math.ceil((length - OVERLAP_MM) / (room - OVERLAP_MM));
    }

    private List<Mark> tile(PageFrame frame, int column, int row) {
        double fromX = column * (frame.widthMm() - OVERLAP_MM);
        double fromY = row * (frame.heightMm() - OVERLAP_MM);
        double width = Math.min(frame.widthMm(), plate.widthMm() - fromX);
        double height = Math.min(frame.heightMm(), plate.heightMm() - fromY);
        List<Mark> marks = new ArrayList<>();
        marks.add(new Mark.Window(frame.left(), frame.top(), width, height, fromX, fromY, withCrosses(frame)));
        return marks;
    }

    /** Crosses in the middle of what two pages have in common. */
    private Sheet withCrosses(PageFrame frame) {
        int across = count(plate.widthMm(), frame.widthMm());
        int down = count(plate.heightMm(), frame.heightMm());
        List<Mark> marks = new ArrayList<>(plate.marks());
        for (int column = 1; column < across; column++) {
            double x = column * (frame.widthMm() - OVERLAP_MM) + OVERLAP_MM / 2;
            for (double share : CROSSES) {
                clear(plate.heightMm() * share, plate.heightMm(), y -> isClear(x, y))
                        .ifPresent(y -> marks.addAll(ex(x, y)));
            }
        }
        for (int row = 1; row < down; row++) {
            double y = row * (frame.heightMm() - OVERLAP_MM) + OVERLAP_MM / 2;
            for (double share : CROSSES) {
                clear(plate.widthMm() * share, plate.widthMm(), x -> isClear(x, y))
                        .ifPresent(x -> marks.addAll(ex(x, y)));
            }
        }
        return new Sheet(plate.title(), plate.widthMm(), plate.heightMm(), marks);
    }

    /** The place nearest to the wanted one at which a mark would not be taken for a hole's. */
    private static OptionalDouble clear(double wanted, double length, DoublePredicate isClear) {
        return IntStream.range(0, (int) length).mapToDouble(step -> wanted + (step % 2 == 0 ? step / 2 : -step / 2 - 1))
                .filter(place -> place > 2 * EX_MM && place < length - 2 * EX_MM).filter(isClear).findFirst();
    }

    private boolean isClear(double x, double y) {
        return front.holes().stream().allMatch(hole -> Math.abs(hole.x() + AROUND_MM - x) > hole.part().coverMm() + 8
                || Math.abs(hole.y() + AROUND_MM - y) > hole.part().coverMm() + 10);
    }

    private static List<Mark> ex(double x, double y) {
        return List.of(new Mark.Line(x - EX_MM, y - EX_MM, x + EX_MM, y + EX_MM, HOLE_MM, false),
                new Mark.Line(x - EX_MM, y + EX_MM, x + EX_MM, y - EX_MM, HOLE_MM, false));
    }

    private static List<Mark> cross(double x, double y, double half) {
        return List.of(new Mark.Line(x - half, y, x + half, y, Mark.HAIR_MM, false),
                new Mark.Line(x, y - half, x, y + half, Mark.HAIR_MM, false));
    }

    private Sheet plate() {
        List<Mark> marks = new ArrayList<>();
        marks.add(new Mark.Box(AROUND_MM, AROUND_MM, front.widthMm(), front.heightMm(), OUTLINE_MM, false));
        for (Front.Item item : front.items()) {
            marks.addAll(label(item));
        }
        front.holes().forEach(hole -> marks.addAll(hole(hole)));
        return new Sheet(face.printable(site + " \u2013 front"), front.widthMm() + 2 * AROUND_MM,
                front.heightMm() + 2 * AROUND_MM, marks);
    }

    private List<Mark> hole(Front.Hole hole) {
        List<Mark> marks = new ArrayList<>();
        Part part = hole.part();
        double x = hole.x() + AROUND_MM;
        double y = hole.y() + AROUND_MM;
        double radius = part.holeMm() / 2;
        if (hole.item().lamp() && part == Part.LAMP) {
            marks.add(new Mark.Ring(x, y, part.holeMm(), HOLE_MM, true));
            marks.addAll(cross(x, y, radius + 1));
            return marks;
        }
        if (part.isRound()) {
            marks.add(new Mark.Ring(x, y, 2 * radius, HOLE_MM, false));
            marks.add(new Mark.Ring(x, y, 2 * part.coverMm(), Mark.HAIR_MM, true));
        } else {
            marks.add(new Mark.Box(x - radius, y - part.tallMm() / 2, 2 * radius, part.tallMm(), HOLE_MM, false));
        }
        marks.addAll(cross(x, y, radius + (part.isRound() ? 1.5 : 2)));
        // In a quarter that the cross leaves free: of the hole, or between a small hole and the rim of what covers it.
        if (!part.isRound()) {
            marks.add(new Mark.Text(part.hole(), x, y + part.tallMm() / 2 + SMALL_MM * 1.2, SMALL_MM,
                    Mark.Align.MIDDLE));
        } else if (radius >= 5) {
            marks.add(new Mark.Text(part.hole(), x + 0.5, y - 0.7, SMALL_MM, Mark.Align.LEFT));
        } else if (part.coverMm() - radius > 6) {
            marks.add(new Mark.Text(part.hole(), x + radius * 0.7, y + radius * 0.7 + SMALL_MM, SMALL_MM,
                    Mark.Align.LEFT));
        }
        if (part == Part.SWITCH) {
            marks.add(new Mark.Text("ON", x, y - part.coverMm() - 1, LABEL_MM, Mark.Align.MIDDLE));
        }
        if (part == Part.ROCKER && hole.item().part() != Part.ROCKER) {
            marks.add(new Mark.Text(face.printable(hole.what().substring(Part.ROCKER.words().length() + 2)), x,
                    y - part.coverMm() - 1, LABEL_MM, Mark.Align.MIDDLE));
        }
        return marks;
    }

    private List<Mark> label(Front.Item item) {
        double room = front.items().stream().filter(other -> other != item && Math.abs(other.y() - item.y()) < 15)
                .mapToDouble(other -> Math.abs(other.x() - item.x())).filter(distance -> distance > 1).min()
                .orElse(LONGEST_LABEL_MM);
        double edges = 2 * Math.min(item.x(), front.widthMm() - item.x()) - 2;
        double width = Math.max(1, Math.min(LONGEST_LABEL_MM, Math.min(room - 2, edges)));
        FittedText text = FittedText.in(item.label(), width, LABEL_HEIGHT_MM, LABEL_MM, face);
        if (!text.legible()) {
            notes.add("On the front, the label \"" + item.label() + "\" has " + Front.mm(width)
                    + " mm and gets smaller than can be read. Shorten it, or give \"" + item.name()
                    + "\" more room under \"places\".");
        }
        return text.below(item.x() + AROUND_MM,
                item.y() + item.part().coverMm() + (item.part() == Part.ROCKER ? 3 : 1) + AROUND_MM);
    }

    private List<List<Mark>> table(PageFrame frame) {
        List<Front.Hole> holes = front.holes();
        // A little closer, if that saves a page.
        double step = Math.clamp((frame.heightMm() - 1.2) / (holes.size() + 2), CLOSEST_STEP_MM, TABLE_STEP_MM);
        int perPage = (int) ((frame.heightMm() - 1.2) / step + 1e-6) - 2;
        List<List<Mark>> pages = new ArrayList<>();
        for (int from = 0; from < holes.size(); from += perPage) {
            List<Mark> marks = new ArrayList<>();
            double y = frame.top() + 5;
            marks.addAll(row(frame, y, "label", "hole for", "diameter", "from the left", "from above"));
            marks.add(new Mark.Line(frame.left(), y + 1.5, frame.left() + frame.widthMm(), y + 1.5, HOLE_MM, false));
            y += 1.2;
            for (Front.Hole hole : holes.subList(from, Math.min(holes.size(), from + perPage))) {
                y += step;
                marks.addAll(row(frame, y, hole.item().label(), hole.what(),
                        hole.part().hole(),
                        Front.mm(hole.x()) + " mm", Front.mm(hole.y()) + " mm"));
            }
            pages.add(marks);
        }
        return pages;
    }

    private List<Mark> row(PageFrame frame, double y, String label, String what, String diameter, String x,
            String yFrom) {
        double[] at = {0, 42, 112, 148, 176};
        List<Mark> marks = new ArrayList<>();
        FittedText name = FittedText.in(label, at[1] - 2, TABLE_STEP_MM, TABLE_MM, face);
        String line = String.join(" ", name.lines());
        marks.add(new Mark.Text(line, frame.left(), y,
                Math.min(TABLE_MM, (at[1] - 2) / Math.max(1e-3, face.widthMm(line, 1))),
                Mark.Align.LEFT));
        marks.add(new Mark.Text(what, frame.left() + at[1], y, TABLE_MM, Mark.Align.LEFT));
        marks.add(new Mark.Text(diameter, frame.left() + at[2], y, TABLE_MM, Mark.Align.RIGHT));
        marks.add(new Mark.Text(x, frame.left() + at[3], y, TABLE_MM, Mark.Align.RIGHT));
        marks.add(new Mark.Text(yFrom, frame.left() + at[4], y, TABLE_MM, Mark.Align.RIGHT));
        return marks;
    }
}
