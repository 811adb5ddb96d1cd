package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.model.Button;
import bellpush.config.model.Condition;
import bellpush.config.model.Knob;
import bellpush.config.model.Lamp;
import bellpush.config.model.LampRule;
import bellpush.config.model.Look;
import bellpush.config.model.Macro;
import bellpush.config.model.Panel;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Source;
import bellpush.config.problem.DidYouMean;
import bellpush.config.problem.Spot;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.LinkedHashSet;
import java.util.Set;

/** Reads panel.json. */
final class PanelReader {
    /** Longer than the 6.2 ms that measured switches bounced at most (J. Ganssle, A Guide to Debouncing). */
    private static final Duration LOCKOUT = Duration.ofMillis(10);

    private final Rules rules;
    private final Reading reading;
    private final Map<String, Macro> macros;
    private final LooksReader looks;
    private final PinChecks pins;
    private final Map<String, Lamp> lamps = new LinkedHashMap<>();
    private Written written = new Written(Set.of(), Set.of(), Set.of());
    private final Map<String, Node.Member> members = new LinkedHashMap<>();

    PanelReader(Rules rules, Map<String, Macro> macros) {
        this.rules = rules;
        this.reading = rules.reading;
        this.macros = macros;
        this.looks = new LooksReader(reading, rules.times);
        this.pins = new PinChecks(reading.problems);
    }

    Panel read(Node.Obj root) {
        written = names(root);
        Map<String, Button> buttons = new LinkedHashMap<>();
        Map<String, Knob> knobs = new LinkedHashMap<>();
        each(root, "buttons", (member, object) -> buttons.put(member.key(), button(member, object)));
        each(root, "knobs", (member, object) -> knob(member, object).ifPresent(k -> knobs.put(member.key(), k)));
        each(root, "lamps", (member, object) -> {
            Lamp lamp = lamp(member.key(), reading.text(object, "label").orElse(member.key()), object, List.of(),
                    member.spot().at());
            dark(lamp, member.spot(), false, hasRules(object));
            lamps.putIfAbsent(member.key(), lamp);
        });
        return new Panel(Collections.unmodifiableMap(buttons), Collections.unmodifiableMap(knobs),
                Collections.unmodifiableMap(lamps), rows(root), looks.signs(root));
    }

    /** Names in the file, also of what could not be read. */
    record Written(Set<String> buttons, Set<String> knobs, Set<String> lamps) {}

    /** The names in the file that was read. */
    Written written() {
        return written;
    }

    private Written names(Node.Obj root) {
        Set<String> buttons = new LinkedHashSet<>();
        Set<String> knobs = new LinkedHashSet<>();
        Set<String> all = new LinkedHashSet<>();
        for (Node.Member member : reading.members(root, "buttons")) {
            buttons.add(member.key());
            if (member.value() instanceof Node.Obj object && object.members().containsKey("lamp")) {
                all.add(member.key());
            }
        }
        reading.members(root, "knobs").forEach(member -> knobs.add(member.key()));
        reading.members(root, "lamps").forEach(member -> all.add(member.key()));
        return new Written(buttons, knobs, all);
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
        OptionalInt pin = pin(object, "pin", "the button " + name);
        Optional<String> press = macro(object, "press");
        Optional<String> release = macro(object, "release");
        Optional<Button.Hold> hold = reading.object(object, "hold")
                .flatMap(h -> macro(h, "run")
                        .map(run -> new Button.Hold(rules.times.positive(h, "for", Duration.ofSeconds(1)), run)));
        if (gestures(object) == 0) {
            reading.problems.warning(member.spot(), "The button " + name + " does nothing.",
                    "Somebody will press it during the event and wait.",
                    "Give it a \"press\", \"hold\" or \"release\", or remove it.");
        }
        Optional<Lamp> lamp = lampOf(member, object, label, press.or(() -> hold.map(Button.Hold::run)));
        lamp.ifPresent(l -> lamps.put(name, l));
        return new Button(name, label, pin, reading.flag(object, "activeHigh").orElse(false),
                rules.times.orZero(object, "lockout", LOCKOUT), press, release, hold, lamp, member.spot().at());
    }

    /** How many keys are gestures, or were probably meant to be. */
    private static long gestures(Node.Obj button) {
        return button.members().keySet().stream()
                .filter(key -> DidYouMean.closest(key, List.of("press", "release", "hold")).isPresent()).count();
    }

    private Optional<String> macro(Node.Obj object, String key) {
        return reading.textNode(object, key).flatMap(node -> rules.names.macro(node.spot(), node.text(), ""));
    }

    private OptionalInt pin(Node.Obj object, String key, String by) {
        return reading.number(object, key).map(node -> pins.use(node, by)).orElse(OptionalInt.empty());
    }

