package bellpush.runtime.screen;

import bellpush.config.model.Panel;
import bellpush.runtime.screen.Area.Role;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;

/**
 * What lies where on a screen of a given size. As the screen gets smaller, first log lines go, then the boxes lose
 * their edges, then the list of gear goes, and at last nothing fits.
 *
 * @param fits     else {@code needs} says which size would do
 * @param boxLines lines of a control: 5 or 3 for a box, 2 for a tile without edges, 1 for a bare line
 * @param gear     height 0: not shown; so too the others
 */
record PanelLayout(boolean fits, int boxLines, List<Area> areas, Section gear, Section running, Section log,
        Size needs) {

    /** A part of the screen. @param columns side by side in it */
    record Section(int x, int y, int width, int height, int columns) {
        static final Section NONE = new Section(0, 0, 0, 0, 1);
    }

    record Size(int width, int height) {}

    private static final int BOX_LEAST_COLUMNS = 10;
    private static final int BOX_USUAL_COLUMNS = 14;
    private static final int LINE_USUAL_COLUMNS = 18;
    private static final int LINE_LEAST_COLUMNS = 12;
    private static final int CONTROL_MOST_COLUMNS = 26;
    private static final int GEAR_LEAST_COLUMNS = 18;
    /** The title and the line with the keys. */
    private static final int FRAME_LINES = 2;
    private static final int SIDE_LEAST_COLUMNS = 36;
    private static final int SIDE_SCREEN_COLUMNS = 116;
    /** Log lines that a roomy screen has before its boxes grow. */
    private static final int ROOMY_LOG_LINES = 6;

    /** Names in the order in which they are drawn, row by row; what {@code rows} leaves out comes after it. */
    static List<List<String>> rows(Panel panel) {
        Set<String> all = new LinkedHashSet<>(panel.buttons().keySet());
        all.addAll(panel.switches().keySet());
        all.addAll(panel.knobs().keySet());
        all.addAll(panel.lamps().keySet());
        List<List<String>> rows = new ArrayList<>();
        for (List<String> row : panel.rows()) {
            List<String> known = row.stream().filter(all::remove).toList();
            if (!known.isEmpty()) {
                rows.add(known);
            }
        }
        if (!all.isEmpty()) {
            rows.add(List.copyOf(all));
        }
        return rows;
    }

    static PanelLayout of(Panel panel, int devices, int width, int height) {
        List<List<String>> rows = rows(panel);
        boolean side = width >= SIDE_SCREEN_COLUMNS && devices > 0;
        int sideWidth = side ? Math.max(SIDE_LEAST_COLUMNS, width * 3 / 10) : 0;
        Shelf shelf = new Shelf(panel, rows, side ? width - sideWidth - 2 : width);
        if (side && height >= devices + 6) {
            for (int boxLines : new int[]{5, 3, 2, 1}) {
                if (left(shelf, boxLines, height) >= (boxLines == 5 ? ROOMY_LOG_LINES : 1)) {
                    return beside(shelf, boxLines, devices, width, height, sideWidth);
                }
            }
        }
        Shelf whole = new Shelf(panel, rows, width);
        int gearColumns = Math.max(1, width / GEAR_LEAST_COLUMNS);
        int leastGear = devices == 0 ? 0 : (devices + gearColumns - 1) / gearColumns;
        // Roomy boxes, boxes, tiles, boxes without gear, bare lines, bare lines alone: the first that fits.
        if (left(whole, 5, height) >= devices + 1 + ROOMY_LOG_LINES + 2) {
            return below(whole, 5, devices, width, height);
        }
        if (left(whole, 3, height) >= leastGear + 2) {
            return below(whole, 3, devices, width, height);
        }
        if (left(whole, 2, height) >= leastGear + 3) {
            return below(whole, 2, devices, width, height);
        }
        if (left(whole, 3, height) >= 2) {
            return below(whole, 3, 0, width, height);
        }
        if (left(whole, 1, height) >= leastGear + 2) {
            return below(whole, 1, devices, width, height);
        }
        if (left(whole, 1, height) >= 0) {
            return below(whole, 1, 0, width, height);
        }
        return new PanelLayout(false, 0, List.of(), Section.NONE, Section.NONE, Section.NONE,
                new Size(Math.max(width, LINE_LEAST_COLUMNS), FRAME_LINES
                        + new Shelf(panel, rows, Math.max(width, LINE_LEAST_COLUMNS)).lines(1)));
    }

    /** Lines that the controls leave over; less than 0 if they do not fit. */
    private static int left(Shelf shelf, int boxLines, int height) {
        if (shelf.width < (boxLines == 1 ? LINE_LEAST_COLUMNS : BOX_LEAST_COLUMNS)) {
            return -1;
        }
        return height - FRAME_LINES - shelf.lines(boxLines);
    }

    private static PanelLayout below(Shelf shelf, int boxLines, int devices, int width, int height) {
        List<Area> areas = shelf.areas(boxLines, 1);
        int y = 1 + shelf.lines(boxLines);
        int left = height - 1 - y;
        Section running = Section.NONE;
        if (left > 0) {
            running = new Section(0, y, width, 1, 1);
            y++;
            left--;
        }
        Section gear = Section.NONE;
        if (devices > 0) {
            int most = Math.max(1, width / GEAR_LEAST_COLUMNS);
            int columns = 1;
            while (columns < most && left - heightOf(devices, columns) < 4) {
                columns++;
            }
            gear = new Section(0, y, width, Math.min(left, heightOf(devices, columns)), columns);
            y += gear.height;
            left -= gear.height;
        }
        return new PanelLayout(true, boxLines, areas, gear, running, new Section(0, y, width, Math.max(0, left), 1),
                new Size(width, height));
    }

    private static int heightOf(int devices, int columns) {
        return (devices + columns - 1) / columns;
    }

    private static PanelLayout beside(Shelf shelf, int boxLines, int devices, int width, int height, int sideWidth) {
        int x = width - sideWidth;
        int y = 1 + shelf.lines(boxLines);
        Section gear = new Section(x, 1, sideWidth, devices + 1, 1);
        Section running = new Section(x, devices + 3, sideWidth, height - 1 - (devices + 3), 1);
        return new PanelLayout(true, boxLines, shelf.areas(boxLines, 1), gear, running,
                new Section(0, y, x - 2, height - 1 - y, 1), new Size(width, height));
    }

    /** The controls in rows, for a width: as they lie on the panel if that fits, else as many in a row as fit. */
    private record Shelf(Panel panel, List<List<String>> rows, int width) {

        int lines(int boxLines) {
            return grid(boxLines).size() * boxLines;
        }

        List<Area> areas(int boxLines, int top) {
            List<List<String>> grid = grid(boxLines);
            int widest = grid.stream().mapToInt(List::size).max().orElse(1);
            int pitch = Math.min(CONTROL_MOST_COLUMNS + 1, (width + 1) / widest);
            List<Area> areas = new ArrayList<>();
            for (int row = 0; row < grid.size(); row++) {
                for (int place = 0; place < grid.get(row).size(); place++) {
                    String name = grid.get(row).get(place);
                    areas.add(new Area(name, role(name), place * pitch, top + row * boxLines, Math.max(1, pitch - 1),
                            boxLines));
                }
            }
            return List.copyOf(areas);
        }

        private List<List<String>> grid(int boxLines) {
            int least = (boxLines == 1 ? LINE_USUAL_COLUMNS : BOX_LEAST_COLUMNS) + 1;
            int widest = rows.stream().mapToInt(List::size).max().orElse(1);
            if (!panel.rows().isEmpty() && widest * least <= width + 1) {
                return rows;
            }
            int usual = panel.rows().isEmpty() && boxLines > 1 ? BOX_USUAL_COLUMNS - 1 : least;
            int perRow = Math.max(1, (width + 1) / usual);
            List<List<String>> grid = new ArrayList<>();
            for (List<String> row : rows) {
                // Parts of equal length look less torn than full ones and a remainder.
                int parts = (row.size() + perRow - 1) / perRow;
                int length = (row.size() + parts - 1) / parts;
                for (int from = 0; from < row.size(); from += length) {
                    grid.add(row.subList(from, Math.min(row.size(), from + length)));
                }
            }
            return grid;
        }

        private Role role(String name) {
            if (panel.buttons().containsKey(name)) {
                return Role.BUTTON;
            }
            if (panel.switches().containsKey(name)) {
                return Role.SWITCH;
            }
            return panel.knobs().containsKey(name) ? Role.KNOB : Role.LAMP;
        }
    }
}
