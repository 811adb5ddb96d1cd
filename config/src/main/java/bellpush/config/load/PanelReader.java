package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.model.Board;
import bellpush.config.model.Button;
import bellpush.config.model.Chip;
import bellpush.config.model.Face;
import bellpush.config.model.Fader;
import bellpush.config.model.Joystick;
import bellpush.config.model.Knob;
import bellpush.config.model.Lamp;
import bellpush.config.model.Macro;
import bellpush.config.model.Panel;
import bellpush.config.model.Pin;
import bellpush.config.model.Source;
import bellpush.config.model.Switch;
import bellpush.config.model.Value;
import bellpush.config.problem.DidYouMean;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;

/** Reads panel.json. */
final class PanelReader {
    private static final Duration TWICE_WITHIN = Duration.ofMillis(300);

    private final Rules rules;
    private final Reading reading;
    private final LooksReader looks;
    private final PinChecks pins;
    private final LampReader lampReader;
    private final Map<String, Lamp> lamps = new LinkedHashMap<>();
    private Written written = new Written(Set.of(), Set.of(), Set.of(), Set.of(), Set.of(), Set.of(), Set.of());
    private final Map<String, Node.Member> members = new LinkedHashMap<>();

    PanelReader(Rules rules, Function<String, Optional<Macro>> macros) {
        this.rules = rules;
        this.reading = rules.reading;
        this.looks = new LooksReader(reading, rules.times);
        this.pins = new PinChecks(reading.problems);
        this.lampReader = new LampReader(rules, looks, pins, macros);
    }

    Panel read(Node.Obj root) {
        written = names(root);
        Map<String, Chip> chips = new ChipsReader(rules, pins).read(root);
        Map<String, Button> buttons = new LinkedHashMap<>();
        Map<String, Switch> switches = new LinkedHashMap<>();
        Map<String, Knob> knobs = new LinkedHashMap<>();
        Map<String, Fader> faders = new LinkedHashMap<>();
        Map<String, Joystick> joysticks = new LinkedHashMap<>();
        KnobReader knob = new KnobReader(rules, pins);
        AnalogueReader analogue = new AnalogueReader(rules, pins);
        each(root, "buttons", (member, object) -> buttons.put(member.key(), button(member, object)));
        each(root, "switches", (member, object) -> switches.put(member.key(), toggle(member, object)));
        each(root, "knobs", (member, object) -> knob.read(member, object).ifPresent(k -> knobs.put(k.name(), k)));
        each(root, "faders", (member, object) -> analogue.fader(member, object)
                .ifPresent(f -> faders.put(f.name(), f)));
        each(root, "joysticks", (member, object) -> joysticks.put(member.key(), analogue.joystick(member, object)));
        each(root, "lamps", (member, object) -> lamps.putIfAbsent(member.key(), lampReader.alone(member, object)));
        List<List<String>> rows = rows(root);
        return new Panel(board(root), chips, Collections.unmodifiableMap(buttons),
                Collections.unmodifiableMap(switches), Collections.unmodifiableMap(knobs),
                Collections.unmodifiableMap(faders), Collections.unmodifiableMap(joysticks),
                Collections.unmodifiableMap(lamps), rows, looks.signs(root), face(root));
    }

    /**
     * Names in the file, also of what could not be read. An axis is written as {@code JOYSTICK.AXIS}.
     *
     * @param pushed knobs that have a push switch
     */
    record Written(Set<String> buttons, Set<String> switches, Set<String> knobs, Set<String> pushed, Set<String> faders,
            Set<String> axes, Set<String> lamps) {}

    /** The names in the file that was read. */
    Written written() {
        return written;
    }

    /** The names of switches in panel.json, which macros speak of before the rest of it is read. */
    static Set<String> switches(Reading reading, Node.Obj root) {
        return keys(reading, root, "switches");
    }

    private Written names(Node.Obj root) {
        Set<String> axes = new LinkedHashSet<>();
        for (Node.Member member : reading.members(root, "joysticks")) {
            if (member.value() instanceof Node.Obj object) {
                reading.members(object, "axes").forEach(axis -> axes.add(member.key() + "." + axis.key()));
            }
        }
        Set<String> pushed = new LinkedHashSet<>();
        for (Node.Member member : reading.members(root, "knobs")) {
            if (member.value() instanceof Node.Obj object && object.members().containsKey("push")) {
                pushed.add(member.key());
            }
        }
        Set<String> lit = keys(reading, root, "lamps");
        for (Node.Member member : reading.members(root, "buttons")) {
            if (member.value() instanceof Node.Obj object && object.members().containsKey("lamp")) {
                lit.add(member.key());
            }
        }
        return new Written(keys(reading, root, "buttons"), keys(reading, root, "switches"),
                keys(reading, root, "knobs"), pushed, keys(reading, root, "faders"), axes, lit);
    }

