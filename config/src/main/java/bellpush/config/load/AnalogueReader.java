package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.model.Fader;
import bellpush.config.model.Fader.Calibration;
import bellpush.config.model.Joystick;
import bellpush.config.model.Pin;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Value;
import java.util.ArrayList;
import java.util.Collections;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/** Reads the faders and joysticks of panel.json. */
final class AnalogueReader {
    private static final double STEADINESS = 0.004;
    private static final double DEAD_ZONE = 0.06;
    /** Half way out, a quarter of the speed. */
    private static final double AXIS_CURVE = 2;

    private final Rules rules;
    private final Reading reading;
    private final PinChecks pins;
    /** The fader that moves a property, and the axis that drives it: the first of each in the file. */
    private final Map<PropertyRef, String> faders = new HashMap<>();
    private final Map<PropertyRef, String> axes = new HashMap<>();

    AnalogueReader(Rules rules, PinChecks pins) {
        this.rules = rules;
        this.reading = rules.reading;
        this.pins = pins;
    }

    Optional<Fader> fader(Node.Member member, Node.Obj object) {
        String name = member.key();
        Optional<Pin.OfChip> input = input(object, "the fader " + name);
        Calibration calibration = calibration(object, false);
        return KnobReader.moved(rules, object, "moves", "The fader " + name + " moves").map(moved -> {
            PropertyType.Range range = range(moved.type());
            double from = end(object, name, "from", moved, range.min());
            double to = end(object, name, "to", moved, range.max());
            if (from == to) {
                reading.problems.error(member.spot(), "The fader " + name + " moves nothing.",
                        "Both its ends are " + Value.of(from) + ".", "Write different values for \"from\" and \"to\".");
            }
            alone(object, name, moved.ref());
            return new Fader(name, reading.text(object, "label").orElse(name), input, moved.ref(), from, to,
                    calibration, number(object, "curve", 1), number(object, "steadiness", STEADINESS),
                    reading.flag(object, "pickUp").orElse(true), reading.text(object, "about"), member.spot().at());
        });
    }

    Joystick joystick(Node.Member member, Node.Obj object) {
        Map<String, Joystick.Axis> axes = new LinkedHashMap<>();
        for (Node.Member axis : reading.members(object, "axes")) {
            reading.object(axis.value()).flatMap(inner -> axis(member.key(), axis, inner))
                    .ifPresent(read -> axes.put(axis.key(), read));
        }
        return new Joystick(member.key(), reading.text(object, "label").orElse(member.key()),
                Collections.unmodifiableMap(axes), reading.text(object, "about"), member.spot().at());
    }

    private Optional<Joystick.Axis> axis(String joystick, Node.Member member, Node.Obj object) {
        String name = joystick + "." + member.key();
        Optional<Joystick.Wire> wire = wire(name, member, object);
        return KnobReader.moved(rules, object, "drives", "The axis " + name + " drives").map(moved -> {
            stoppedByOne(object, name, moved.ref());
            PropertyType.Range range = range(moved.type());
            double widest = Math.min(range.max(), -range.min());
            if (widest <= 0) {
                reading.problems.error(reading.node(object, "drives").orElseThrow().spot(),
                        "The axis " + name + " drives " + moved.ref() + ", which does not go both ways from 0.",
                        "An axis sends 0 when the stick is let go, one sign for up and the other for down. "
                                + moved.ref() + " takes " + Values.describe(moved.type()) + ".",
                        "Name a speed whose range lies around 0, or use a fader.");
            }
            double speed = reading.number(object, "most").map(Node.Num::number).orElse(widest);
            reading.number(object, "most").filter(n -> widest > 0 && (n.number() == 0 || Math.abs(n.number()) > widest))
                    .ifPresent(n -> reading.problems.error(n.spot(),
                            "The most of the axis " + name + " is " + n.written() + ".",
                            moved.ref() + " takes " + Values.describe(moved.type()) + ", and 0 would never move it.",
                            "Write a speed of up to " + Value.of(widest) + "; negative turns it round."));
            return new Joystick.Axis(member.key(), wire, moved.ref(), speed, member.spot().at());
        });
    }

