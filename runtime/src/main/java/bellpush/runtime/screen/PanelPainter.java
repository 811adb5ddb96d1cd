package bellpush.runtime.screen;

import bellpush.config.model.Device;
import bellpush.config.model.LinkState;
import bellpush.config.model.Site;
import bellpush.runtime.screen.PanelLayout.Section;
import bellpush.runtime.screen.Scene.Dialogue;
import bellpush.runtime.screen.Scene.LampSeen;
import bellpush.runtime.screen.Scene.LinkSeen;
import bellpush.runtime.screen.Scene.Touch;
import java.util.List;
import java.util.Optional;

/** Paints a scene on a canvas. Knows nothing of terminals; the same scene and size give the same cells. */
final class PanelPainter {
    private static final int BAR_COLUMNS = 4;

    private final Site site;
    private final KeyPlan keys;
    private final Marks marks;
    private final HelpPage help;
    private final TroublePage trouble;

    PanelPainter(Site site, KeyPlan keys, Marks marks) {
        this.site = site;
        this.keys = keys;
        this.marks = marks;
        help = new HelpPage(site, marks);
        trouble = new TroublePage(site, marks);
    }

    Canvas paint(Scene scene, PanelLayout layout, int width, int height) {
        Canvas canvas = new Canvas(width, height);
        if (!layout.fits()) {
            tooSmall(canvas, layout.needs());
            if (scene.dialogue() == Dialogue.LEAVE) {
                keyLine(canvas, scene);
            }
            return canvas;
        }
        title(canvas, scene);
        for (Area area : layout.areas()) {
            new ControlPainter(canvas, area, scene).paint();
        }
        running(canvas, layout.running(), scene);
        gear(canvas, layout.gear(), scene);
        log(canvas, layout.log(), scene);
        keyLine(canvas, scene);
        if (scene.dialogue() == Dialogue.HELP) {
            help.paint(canvas);
        }
        if (scene.dialogue() == Dialogue.TROUBLE) {
            trouble.paint(canvas, scene);
        }
        return canvas;
    }

    private void tooSmall(Canvas canvas, PanelLayout.Size needs) {
        String sentence = "Make the window larger: this panel needs " + needs.width() + " columns and "
                + needs.height() + " lines. q leaves.";
        List<String> lines = PlainText.wrapped(sentence, canvas.width, "");
        for (int y = 0; y < Math.min(canvas.height, lines.size()); y++) {
            canvas.text(0, y, canvas.width, lines.get(y), Ink.PLAIN);
        }
    }

    /** Where room is short the mode stays: whether real gear moves matters more than the name of the hall. */
    private void title(Canvas canvas, Scene scene) {
        canvas.fill(0, 0, canvas.width, 1, ' ', Ink.REVERSE);
        String mode = marks.cut(marks.text(scene.mode()), canvas.width - 2);
        int modeAt = Math.max(1, canvas.width - 1 - PlainText.columns(mode));
        canvas.text(1, 0, modeAt - 3, marks.cut(marks.text(site.name()), modeAt - 3), bold(Ink.REVERSE));
        canvas.text(modeAt, 0, canvas.width - 1 - modeAt, mode, Ink.REVERSE);
    }

    private static Ink bold(Ink ink) {
        return new Ink(ink.text(), ink.paper(), true, ink.faint(), ink.underlined(), ink.reverse());
    }

    private void running(Canvas canvas, Section section, Scene scene) {
        if (section.height() == 0) {
            return;
        }
        List<String> labels = scene.running().stream().map(marks::text).toList();
        if (section.height() == 1) {
            rule(canvas, section, labels.isEmpty() ? "nothing is running" : "running: " + String.join(", ", labels));
            return;
        }
        rule(canvas, section, labels.isEmpty() ? "nothing is running" : "running");
        for (int i = 0; i < Math.min(labels.size(), section.height() - 1); i++) {
            canvas.text(section.x() + 1, section.y() + 1 + i, section.width() - 1,
                    marks.cut(labels.get(i), section.width() - 1), Ink.PLAIN);
        }
    }

    private void rule(Canvas canvas, Section section, String heading) {
        canvas.fill(section.x(), section.y(), section.width(), 1, marks.line(), Ink.FAINT);
        canvas.text(section.x() + 2, section.y(), section.width() - 3,
                " " + marks.cut(heading, section.width() - 6) + " ", Ink.PLAIN);
    }

