package bellpush.runtime.kit.print;

import bellpush.config.model.Face;
import bellpush.config.model.Joystick;
import bellpush.config.model.Panel;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;

/**
 * The front of the panel: what lies where. Millimetres, from the upper left corner. What {@code face} gives no place lies in its row, on a
 * grid of {@link #PITCH_MM}.
 *
 * @param drawn whether panel.json has a face; else the size is what the grid needs
 * @param notes what a builder should know or mend, in sentences
 */
record Front(double widthMm, double heightMm, List<Item> items, boolean drawn, List<String> notes) {
    static final double PITCH_MM = 30;
    private static final double EDGE_MM = 25;
    private static final int IN_A_ROW = 8;
    /** Two places of one row may differ by this much in height. */
    private static final double SAME_ROW_MM = 8;
    /** What must stay of the plate between two holes, or between a hole and the edge (common practice, no source). */
    private static final double WEB_MM = 3;
    /** From a button's middle to that of the lamp beside it: clear of the button's nut and of the LED's. */
    private static final double LAMP_RIGHT_MM = 11, LAMP_UP_MM = 9;

    /** From a joystick's or a rocker's middle to that of the first rocker beside it, and on to the next. */
    private static final double ROCKER_RIGHT_MM = 31, NEXT_ROCKER_MM = 20;

    /**
     * @param lamp    whether it is a button with a lamp, in it or beside it
     * @param rockers names of the axes of a joystick that are a rocker of their own beside it
     */
    record Item(String name, String label, Part part, double x, double y, boolean lamp, List<String> rockers) {
        Item(String name, String label, Part part, boolean lamp) {
            this(name, label, part, 0, 0, lamp, List.of());
        }

        double rockerX(int index) {
            return x + (part == Part.ROCKER ? NEXT_ROCKER_MM : ROCKER_RIGHT_MM) + index * NEXT_ROCKER_MM;
        }

        /** How far to the right of its middle the next one may not come. */
        private double takesRight() {
            double own = part == Part.JOYSTICK ? PITCH_MM * 1.5 : PITCH_MM;
            return rockers.isEmpty() ? own : rightmostX() - x + PITCH_MM;
        }

        /** The middle of its last rocker, or its own. */
        double rightmostX() {
            return rockers.isEmpty() ? x : rockerX(rockers.size() - 1);
        }

        double lampX() {
            return x + LAMP_RIGHT_MM;
        }

        double lampY() {
            return y - LAMP_UP_MM;
        }

        private Item at(double newX, double newY) {
            return new Item(name, label, part, newX, newY, lamp, rockers);
        }
    }

    /** A hole for a name, for tables and checks. */
    record Hole(Item item, Part part, String what, double x, double y) {
        /** Of a slot: its width. */
        double diameter() {
            return part.holeMm();
        }
    }

    static Front of(Panel panel) {
        Map<String, Item> parts = parts(panel);
        List<List<Item>> rows = rows(panel, parts);
        List<String> notes = new ArrayList<>();
        List<Item> items = panel.face().map(face -> placed(rows, face, notes)).orElseGet(() -> onGrid(rows, notes));
        double width = panel.face().map(Face::widthMm)
                .orElseGet(() -> items.stream().mapToDouble(Item::rightmostX).max().orElse(0) + EDGE_MM);
        double height = panel.face().map(Face::heightMm).orElseGet(
                () -> items.stream().mapToDouble(item -> item.y + item.part.coverMm()).max().orElse(0) + EDGE_MM / 2);
        Front front = new Front(width, height, List.copyOf(items), panel.face().isPresent(), List.of());
        notes.addAll(front.tooNear());
        return new Front(width, height, front.items, front.drawn, List.copyOf(notes));
    }