    private void alone(Node.Obj object, String name, PropertyRef moved) {
        String other = faders.putIfAbsent(moved, name);
        if (other != null) {
            reading.problems.warning(reading.node(object, "moves").orElseThrow().spot(),
                    "The fader " + name + " moves " + moved + ", and so does " + other + ".",
                    "A fader shows by where it stands what the value is: of two, one always shows it wrong, and without "
                            + "\"pickUp\" the value jumps from one to the other.",
                    "Remove one of them, or let it move something else.");
        }
    }

    /** What is let go must stand, and what is held must not be stopped by another. */
    private void stoppedByOne(Node.Obj object, String name, PropertyRef driven) {
        String fader = faders.get(driven);
        String axis = axes.putIfAbsent(driven, name);
        if (fader != null || axis != null) {
            reading.problems.error(reading.node(object, "drives").orElseThrow().spot(),
                    "The axis " + name + " drives " + driven + ", and "
                            + (axis != null ? "so does " + axis : "the fader " + fader + " moves it") + ".",
                    axis != null
                            ? "Letting go of one would stop what the other still moves, or one would move what was let go."
                            : "Letting go of the stick would stop it while the fader stands elsewhere, and the fader would "
                                    + "leave it running with nobody's hand on it.",
                    "Remove one of them, or let it move something else.");
        }
    }

    private Optional<Joystick.Wire> wire(String name, Node.Member member, Node.Obj object) {
        List<Node> contacts = reading.list(object, "contacts");
        if (object.members().containsKey("contacts") && object.members().containsKey("input")) {
            reading.problems.error(member.spot(), "The axis " + name + " has both \"input\" and \"contacts\".",
                    "It is read either by a converter or as a rocker's two contacts.", "Remove one of them.");
        }
        if (contacts.size() == 2) {
            List<Pin> wired = new ArrayList<>();
            contacts.forEach(
                    node -> pins.use(node, "the axis " + name, PinChecks.Job.CONTACT).ifPresent(wired::add));
            return wired.size() == 2
                    ? Optional.of(new Joystick.Wire.Contacts(wired.get(0), wired.get(1)))
                    : Optional.empty();
        }
        Calibration calibration = calibration(object, true);
        return input(object, "the axis " + name).map(pin -> new Joystick.Wire.Analogue(pin, calibration,
                number(object, "deadZone", DEAD_ZONE), number(object, "curve", AXIS_CURVE),
                number(object, "steadiness", STEADINESS)));
    }

    private Optional<Pin.OfChip> input(Node.Obj object, String by) {
        return reading.textNode(object, "input").flatMap(node -> pins.ofChip(node, by, PinChecks.Job.VOLTAGE));
    }

    private Calibration calibration(Node.Obj object, boolean centred) {
        Calibration none = Calibration.NONE;
        return reading.object(object, "calibration").map(o -> {
            Calibration written = new Calibration(number(o, "low", none.low()), number(o, "centre", none.centre()),
                    number(o, "high", none.high()));
            double width = Math.abs(written.high() - written.low());
            boolean between = Math.min(written.low(), written.high()) < written.centre()
                    && written.centre() < Math.max(written.low(), written.high());
            if (width < 0.1 || centred && !between) {
                reading.problems.error(o.spot(),
                        centred
                                ? "The calibration does not have its centre between low and high, or these are too close."
                                : "Low and high of the calibration are too close.",
                        "What is read there must be at least a tenth of full scale apart, or noise would move the gear.",
                        "Write what the converter reads at the ends" + (centred ? " and in the middle." : "."));
            }
            return written;
        }).orElse(none);
    }

    private double end(Node.Obj object, String name, String key, KnobReader.Moved moved, double without) {
        reading.number(object, key)
                .filter(n -> moved.type().range().filter(range -> n.number() < range.min() || n.number() > range.max()
                        || moved.type() instanceof PropertyType.Whole && !n.whole()).isPresent())
                .ifPresent(n -> reading.problems.error(n.spot(),
                        "The fader " + name + " moves " + moved.ref() + (key.equals("to") ? " to " : " from ")
                                + n.written() + ", which it never has.",
                        moved.ref() + " takes " + Values.describe(moved.type()) + ".", "Write a value it takes."));
        return number(object, key, without);
    }

    private double number(Node.Obj object, String key, double without) {
        return reading.number(object, key).map(Node.Num::number).orElse(without);
    }

    /** What is no number has been complained of, and goes on as if it were one. */
    private static PropertyType.Range range(PropertyType type) {
        return type.range().orElse(new PropertyType.Range(0, 1));
    }
}