    private void gear(Canvas canvas, Section section, Scene scene) {
        int top = section.y();
        int height = section.height();
        List<Device> devices = List.copyOf(site.devices().values());
        int perColumn = (devices.size() + section.columns() - 1) / section.columns();
        if (height > perColumn) {
            long up = devices.stream().filter(device -> stateOf(scene, device) == LinkState.UP).count();
            rule(canvas, section, "gear: " + up + " of " + devices.size() + " up");
            top++;
            height--;
        }
        int pitch = section.width() / section.columns();
        for (int i = 0; i < devices.size() && perColumn > 0; i++) {
            int row = i % perColumn;
            if (row < height) {
                device(canvas, section.x() + i / perColumn * pitch + 1, top + row, pitch - 2, devices.get(i), scene);
            }
        }
    }

    private static LinkState stateOf(Scene scene, Device device) {
        return Optional.ofNullable(scene.links().get(device.name())).map(LinkSeen::state).orElse(LinkState.DOWN);
    }

    private void device(Canvas canvas, int x, int y, int columns, Device device, Scene scene) {
        LinkState state = stateOf(scene, device);
        String why = Optional.ofNullable(scene.links().get(device.name())).map(LinkSeen::why)
                .orElse("no connection yet");
        Ink ink = switch (state) {
            case UP -> Ink.PLAIN;
            case DOWN -> Ink.FAULT;
            case STALE -> Ink.WARNING;
        };
        int sign = marks.links().charAt(state.ordinal());
        String said = Character.toString(sign) + " " + String.format("%-5s", state.word()) + " ";
        int end = canvas.text(x, y, columns, said, ink);
        int room = x + columns - end;
        int after = canvas.text(end, y, room, marks.cut(marks.text(device.label()), room), Ink.PLAIN);
        room = x + columns - after - 2;
        if (state != LinkState.UP && !why.isBlank() && room >= 8) {
            canvas.text(after + 2, y, room, marks.cut(marks.text(why), room), Ink.FAINT);
        }
    }

    /** The newest line is at the bottom. */
    private void log(Canvas canvas, Section section, Scene scene) {
        int top = section.y();
        int height = section.height();
        if (height >= 4) {
            rule(canvas, section, "log");
            top++;
            height--;
        }
        List<String> lines = scene.lines();
        List<String> last = lines.subList(Math.max(0, lines.size() - Math.max(0, height)), lines.size());
        for (int i = 0; i < last.size(); i++) {
            canvas.text(section.x() + 1, top + i, section.width() - 1,
                    marks.cut(marks.text(last.get(i)), section.width() - 1), Ink.PLAIN);
        }
    }

    private void keyLine(Canvas canvas, Scene scene) {
        int y = canvas.height - 1;
        if (scene.dialogue() == Dialogue.LEAVE) {
            canvas.fill(0, y, canvas.width, 1, ' ', Ink.REVERSE);
            canvas.text(1, y, canvas.width - 1, "Leave? y/n", bold(Ink.REVERSE));
            return;
        }
        String why = scene.whys().get(scene.selected());
        if (why != null) {
            String word = scene.lamps().getOrDefault(scene.selected(), LampSeen.DARK).word();
            canvas.text(1, y, canvas.width - 1, marks.cut(marks.text(
                    site.panel().lamps().get(scene.selected()).label() + " is " + word + ": " + why),
                    canvas.width - 2), Ink.PLAIN);
            return;
        }
        boolean knobs = !site.panel().knobs().isEmpty() || !site.panel().faders().isEmpty()
                || !site.panel().joysticks().isEmpty();
        String practice = scene.off().isPresent() ? "   !: trouble" : "";
        for (String hint : List.of(
                "letter: press   capital: hold" + (knobs ? "   [ ]: turn" : "") + "   Tab: select" + practice
                        + "   ?: help   q: leave",
                "letter: press   capital: hold" + practice + "   ?: help   q: leave",
                "letter: press   capital: hold   ?: help   q: leave", "?: help   q: leave", "q: leave")) {
            if (hint.length() + 2 <= canvas.width) {
                canvas.text(1, y, canvas.width - 1, hint, Ink.FAINT);
                return;
            }
        }
    }

    /** One button, knob or lamp. */
    private final class ControlPainter {
        private final Canvas canvas;
        private final Area area;
        private final LampSeen lamp;
        private final boolean hasLamp;
        private final Optional<Touch> touch;
        private final boolean selected;
        private final Scene scene;