    private static Map<String, Item> parts(Panel panel) {
        Map<String, Item> parts = new LinkedHashMap<>();
        panel.buttons().values().forEach(button -> parts.put(button.name(), new Item(button.name(), button.label(),
                Part.BUTTON, button.lamp().isPresent())));
        panel.switches().values().forEach(
                each -> parts.put(each.name(), new Item(each.name(), each.label(), Part.SWITCH, false)));
        panel.knobs().values()
                .forEach(each -> parts.put(each.name(), new Item(each.name(), each.label(), Part.KNOB, false)));
        panel.faders().values()
                .forEach(each -> parts.put(each.name(), new Item(each.name(), each.label(), Part.FADER, false)));
        panel.joysticks().values().forEach(each -> parts.put(each.name(), stick(each)));
        panel.lamps().values().forEach(
                each -> parts.putIfAbsent(each.name(), new Item(each.name(), each.label(), Part.LAMP, false)));
        return parts;
    }

    /** A stick with its rockers beside it; where all its axes are rockers, the first of them is the part itself. */
    private static Item stick(Joystick stick) {
        List<String> rockers = stick.axes().values().stream()
                .filter(axis -> axis.wire().orElse(null) instanceof Joystick.Wire.Contacts).map(Joystick.Axis::name)
                .toList();
        boolean all = !rockers.isEmpty() && rockers.size() == stick.axes().size();
        return new Item(stick.name(), stick.label(), all ? Part.ROCKER : Part.JOYSTICK, 0, 0, false,
                all ? rockers.subList(1, rockers.size()) : rockers);
    }

    /** As written; what is in no row comes after them. */
    private static List<List<Item>> rows(Panel panel, Map<String, Item> parts) {
        List<List<Item>> rows = new ArrayList<>();
        Set<String> left = new LinkedHashSet<>(parts.keySet());
        for (List<String> row : panel.rows()) {
            rows.add(new ArrayList<>(row.stream().filter(left::remove).map(parts::get).toList()));
        }
        List<Item> last = new ArrayList<>();
        for (String name : left) {
            if (last.size() == IN_A_ROW || last.isEmpty()) {
                last = new ArrayList<>();
                rows.add(last);
            }
            last.add(parts.get(name));
        }
        rows.removeIf(List::isEmpty);
        return rows;
    }

    private static List<Item> onGrid(List<List<Item>> rows, List<String> notes) {
        notes.add("panel.json has no \"face\": everything is drawn on a grid of " + (int) PITCH_MM
                + " mm, row by row. Write \"face\" with \"places\" for a front of your own.");
        List<Item> items = new ArrayList<>();
        double y = 0;
        for (List<Item> row : rows) {
            double tall = row.stream().mapToDouble(item -> item.part.coverMm()).max().orElse(0);
            y += y == 0 ? Math.max(EDGE_MM, tall + EDGE_MM / 2) : Math.max(PITCH_MM, tall + PITCH_MM / 2);
            double x = EDGE_MM;
            for (Item item : row) {
                items.add(item.at(x, y));
                x += item.takesRight();
            }
            y += tall > PITCH_MM / 2 ? tall - PITCH_MM / 4 : 0;
        }
        return items;
    }

    /** Places as written; what has none stands to the right of its row, or below everything. */
    private static List<Item> placed(List<List<Item>> rows, Face face, List<String> notes) {
        double lowest = face.places().values().stream().mapToDouble(Face.Place::yMm).max().orElse(EDGE_MM - PITCH_MM);
        List<Item> items = new ArrayList<>();
        for (List<Item> row : rows) {
            List<Face.Place> known = row.stream().map(item -> face.places().get(item.name()))
                    .filter(java.util.Objects::nonNull).toList();
            double x = known.stream().mapToDouble(Face.Place::xMm).max().orElse(EDGE_MM - PITCH_MM);
            double y = known.isEmpty() ? (lowest += PITCH_MM) : known.getLast().yMm();
            for (Item item : row) {
                Face.Place place = face.places().get(item.name());
                if (place == null) {
                    x += PITCH_MM;
                    notes.add("\"" + item.name() + "\" has no place in \"face\"; it is drawn at " + mm(x) + ", " + mm(y)
                            + ". Write its place under \"places\".");
                }
                items.add(place == null ? item.at(x, y) : item.at(place.xMm(), place.yMm()));
            }
        }
        return items;
    }

