package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.model.Button;
import bellpush.config.model.Knob;
import bellpush.config.model.Pin;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.PropertyType;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/** Reads the knobs of panel.json. */
final class KnobReader {
    private final Rules rules;
    private final Reading reading;
    private final PinChecks pins;

    /** A number property that may be set, and its type. */
    record Moved(PropertyRef ref, PropertyType type) {}

    KnobReader(Rules rules, PinChecks pins) {
        this.rules = rules;
        this.reading = rules.reading;
        this.pins = pins;
    }

    Optional<Knob> read(Node.Member member, Node.Obj object) {
        String name = member.key();
        List<Pin> wired = new ArrayList<>();
        List<Node> nodes = reading.list(object, "pins");
        nodes.forEach(node -> pins.use(node, "the knob " + name, PinChecks.Job.CONTACT).ifPresent(wired::add));
        Optional<Knob.Push> push = reading.object(object, "push").map(o -> push(member, o));
        return moved(rules, object, "turns", "The knob " + name + " turns").map(moved -> new Knob(name,
                reading.text(object, "label").orElse(name), at(wired, 0), at(wired, 1),
                reading.whole(object, "perDetent").orElse(4), moved.ref(), step(object, name, moved.type()),
                reading.number(object, "faster").map(Node.Num::number).orElse(1.0), push,
                reading.text(object, "about"), member.spot().at()));
    }

    private Knob.Push push(Node.Member knob, Node.Obj object) {
        String name = knob.key() + ".push";
        Optional<Pin> pin = reading.node(object, "pin")
                .flatMap(node -> pins.use(node, "the push switch of " + knob.key(), PinChecks.Job.CONTACT));
        Optional<String> press = reading.node(object, "press").flatMap(rules::run);
        Optional<Knob.Turning> turns = moved(rules, object, "turns", "The knob " + knob.key() + ", pushed, turns")
                .map(moved -> new Knob.Turning(moved.ref(), step(object, knob.key(), moved.type())));
        if (!object.members().containsKey("press") && !object.members().containsKey("turns")) {
            reading.problems.warning(object.spot(), "The push switch of " + knob.key() + " does nothing.",
                    "Somebody will push it during the event and wait.",
                    "Give it a \"press\" or \"turns\", or remove \"push\".");
        }
        return new Knob.Push(new Button(name, name, pin, reading.flag(object, "activeHigh").orElse(false),
                Button.LOCKOUT, Duration.ZERO, Button.STUCK_AFTER, press, Optional.empty(), Optional.empty(),
                Optional.empty(), Optional.empty(), Optional.empty(), knob.spot().at()), turns);
    }

    private static Optional<Pin> at(List<Pin> wired, int index) {
        return wired.size() == 2 ? Optional.of(wired.get(index)) : Optional.empty();
    }

    /**
     * The number property under a key.
     *
     * @param sentence how a complaint begins: {@code The knob iris turns}
     */
    static Optional<Moved> moved(Rules rules, Node.Obj object, String key, String sentence) {
        Optional<Node.Text> node = rules.reading.textNode(object, key);
        Optional<Names.Found> found = node.flatMap(n -> rules.names.property(n.spot(), n.text()));
        return found.map(f -> {
            PropertyType type = f.property().type();
            if (type.range().isPresent()) {
                rules.settable(node.get().spot(), f);
            } else {
                rules.reading.problems.error(node.get().spot(),
                        sentence + " " + node.get().text() + ", which is no number.",
                        node.get().text() + " takes " + Values.describe(type) + ".",
                        "Name a number property, or use a button.");
            }
            return new Moved(f.ref(), type);
        });
    }

    private double step(Node.Obj object, String name, PropertyType type) {
        double own = type instanceof PropertyType.Number n ? n.step() : 1;
        Optional<Node.Num> written = reading.number(object, "step");
        written.ifPresent(node -> {
            double width = type.range().map(PropertyType.Range::width).orElse(Double.MAX_VALUE);
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
}
