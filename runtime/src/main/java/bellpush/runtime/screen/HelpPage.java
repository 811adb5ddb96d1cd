package bellpush.runtime.screen;

import bellpush.config.model.Panel.Signs;
import bellpush.config.model.Site;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** What lies over the panel when help is asked for. The cautions come first: on a small screen the end is cut off. */
final class HelpPage {
    private static final int MOST_COLUMNS = 76;
    private static final int KEY_COLUMNS = 13;

    private final Marks marks;
    private final List<Entry> entries;

    private record Entry(String key, String text) {
        static final Entry BLANK = new Entry("", "");
    }

    private record Line(String text, Ink ink) {}

    HelpPage(Site site, Marks marks) {
        this.marks = marks;
        entries = entries(site);
    }

    private static List<Entry> entries(Site site) {
        List<Entry> all = new ArrayList<>();
        all.add(new Entry("", "CAUTION. Unless the top line says that the gear is simulated, these controls are live: "
                + "cameras and rails start to move without warning. See that nobody and nothing is in their way before "
                + "you press. Nothing here is an emergency stop: to stop a machine at once, cut its power."));
        all.add(Entry.BLANK);
        all.add(new Entry("a letter", "presses the button that shows it; kept down, holds it"));
        all.add(new Entry("its capital", "holds for the button's hold time; the letter lets go early"));
        all.add(new Entry("Esc", "lets go of everything"));
        if (!site.panel().knobs().isEmpty()) {
            all.add(new Entry("[ ]  , .", "turn the knob that shows them; - and + turn a selected knob"));
        }
        if (!site.panel().switches().isEmpty()) {
            all.add(new Entry("a letter", "puts a switch the other way"));
        }
        if (site.panel().buttons().values().stream().anyMatch(button -> button.twice().isPresent())) {
            all.add(new Entry("letter twice", "in a row: a double press, on buttons that know one"));
        }
        if (site.panel().knobs().values().stream().anyMatch(knob -> knob.push().isPresent())) {
            all.add(new Entry("Enter, Space",
                    "on a selected knob: push it; push it for a second, to turn it meanwhile"));
        }
        if (!site.panel().faders().isEmpty()) {
            all.add(new Entry("their signs", "move a fader by a twentieth of its way"));
        }
        if (!site.panel().joysticks().isEmpty()) {
            all.add(new Entry("( )  < >",
                    "push the stick that shows them half way, for 0.4 s, and let it go: a terminal does "
                            + "not tell when a key comes up. A key that repeats keeps it pushed; Esc lets go at once"));
        }
        all.add(new Entry("Tab, arrows", "select; then Enter presses and Space holds"));
        all.add(new Entry("mouse", "down presses, up lets go; wheel or click turns a knob"));
        all.add(new Entry("!", "in a rehearsal: switch gear off and on, to practise trouble"));
        all.add(new Entry("Ctrl-L", "draws the screen anew"));
        all.add(new Entry("q", "leaves, after a question; Ctrl-C leaves at once"));
        all.add(Entry.BLANK);
        all.add(new Entry("", "A lamp's word when the lamp cannot show a plain fact:"));
        signs(site.panel().signs()).forEach((word, meanings) -> all.add(new Entry(word, String.join("; ", meanings))));
        return all;
    }

    private static Map<String, List<String>> signs(Signs signs) {
        Map<String, List<String>> byWord = new LinkedHashMap<>();
        add(byWord, signs.linkDown().pattern().word(), "no connection");
        add(byWord, signs.unknown().pattern().word(), "not known");
        add(byWord, signs.assumed().pattern().word(), "sent, not yet confirmed");
        add(byWord, signs.running().pattern().word(), "at work");
        add(byWord, signs.holding().pattern().word(), "being held");
        add(byWord, signs.failed().pattern().word(), "has failed");
        return byWord;
    }

    private static void add(Map<String, List<String>> byWord, String word, String meaning) {
        byWord.computeIfAbsent(word, any -> new ArrayList<>()).add(meaning);
    }

    void paint(Canvas canvas) {
        int width = Math.min(MOST_COLUMNS, canvas.width);
        int inner = width - 4;
        if (inner < 1 || canvas.height < 3) {
            return;
        }
        List<Line> lines = lines(inner);
        int height = Math.min(canvas.height, lines.size() + 2);
        int x = (canvas.width - width) / 2;
        int y = (canvas.height - height) / 2;
        canvas.frame(x, y, width, height, marks.pressedCorners(), marks.pressedLine(), marks.pressedSide(), Ink.PLAIN);
        canvas.fill(x + 1, y + 1, width - 2, height - 2, ' ', Ink.PLAIN);
        canvas.text(x + 2, y, inner, " Help ", Ink.BOLD);
        canvas.text(x + 2, y + height - 1, inner, " any key goes back ", Ink.PLAIN);
        for (int i = 0; i < height - 2; i++) {
            canvas.text(x + 2, y + 1 + i, inner, lines.get(i).text, lines.get(i).ink);
        }
    }

    private List<Line> lines(int columns) {
        List<Line> lines = new ArrayList<>();
        for (Entry entry : entries) {
            int indent = entry.key.isEmpty() || columns < KEY_COLUMNS * 2 ? 0 : KEY_COLUMNS;
            Ink ink = entry.text.startsWith("CAUTION") ? Ink.WARNING : Ink.PLAIN;
            String key = String.format("%-" + KEY_COLUMNS + "s", entry.key);
            String text = indent == 0 ? (entry.key + " " + entry.text).strip() : entry.text;
            List<String> wrapped = PlainText.wrapped(text, columns - indent, marks.more());
            for (int i = 0; i < wrapped.size(); i++) {
                lines.add(
                        new Line((i == 0 ? key : " ".repeat(KEY_COLUMNS)).substring(0, indent) + wrapped.get(i), ink));
            }
        }
        return lines;
    }
}
