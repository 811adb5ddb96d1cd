package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.model.Chip;
import bellpush.config.model.Condition;
import bellpush.config.model.Lamp;
import bellpush.config.model.LampRule;
import bellpush.config.model.Led;
import bellpush.config.model.Look;
import bellpush.config.model.Macro;
import bellpush.config.model.Pin;
import bellpush.config.model.Source;
import bellpush.config.problem.Spot;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.function.Function;

/** Reads the lamps of panel.json, those of buttons and those that stand alone. */
final class LampReader {
    /** Forward voltages by colour: typical values (common practice, no source); the part's data sheet has the right one. */
    private static final Map<String, Double> VOLTS = Map.of("red", 1.9, "yellow", 2.0, "green", 2.1, "blue", 3.1,
            "white", 3.1);

    private final Rules rules;
    private final Reading reading;
    private final LooksReader looks;
    private final PinChecks pins;
    private final Function<String, Optional<Macro>> macros;
    /** Which lamp has a pulse-width channel. */
    private final Map<Integer, String> pulseWidthUsers = new LinkedHashMap<>();

    LampReader(Rules rules, LooksReader looks, PinChecks pins,
            Function<String, Optional<Macro>> macros) {
        this.rules = rules;
        this.reading = rules.reading;
        this.looks = looks;
        this.pins = pins;
        this.macros = macros;
    }

    /**
     * The lamp of a button, if it has one.
     *
     * @param macro    whose promise it shows where it has no rules
     * @param gestures whether something was meant to run from the button, even if that could not be read
     */
    Optional<Lamp> ofButton(Node.Member button, Node.Obj object, String label, Optional<String> macro,
            boolean gestures) {
        Optional<Node> node = reading.node(object, "lamp");
        if (node.isEmpty()) {
            return Optional.empty();
        }
        Node.Member member = object.members().get("lamp");
        List<LampRule> promised = macro.flatMap(macros).flatMap(Macro::promise)
                .map(promise -> List.of(new LampRule(Optional.of(promise), Look.of(Look.Pattern.STEADY), Source.NONE)))
                .orElse(List.of());
        Lamp lamp = switch (node.get()) {
            case Node.Num n -> wired(Lamp.named(button.key(), label, promised, member.spot().at()), n);
            case Node.Text t -> wired(Lamp.named(button.key(), label, promised, member.spot().at()), t);
            case Node.Obj inner -> lamp(button.key(), label, inner, promised, member.spot().at());
            default -> throw new IllegalStateException("shape let through " + node.get().described());
        };
        boolean broken = macro.map(m -> macros.apply(m).isEmpty())
                .orElse(gestures && reading.problems.hasErrors());
        if (!broken) {
            dark(lamp, member.spot(), true, node.get() instanceof Node.Obj inner && hasRules(inner));
        }
        return Optional.of(lamp);
    }

    /** A lamp of no button. */
    Lamp alone(Node.Member member, Node.Obj object) {
        Lamp lamp = lamp(member.key(), reading.text(object, "label").orElse(member.key()), object, List.of(),
                member.spot().at());
        dark(lamp, member.spot(), false, hasRules(object));
        return lamp;
    }

    private Lamp wired(Lamp lamp, Node pin) {
        return pins.use(pin, "the lamp of " + lamp.name(), PinChecks.Job.LAMP).map(lamp::onPin).orElse(lamp);
    }

    private Lamp lamp(String name, String label, Node.Obj object, List<LampRule> withoutRules, Source at) {
        List<LampRule> rules = rules(object);
        List<Pin> wires = wires(name, object);
        boolean dims = reading.flag(object, "dims").orElse(false);
        if (dims) {
            wires.forEach(pin -> dimmed(name, pin, object));
        }
        return new Lamp(name, label, wires, reading.flag(object, "activeHigh").orElse(true), dims,
                !hasRules(object) ? withoutRules : rules, reading.object(object, "led").map(this::led),
                reading.text(object, "about"), at);
    }

    private List<Pin> wires(String name, Node.Obj object) {
        Optional<Node> one = reading.node(object, "pin");
        List<Node> three = reading.list(object, "pins");
        if (one.isPresent() && !three.isEmpty()) {
            reading.problems.error(one.get().spot(), "The lamp " + name + " has both \"pin\" and \"pins\".",
                    "\"pins\" are those of a lamp of three colours.", "Remove one of them.");
        }
        List<Pin> wires = new ArrayList<>();
        one.map(List::of).orElse(three)
                .forEach(node -> pins.use(node, "the lamp " + name, PinChecks.Job.LAMP).ifPresent(wires::add));
        if (wires.size() == 3 && wires.stream()
                .anyMatch(pin -> pin instanceof Pin.OfChip of && pins.chip(of) instanceof Chip.Strip)) {
            reading.problems.error(three.getFirst().spot(), "A lamp of a strip has its three colours in itself.",
                    "\"pins\" are for a lamp with a lead for each colour.", "Name the one lamp with \"pin\".");
        }
        return wires.size() == 2 ? List.of() : List.copyOf(wires);
    }

    /** Two pins of one channel always have the same brightness. */
    private void dimmed(String lamp, Pin pin, Node.Obj object) {
        OptionalInt channel = pin instanceof Pin.Gpio gpio ? gpio.pulseChannel() : OptionalInt.empty();
        Spot spot = reading.node(object, "dims").orElseThrow().spot();
        if (channel.isEmpty()) {
            reading.problems.error(spot, "The lamp " + lamp + " cannot be dimmed on " + pin.written() + ".",
                    "Only GPIO 12, 13, 18 and 19 have pulse width in hardware.",
                    "Wire it to one of them, use a lamp of a strip, or remove \"dims\".");
        } else {
            String other = pulseWidthUsers.putIfAbsent(channel.getAsInt(), lamp);
            if (other != null) {
                reading.problems.error(spot, "The lamps " + other + " and " + lamp + " share one pulse width.",
                        "GPIO 12 and 18 are one channel, 13 and 19 the other, so both would have the same brightness.",
                        "Dim one lamp of each pair only.");
            }
        }
    }

    private Led led(Node.Obj object) {
        String colour = reading.text(object, "colour").orElse("green");
        return new Led(colour, reading.number(object, "volts").map(Node.Num::number).orElse(VOLTS.get(colour)),
                reading.number(object, "milliamps").map(Node.Num::number).orElse(2.0));
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
}