    private static Set<String> keys(Reading reading, Node.Obj root, String key) {
        Set<String> names = new LinkedHashSet<>();
        reading.members(root, key).forEach(member -> names.add(member.key()));
        return names;
    }

    private Board board(Node.Obj root) {
        return reading.object(root, "board").map(object -> {
            String chip = reading.text(object, "chip").orElse(Board.ANY.chip());
            // Largest drive strengths. Source: Raspberry Pi documentation, GPIO pads control.
            double perPin = chip.equals("bcm2835") ? 16 : Board.ANY.milliampsPerPin();
            return new Board(chip, reading.number(object, "milliampsPerPin").map(Node.Num::number).orElse(perPin),
                    reading.number(object, "milliampsTogether").map(Node.Num::number)
                            .orElse(Board.ANY.milliampsTogether()));
        }).orElse(Board.ANY);
    }

    private Optional<Face> face(Node.Obj root) {
        return reading.object(root, "face").map(object -> {
            double width = millimetres(object, "width");
            double height = millimetres(object, "height");
            Map<String, Face.Place> places = new LinkedHashMap<>();
            for (Node.Member member : reading.members(object, "places")) {
                List<Node> xy = reading.list(member.value());
                if (xy.size() == 2 && xy.get(0) instanceof Node.Num x && xy.get(1) instanceof Node.Num y) {
                    placed(member, x, y, width, height);
                    places.put(member.key(), new Face.Place(x.number(), y.number()));
                }
            }
            return new Face(width, height, Collections.unmodifiableMap(places));
        });
    }

    private void placed(Node.Member member, Node.Num x, Node.Num y, double width, double height) {
        if (!members.containsKey(member.key())) {
            reading.problems.error(member.spot(), "There is no control or lamp \"" + member.key() + "\".",
                    "\"places\" says where each of them is on the front of the panel.",
                    DidYouMean.cure(member.key(), members.keySet(), "Remove it."));
        }
        if (x.number() > width && width > 0 || y.number() > height && height > 0) {
            reading.problems.error(x.number() > width ? x.spot() : y.spot(), member.key() + " is beside the panel.",
                    "The front is " + Value.of(width) + " mm wide and " + Value.of(height) + " mm high.",
                    "Measure from the upper left corner, or make the front larger.");
        }
    }

    private double millimetres(Node.Obj object, String key) {
        return reading.number(object, key).map(Node.Num::number).orElse(0.0);
    }

    private interface Entry {
        void read(Node.Member member, Node.Obj object);
    }

    private void each(Node.Obj root, String key, Entry entry) {
        for (Node.Member member : reading.members(root, key)) {
            Node.Member other = members.putIfAbsent(member.key(), member);
            if (other != null) {
                reading.problems.error(member.spot(),
                        "The name \"" + member.key() + "\" is taken by another control or lamp in line "
                                + other.spot().at().line() + ".",
                        "Macros, rehearsals and the log speak of them by name, so one name must mean one thing.",
                        "Give one of them another name.");
            }
            reading.object(member.value()).ifPresent(object -> entry.read(member, object));
        }
    }

    private Button button(Node.Member member, Node.Obj object) {
        String name = member.key();
        String label = reading.text(object, "label").orElse(name);
        Optional<Pin> pin = contact(object, "the button " + name);
        Optional<String> press = macro(object, "press");
        Optional<String> release = macro(object, "release");
        Optional<Button.Hold> hold = reading.object(object, "hold")
                .flatMap(h -> rules.run(h)
                        .map(run -> new Button.Hold(rules.times.positive(h, "for", Duration.ofSeconds(1)), run)));
        Optional<Button.Twice> twice = reading.object(object, "double").flatMap(
                d -> rules.run(d)
                        .map(run -> new Button.Twice(rules.times.positive(d, "within", TWICE_WITHIN), run)));
        if (gestures(object) == 0) {
            reading.problems.warning(member.spot(), "The button " + name + " does nothing.",
                    "Somebody will press it during the event and wait.",
                    "Give it a \"press\", \"hold\" or \"release\", or remove it.");
        }
        Optional<Lamp> lamp = lampReader.ofButton(member, object, label, press.or(() -> hold.map(Button.Hold::run)),
                gestures(object) > 0);
        lamp.ifPresent(l -> lamps.put(name, l));
        Button button = new Button(name, label, pin, reading.flag(object, "activeHigh").orElse(false),
                rules.times.orZero(object, "lockout", Button.LOCKOUT),
                rules.times.orZero(object, "steadyFor", Duration.ZERO),
                rules.times.positive(object, "stuckAfter", Button.STUCK_AFTER), press, release, hold, twice, lamp,
                reading.text(object, "about"), member.spot().at());
        times(button, object);
        return button;
    }