        ControlPainter(Canvas canvas, Area area, Scene scene) {
            this.canvas = canvas;
            this.area = area;
            this.scene = scene;
            hasLamp = site.panel().lamps().containsKey(area.name());
            lamp = scene.lamps().getOrDefault(area.name(), LampSeen.DARK);
            touch = Optional.ofNullable(scene.touched().get(area.name()));
            selected = scene.selected().equals(area.name());
        }

        void paint() {
            switch (area.height()) {
                case 1 -> bareLine();
                case 2 -> tile();
                default -> box();
            }
        }

        private String label() {
            return marks.text(switch (area.role()) {
                case BUTTON -> site.panel().buttons().get(area.name()).label();
                case SWITCH -> site.panel().switches().get(area.name()).label();
                case KNOB -> site.panel().knobs().get(area.name()).label();
                case FADER -> site.panel().faders().get(area.name()).label();
                case AXIS -> {
                    int dot = area.name().indexOf('.');
                    yield site.panel().joysticks().get(area.name().substring(0, dot)).label()
                            + area.name().substring(dot).replace('.', ' ');
                }
                case LAMP -> site.panel().lamps().get(area.name()).label();
            });
        }

        private boolean lit() {
            return hasLamp && lamp.level() > 0;
        }

        private Ink face() {
            Ink ink = !lit() ? Ink.BOLD : lamp.level() < 0.5 ? Ink.PLAIN.underline() : Ink.lit(lamp.colour());
            return selected ? ink.underline() : ink;
        }

        private String lampSign() {
            return !lit() ? marks.dark() : lamp.level() < 0.5 ? marks.faint() : marks.lit();
        }

        private String lampText() {
            return hasLamp ? lampSign() + " " + lamp.word() : "";
        }

        /** What the lower edge says: the lamp, a value, or how a switch stands. */
        private String foot() {
            String value = marks.text(scene.values().getOrDefault(area.name(), "?"));
            return switch (area.role()) {
                case SWITCH, KNOB, AXIS -> value;
                case FADER -> bar(scene.ways().getOrDefault(area.name(), 0.0)) + " " + value;
                case BUTTON, LAMP -> lampText();
            };
        }

        private String bar(double way) {
            int full = (int) Math.round(way * BAR_COLUMNS);
            return marks.bar().substring(0, 1).repeat(full) + marks.bar().substring(1).repeat(BAR_COLUMNS - full);
        }

        private void bareLine() {
            String key = keys.keysOf(area.name());
            String lead = selected ? marks.selected().substring(0, 1) : touch.isPresent() ? "*" : " ";
            int end = canvas.text(area.x(), area.y(), area.width(), lead + (key.isEmpty() ? "" : key + " "), Ink.PLAIN);
            String foot = touch.map(Touch::word).orElse(foot());
            int room = area.x() + area.width() - end;
            int footColumns = Math.min(PlainText.columns(foot), Math.max(0, room - 3));
            if (footColumns < 4 && hasLamp) {
                foot = lampSign();
                footColumns = Math.min(PlainText.columns(foot), room);
            }
            int labelRoom = Math.max(0, room - footColumns - 1);
            canvas.text(end, area.y(), labelRoom, marks.cut(label(), labelRoom), face());
            canvas.text(area.x() + area.width() - footColumns, area.y(), footColumns, marks.cut(foot, footColumns),
                    Ink.PLAIN);
        }

        /** A key and a label above, the lamp below: a box without its edges. */
        private void tile() {
            String key = keys.keysOf(area.name());
            String lead = selected ? marks.selected().substring(0, 1) : " ";
            int face = canvas.text(area.x(), area.y(), area.width(), lead + key + (key.isEmpty() ? "" : " "), Ink.BOLD);
            int room = area.x() + area.width() - face;
            canvas.fill(face, area.y(), room, 1, ' ', face());
            centred(marks.cut(label(), room), face, area.y(), room, face());
            int end = canvas.text(area.x() + 1, area.y() + 1, area.width() - 1, foot(), lit() ? Ink.BOLD : Ink.PLAIN);
            int rest = area.x() + area.width() - end;
            corner().stream().filter(word -> word.length() < rest).findFirst()
                    .ifPresent(word -> canvas.text(area.x() + area.width() - word.length(), area.y() + 1, word.length(),
                            word, touch.isPresent() ? Ink.BOLD : Ink.PLAIN));
        }

