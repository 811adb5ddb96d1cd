package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.model.Look;
import bellpush.config.model.Rehearsal;
import bellpush.config.model.Rehearsal.Act;
import bellpush.config.model.Rehearsal.Fault;
import bellpush.config.model.Source;
import bellpush.config.problem.DidYouMean;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/** Reads one rehearsal. */
final class RehearsalReader {
    private static final Duration WITHIN = Duration.ofSeconds(3);

    private final Rules rules;
    private final Reading reading;
    /** Empty where the panel could not be read. */
    private final Optional<PanelReader.Written> panel;

    RehearsalReader(Rules rules, Optional<PanelReader.Written> panel) {
        this.rules = rules;
        this.reading = rules.reading;
        this.panel = panel;
    }

    Rehearsal read(String name, Node.Obj root) {
        List<Act> acts = new ArrayList<>();
        reading.list(root, "acts").forEach(node -> reading.object(node).ifPresent(object -> act(object, acts)));
        return new Rehearsal(name, reading.text(root, "about").orElse(""), List.copyOf(acts));
    }

    private void act(Node.Obj object, List<Act> acts) {
        Source at = object.spot().at();
        for (String word : object.members().keySet()) {
            switch (word) {
                case "say" -> reading.text(object, "say").ifPresent(text -> acts.add(new Act.Say(text, at)));
                case "press" -> button(object, "press").ifPresent(b -> acts.add(new Act.Press(b, at)));
                case "double" -> button(object, "double").ifPresent(b -> acts.add(new Act.PressTwice(b, at)));
                case "switch" -> named(object, "switch", "switch", panel.map(p -> p.switches()))
                        .ifPresent(s -> acts.add(
                                new Act.SwitchTo(s, reading.text(object, "to").filter("on"::equals).isPresent(), at)));
                case "push" -> named(object, "push", "knob", panel.map(p -> p.knobs()))
                        .ifPresent(knob -> acts.add(new Act.PushKnob(knob, at)));
                case "hold" -> button(object, "hold").ifPresent(b -> acts
                        .add(new Act.HoldDown(b, rules.times.positive(object, "for", Duration.ofSeconds(1)), at)));
                case "turn" -> turn(object, at).ifPresent(acts::add);
                case "fader" -> named(object, "fader", "fader", panel.map(p -> p.faders()))
                        .ifPresent(f -> acts.add(new Act.Slide(f, to(object), at)));
                case "axis" -> named(object, "axis", "axis", panel.map(p -> p.axes())).ifPresent(
                        a -> acts.add(new Act.Push(a, to(object),
                                rules.times.positive(object, "for", Duration.ofSeconds(1)), at)));
                case "wait" -> acts.add(new Act.Wait(rules.times.positive(object, "wait", Duration.ZERO), at));
                case "expect" -> rules.condition(object, "expect")
                        .ifPresent(c -> acts.add(new Act.Expect(c, within(object), at)));
                case "gear" -> acts.add(new Act.Gear(rules.assignments(object, "gear", false), within(object), at));
                case "lamps" -> acts.add(new Act.Lamps(lamps(object), within(object), at));
                case "outside" -> acts.add(new Act.Outside(rules.assignments(object, "outside", false), at));
                case "trouble" -> reading.members(object, "trouble").forEach(m -> trouble(m).ifPresent(acts::add));
                default -> {
                }
            }
        }
    }

    private double to(Node.Obj object) {
        return reading.number(object, "to").map(Node.Num::number).orElse(0.0);
    }

    private Duration within(Node.Obj object) {
        return rules.times.positive(object, "within", WITHIN);
    }

    private Optional<String> button(Node.Obj object, String key) {
        return named(object, key, "button", panel.map(p -> p.buttons()));
    }

    private Optional<String> named(Node.Obj object, String key, String noun,
            Optional<? extends Collection<String>> known) {
        Optional<Node.Text> node = reading.textNode(object, key);
        if (node.isPresent() && known.isPresent() && !known.get().contains(node.get().text())) {
            reading.problems.error(node.get().spot(), "There is no " + noun + " \"" + node.get().text() + "\".",
                    "Controls are named in panel.json.",
                    DidYouMean.cure(node.get().text(), List.copyOf(known.get()), "Add it to panel.json."));
            return Optional.empty();
        }
        return node.map(Node.Text::text);
    }

    private Optional<Act> turn(Node.Obj object, Source at) {
        Optional<String> knob = named(object, "turn", "knob", panel.map(p -> p.knobs()));
        int by = reading.whole(object, "by").orElse(1);
        if (by == 0) {
            reading.problems.error(reading.node(object, "by").orElseThrow().spot(), "The knob is turned by 0 detents.",
                    "That is no turn.", "Write how many detents, negative for the other way.");
        }
        return knob.map(name -> new Act.Turn(name, by, reading.flag(object, "pushed").orElse(false), at));
    }

    private Map<String, Look.Pattern> lamps(Node.Obj object) {
        Map<String, Look.Pattern> looks = new LinkedHashMap<>();
        for (Node.Member member : reading.members(object, "lamps")) {
            if (panel.isPresent() && !panel.get().lamps().contains(member.key())) {
                reading.problems.error(member.spot(), "There is no lamp \"" + member.key() + "\".",
                        "Lamps are those in panel.json; a button's lamp has the button's name.",
                        DidYouMean.cure(member.key(), panel.get().lamps(), "Give the button a lamp."));
            } else if (member.value() instanceof Node.Text(String word, _) && !reading.verdict.bad(member.value())) {
                looks.put(member.key(), LooksReader.pattern(word));
            }
        }
        return Collections.unmodifiableMap(looks);
    }

    private Optional<Act> trouble(Node.Member member) {
        if (!rules.names.device(member.spot(), member.key()) || reading.verdict.bad(member.value())) {
            return Optional.empty();
        }
        Optional<Fault> fault = switch (member.value()) {
            case Node.Text(String word, _) -> Optional.of(switch (word) {
                case "off" -> new Fault.Off();
                case "deaf" -> new Fault.Deaf();
                case "refusing" -> new Fault.Refusing();
                default -> new Fault.Works();
            });
            case Node.Obj object -> fault(object);
            default -> Optional.empty();
        };
        return fault.map(f -> new Act.Trouble(member.key(), f, member.spot().at()));
    }

    private Optional<Fault> fault(Node.Obj object) {
        if (object.members().containsKey("slow")) {
            return Optional.of(new Fault.Slow(rules.times.positive(object, "slow", Duration.ofSeconds(1))));
        }
        if (object.members().containsKey("restarts")) {
            return Optional.of(new Fault.Restarts(rules.times.positive(object, "restarts", Duration.ofSeconds(1))));
        }
        return reading.number(object, "drops").map(n -> new Fault.Drops(n.number()));
    }
}