    /** Times that contradict each other. */
    private void times(Button button, Node.Obj object) {
        Duration lockout = button.lockout();
        button.hold().filter(hold -> hold.time().compareTo(button.stuckAfter()) >= 0)
                .ifPresent(hold -> reading.problems.error(reading.node(object, "hold").orElseThrow().spot(),
                        "The button " + button.name() + " counts as stuck before it has been held long enough.",
                        "Its hold takes as long as its \"stuckAfter\", which is "
                                + Times.words(button.stuckAfter()) + ", or longer.",
                        "Write a longer \"stuckAfter\", or a shorter hold."));
        button.twice().filter(twice -> twice.within().compareTo(lockout.plus(button.steadyFor())) <= 0)
                .ifPresent(twice -> reading.problems.error(reading.node(object, "double").orElseThrow().spot(),
                        "The button " + button.name() + " can never be pressed twice in time.",
                        "Its \"lockout\" and \"steadyFor\" together take as long as the second press may, or longer.",
                        "Write a longer \"within\", or make one of them shorter."));
        button.twice().flatMap(twice -> button.hold().filter(hold -> hold.time().compareTo(twice.within()) <= 0))
                .ifPresent(hold -> reading.problems.error(reading.node(object, "hold").orElseThrow().spot(),
                        "The hold of the button " + button.name() + " is reached while a second press is waited for.",
                        "A hold must take longer than \"within\" of the double press.",
                        "Write a longer hold, or a shorter \"within\"."));
    }

    private Switch toggle(Node.Member member, Node.Obj object) {
        String name = member.key();
        return new Switch(name, reading.text(object, "label").orElse(name), contact(object, "the switch " + name),
                reading.flag(object, "activeHigh").orElse(false),
                rules.times.orZero(object, "lockout", Button.LOCKOUT),
                rules.times.orZero(object, "steadyFor", Duration.ZERO), macro(object, "on"), macro(object, "off"),
                reading.text(object, "about"), member.spot().at());
    }

    /** How many keys are gestures, or were probably meant to be. */
    private static long gestures(Node.Obj button) {
        return button.members().keySet().stream()
                .filter(key -> DidYouMean.closest(key, List.of("press", "release", "hold", "double")).isPresent())
                .count();
    }

    private Optional<String> macro(Node.Obj object, String key) {
        return reading.node(object, key).flatMap(rules::run);
    }

    private Optional<Pin> contact(Node.Obj object, String by) {
        return reading.node(object, "pin").flatMap(node -> pins.use(node, by, PinChecks.Job.CONTACT));
    }

    private List<List<String>> rows(Node.Obj root) {
        List<List<String>> rows = new ArrayList<>();
        Map<String, Node> placed = new LinkedHashMap<>();
        boolean strangers = false; // one of them may be the control that seems to be left out
        for (Node row : reading.list(root, "rows")) {
            List<String> names = new ArrayList<>();
            for (Node node : reading.list(row)) {
                strangers |= !(node instanceof Node.Text known && members.containsKey(known.text()));
                if (node instanceof Node.Text text && place(text, placed)) {
                    names.add(text.text());
                }
            }
            rows.add(List.copyOf(names));
        }
        List<String> missing = members.keySet().stream().filter(name -> !placed.containsKey(name)).toList();
        if (!strangers && !rows.isEmpty() && !missing.isEmpty()) {
            reading.problems.warning(reading.node(root, "rows").orElseThrow().spot(),
                    "\"rows\" leaves out " + DidYouMean.list(missing) + ".",
                    "The drawn panel would not show what is there.",
                    "Add every control and lamp to a row, or remove \"rows\".");
        }
        return List.copyOf(rows);
    }

    private boolean place(Node.Text text, Map<String, Node> placed) {
        if (!members.containsKey(text.text())) {
            reading.problems.error(text.spot(), "There is no control or lamp \"" + text.text() + "\".",
                    "\"rows\" says where each of them lies on the panel.",
                    DidYouMean.cure(text.text(), members.keySet(), "Remove it."));
            return false;
        }
        Node first = placed.putIfAbsent(text.text(), text);
        if (first != null) {
            reading.problems.error(text.spot(), "\"" + text.text() + "\" lies in \"rows\" twice; first in line "
                    + first.spot().at().line() + ".", "One control cannot be in two places.", "Remove one of them.");
        }
        return first == null;
    }
}