    /** Items that lie at one height, from left to right; the upper rows first. */
    List<List<Item>> rowsAsTheyLie() {
        List<List<Item>> rows = new ArrayList<>();
        for (Item item : items.stream().sorted(Comparator.comparingDouble(Item::y)).toList()) {
            if (rows.isEmpty() || item.y - rows.getLast().getFirst().y > SAME_ROW_MM) {
                rows.add(new ArrayList<>());
            }
            rows.getLast().add(item);
        }
        rows.forEach(row -> row.sort(Comparator.comparingDouble(Item::x)));
        return rows;
    }

    /** All holes, in the order of the items. */
    List<Hole> holes() {
        List<Hole> holes = new ArrayList<>();
        for (Item item : items) {
            holes.add(new Hole(item, item.part, item.part.words(), item.x, item.y));
            if (item.lamp) {
                holes.add(new Hole(item, Part.LAMP, "LED, unless it is in the button", item.lampX(), item.lampY()));
            }
            for (int i = 0; i < item.rockers.size(); i++) {
                holes.add(new Hole(item, Part.ROCKER, Part.ROCKER.words() + ", " + item.rockers.get(i),
                        item.rockerX(i), item.y));
            }
        }
        return holes;
    }

    private List<String> tooNear() {
        List<String> notes = new ArrayList<>();
        List<Hole> holes = holes();
        for (int i = 0; i < holes.size(); i++) {
            Hole one = holes.get(i);
            double halfWide = one.diameter() / 2;
            double halfTall = one.part.tallMm() / 2;
            if (one.x - halfWide < WEB_MM || one.x + halfWide > widthMm - WEB_MM || one.y - halfTall < WEB_MM
                    || one.y + halfTall > heightMm - WEB_MM) {
                notes.add("The hole of \"" + one.item.name + "\" (" + one.what + ") at " + mm(one.x) + ", " + mm(one.y)
                        + " does not lie within the plate of " + mm(widthMm) + " by " + mm(heightMm)
                        + " mm. Move it, or make \"face\" larger.");
            }
            for (Hole other : holes.subList(i + 1, holes.size())) {
                if (other.item != one.item && gap(one, other) < WEB_MM) {
                    notes.add("The holes of \"" + one.item.name + "\" and \"" + other.item.name + "\" are "
                            + (gap(one, other) < 0 ? "one in the other" : "less than " + (int) WEB_MM + " mm apart")
                            + ". Move one of them under \"places\".");
                } else if (other.item != one.item && overlap(one, other)) {
                    notes.add("\"" + one.item.name + "\" (" + one.what + ") and \"" + other.item.name + "\" ("
                            + other.what + ") would touch: their middles are "
                            + mm(Math.hypot(one.x - other.x, one.y - other.y)) + " mm apart, and nut and cap need "
                            + mm(one.part.coverMm() + other.part.coverMm())
                            + " mm. Move one of them under \"places\".");
                }
            }
        }
        return notes;
    }

    private static double gap(Hole one, Hole other) {
        double down = Math.max(0, Math.abs(one.y - other.y) - slot(one) - slot(other));
        return Math.hypot(one.x - other.x, down) - (one.diameter() + other.diameter()) / 2;
    }

    /** Whether the nut or cap of one would lie on that of the other. What a fader covers to its sides is not known. */
    private static boolean overlap(Hole one, Hole other) {
        return one.part != Part.FADER && other.part != Part.FADER
                && Math.hypot(one.x - other.x, one.y - other.y) < one.part.coverMm() + other.part.coverMm();
    }

    /** How far a slot reaches up and down from its middle, beyond a round hole. */
    private static double slot(Hole hole) {
        return (hole.part.tallMm() - hole.diameter()) / 2;
    }

    static String mm(double mm) {
        return java.math.BigDecimal.valueOf(Math.round(mm * 10) / 10.0).stripTrailingZeros().toPlainString();
    }
}