    private Optional<Lamp> lampOf(Node.Member button, Node.Obj object, String label, Optional<String> macro) {
        Optional<Node> node = reading.node(object, "lamp");
        if (node.isEmpty()) {
            return Optional.empty();
        }
        Node.Member member = object.members().get("lamp");
        List<LampRule> promised = macro.flatMap(m -> Optional.ofNullable(macros.get(m))).flatMap(Macro::promise)
                .map(promise -> List.of(new LampRule(Optional.of(promise), Look.of(Look.Pattern.STEADY), Source.NONE)))
                .orElse(List.of());
        Lamp lamp = switch (node.get()) {
            case Node.Num n -> new Lamp(button.key(), label, pins.use(n, "the lamp of " + button.key()), true, promised,
                    member.spot().at());
            case Node.Obj inner -> lamp(button.key(), label, inner, promised, member.spot().at());
            default -> throw new IllegalStateException("shape let through " + node.get().described());
        };
        boolean broken = macro.map(m -> !macros.containsKey(m))
                .orElse(gestures(object) > 0 && reading.problems.hasErrors());
        if (!broken) {
            dark(lamp, member.spot(), true, node.get() instanceof Node.Obj inner && hasRules(inner));
        }
        return Optional.of(lamp);
    }

    private Lamp lamp(String name, String label, Node.Obj object, List<LampRule> withoutRules, Source at) {
        List<LampRule> rules = rules(object);
        return new Lamp(name, label, pin(object, "pin", "the lamp " + name),
                reading.flag(object, "activeHigh").orElse(true),
                !hasRules(object) ? withoutRules : rules, at);
    }

    /** @param hasRules whether rules are written, even if they could not be read */
    private void dark(Lamp lamp, Spot spot, boolean ofButton, boolean hasRules) {
        if (lamp.rules().isEmpty() && !hasRules) {
            reading.problems.warning(spot, "The lamp " + lamp.name() + " has nothing to show.",
                    ofButton
                            ? "It has no rules, and no macro of its button makes a promise that it could show."
                            : "It has no rules, so it stays dark for ever.",
                    ofButton
                            ? "Give the macro a \"promise\", or the lamp \"rules\"."
                            : "Give it \"rules\", or remove it.");
        }
    }

    private static boolean hasRules(Node.Obj lamp) {
        return lamp.get("rules").filter(node -> !(node instanceof Node.Arr list) || !list.items().isEmpty())
                .isPresent();
    }

    private List<LampRule> rules(Node.Obj object) {
        List<LampRule> rules = new ArrayList<>();
        Node always = null;
        for (Node node : reading.list(object, "rules")) {
            Node.Obj rule = reading.object(node).orElse(null);
            if (rule == null) {
                continue;
            }
            if (always != null) {
                reading.problems.warning(rule.spot(), "This rule is never reached.",
                        "The rule in line " + always.spot().at().line() + " has no \"when\", so it always decides.",
                        "Put the rule without \"when\" last.");
            }
            Optional<Condition> when = this.rules.condition(rule, "when");
            always = rule.members().containsKey("when") || always != null ? always : rule;
            looks.look(rule).ifPresent(look -> rules.add(new LampRule(when, look, rule.spot().at())));
        }
        return List.copyOf(rules);
    }

    private Optional<Knob> knob(Node.Member member, Node.Obj object) {
        String name = member.key();
        List<OptionalInt> wired = new ArrayList<>();
        for (Node node : reading.list(object, "pins")) {
            if (node instanceof Node.Num n) {
                wired.add(pins.use(n, "the knob " + name));
            }
        }
        Optional<Node.Text> turns = reading.textNode(object, "turns");
        Optional<Names.Found> found = turns.flatMap(node -> rules.names.property(node.spot(), node.text()));
        if (found.isEmpty()) {
            return Optional.empty();
        }
        PropertyType type = found.get().property().type();
        if (type instanceof PropertyType.Whole || type instanceof PropertyType.Number) {
            rules.settable(turns.get().spot(), found.get());
        } else {
            reading.problems.error(turns.get().spot(), "The knob " + name + " turns " + turns.get().text()
                    + ", which is no number.", turns.get().text() + " takes " + Values.describe(type) + ".",
                    "Name a number property, or use a button.");
        }
        double step = step(object, name, type);
        return Optional.of(new Knob(name, reading.text(object, "label").orElse(name), at(wired, 0), at(wired, 1),
                reading.whole(object, "perDetent").orElse(4), found.get().ref(), step, member.spot().at()));
    }

    private static OptionalInt at(List<OptionalInt> wired, int index) {
        return wired.size() == 2 ? wired.get(index) : OptionalInt.empty();
    }

    private double step(Node.Obj object, String name, PropertyType type) {
        double own = type instanceof PropertyType.Number n ? n.step() : 1;
        Optional<Node.Num> written = reading.number(object, "step");
        written.ifPresent(node -> {
            double width = switch (type) {
                case PropertyType.Whole w -> (double) w.max() - w.min();
                case PropertyType.Number n -> n.max() - n.min();
                default -> Double.MAX_VALUE;
            };
            if (node.number() == 0) {
                reading.problems.error(node.spot(), "The step of the knob " + name + " is 0.",
                        "Turning it would do nothing.",
                        "Write how much one detent changes, in the property's unit.");
            } else if (type instanceof PropertyType.Whole && !node.whole()) {
                reading.problems.error(node.spot(), "The step of the knob " + name + " is " + node.written() + ".",
                        "The property that it turns holds whole numbers only.", "Write a whole number.");
            } else if (Math.abs(node.number()) > width) {
                reading.problems.error(node.spot(),
                        "The step of the knob " + name + " is " + node.written() + ", wider than the whole range.",
                        "The property takes " + Values.describe(type) + ", so one detent would jump to an end.",
                        "Write a smaller step.");
            }
        });
        return written.map(Node.Num::number).orElse(own);
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