        private void box() {
            int inner = area.width() - 2;
            boolean lampAlone = area.role() == Area.Role.LAMP;
            if (!lampAlone) {
                edges();
                head(inner);
            }
            canvas.fill(area.x() + 1, area.y() + 1, inner, area.height() - 2, ' ', face());
            boolean knob = area.turns();
            int room = inner - (knob || selected ? 2 : 0) - (knob && selected ? 2 : 0);
            List<String> lines = PlainText.wrapped(label(), room, marks.more());
            int shown = Math.min(lines.size(), area.height() - 2);
            if (shown < lines.size()) {
                lines = List.of(marks.cut(label(), room));
                shown = 1;
            }
            int top = area.y() + 1 + (area.height() - 2 - shown) / 2;
            for (int i = 0; i < shown; i++) {
                centred(lines.get(i), area.x() + 1, top + i, inner, face());
            }
            int middle = area.y() + area.height() / 2;
            ends(knob, middle, inner);
            foot(inner, lampAlone);
        }

        private void ends(boolean knob, int y, int inner) {
            int left = area.x() + 1;
            int right = area.x() + inner;
            if (selected) {
                canvas.text(left++, y, 1, marks.selected().substring(0, 1), Ink.BOLD);
                canvas.text(right--, y, 1, marks.selected().substring(1), Ink.BOLD);
            }
            if (knob) {
                canvas.text(left, y, 1, marks.knob().substring(0, 1), Ink.BOLD);
                canvas.text(right, y, 1, marks.knob().substring(1), Ink.BOLD);
            }
        }

        private void edges() {
            boolean down = touch.isPresent();
            canvas.frame(area.x(), area.y(), area.width(), area.height(),
                    down ? marks.pressedCorners() : marks.corners(), down ? marks.pressedLine() : marks.line(),
                    down ? marks.pressedSide() : marks.side(), down || selected ? Ink.BOLD : Ink.PLAIN);
        }

        /** The upper edge: the key at the left, and at the right what is most worth knowing. */
        private void head(int inner) {
            String key = keys.keysOf(area.name());
            if (area.turns()) {
                if (!key.isEmpty()) {
                    canvas.text(area.x() + 1, area.y(), 3, " " + key.charAt(0) + " ", Ink.BOLD);
                    canvas.text(area.x() + inner - 2, area.y(), 3, " " + key.charAt(1) + " ", Ink.BOLD);
                }
                return;
            }
            canvas.text(area.x() + 1, area.y(), 3, key.isEmpty() ? "" : " " + key + " ", Ink.BOLD);
            int room = inner - (key.isEmpty() ? 0 : 3);
            corner().stream().filter(word -> word.length() + 2 <= room).findFirst()
                    .ifPresent(word -> canvas.text(area.x() + inner - word.length() - 1, area.y(), word.length() + 2,
                            " " + word + " ", touch.isPresent() ? Ink.BOLD : Ink.PLAIN));
        }

        /** The first of these that fits. */
        private List<String> corner() {
            if (area.role() == Area.Role.KNOB) {
                return List.of();
            }
            if (touch.isPresent()) {
                // A star must do where the lamp's word leaves no room.
                return List.of(touch.get().word(), "*");
            }
            List<String> hold = hold();
            // How to press comes before the colour: a lamp's word says enough, and a press that is too short does nothing.
            return !hold.isEmpty() ? hold : lit() ? lamp.colour().map(List::of).orElse(List.of()) : List.of();
        }

        private List<String> hold() {
            if (area.role() != Area.Role.BUTTON) {
                return List.of();
            }
            String holdKey = keys.holdKeyOf(area.name());
            return site.panel().buttons().get(area.name()).hold().isEmpty() || holdKey.isEmpty()
                    ? List.of()
                    : List.of("hold " + holdKey, holdKey);
        }

        private void foot(int inner, boolean lampAlone) {
            String foot = foot();
            if (foot.isEmpty()) {
                return;
            }
            boolean padded = !lampAlone && PlainText.columns(foot) + 2 <= inner;
            String text = padded ? " " + foot + " " : marks.cut(foot, inner);
            centred(text, area.x() + 1, area.y() + area.height() - 1, inner, lit() ? Ink.BOLD : Ink.PLAIN);
        }

        private void centred(String text, int x, int y, int columns, Ink ink) {
            int spare = Math.max(0, columns - PlainText.columns(text));
            canvas.text(x + spare / 2, y, columns - spare / 2, text, ink);
        }
    }
}
