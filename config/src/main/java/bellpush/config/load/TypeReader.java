package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.model.PropertyType;
import bellpush.config.model.PropertyType.WireRange;
import bellpush.config.model.Value;
import java.util.Collections;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;

/** Reads the type of a property or an argument. */
final class TypeReader {
    private static final int LONGEST_TEXT = 255;

    private final Reading reading;

    TypeReader(Reading reading) {
        this.reading = reading;
    }

    /** The type, or empty if something in it is wrong; then that has its problem. */
    Optional<PropertyType> read(Node.Obj object) {
        return reading.text(object, "type").flatMap(type -> switch (type) {
            case "flag" -> Optional.of(flag(object));
            case "choice" -> choice(object);
            case "whole", "number" -> number(object, type.equals("whole"));
            default -> Optional.of(new PropertyType.Text(reading.whole(object, "longest").orElse(LONGEST_TEXT)));
        });
    }

    private PropertyType flag(Node.Obj object) {
        List<Node> wire = reading.list(object, "wire");
        if (wire.size() != 2) {
            return new PropertyType.Flag(Value.of(0), Value.of(1));
        }
        Value off = Values.plain(wire.get(0)).orElse(Value.of(0));
        Value on = Values.plain(wire.get(1)).orElse(Value.of(1));
        if (wireKey(off).equals(wireKey(on))) {
            reading.problems.error(wire.get(1).spot(), "Off and on are both " + wire.get(1).described() + ".",
                    "What the device reports could not be told apart.",
                    "Write what it sends for off, then what for on.");
        }
        return new PropertyType.Flag(off, on);
    }

    private Optional<PropertyType> choice(Node.Obj object) {
        Map<String, Value> wireByName = new LinkedHashMap<>();
        Map<String, String> nameByWire = new HashMap<>();
        for (Node item : reading.list(object, "choices")) {
            if (item instanceof Node.Text(String name, _)) {
                if (wireByName.containsKey(name)) {
                    reading.problems.error(item.spot(), "The choice \"" + name + "\" is listed twice.",
                            "A choice is one value; listing it again adds nothing.", "Remove one of them.");
                }
                put(wireByName, nameByWire, name, Value.of(name), item);
            }
        }
        for (Node.Member member : reading.members(object, "choices")) {
            Values.plain(member.value()).filter(_ -> !reading.verdict.bad(member.value()))
                    .ifPresent(wire -> put(wireByName, nameByWire, member.key(), wire, member.value()));
        }
        return wireByName.isEmpty()
                ? Optional.empty()
                : Optional.of(new PropertyType.Choice(Collections.unmodifiableMap(wireByName)));
    }

    private void put(Map<String, Value> wireByName, Map<String, String> nameByWire, String name, Value wire,
            Node node) {
        String other = nameByWire.putIfAbsent(wireKey(wire), name);
        if (other != null && !other.equals(name)) {
            reading.problems.error(node.spot(),
                    "The choices \"" + other + "\" and \"" + name + "\" are both " + wire + " for the device.",
                    "What the device reports could not be told apart.", "Write another value for one of them.");
        }
        wireByName.putIfAbsent(name, wire);
    }

    /** Received words may come in any letter case and numbers as decimal text, so those are the same value. */
    private static String wireKey(Value wire) {
        return wire.toString().toLowerCase(Locale.ROOT);
    }

    private Optional<PropertyType> number(Node.Obj object, boolean whole) {
        List<Node> range = reading.list(object, "range");
        if (range.size() != 2 || !(range.get(0) instanceof Node.Num low) || !(range.get(1) instanceof Node.Num high)) {
            return Optional.empty();
        }
        if (low.number() >= high.number()) {
            reading.problems.error(high.spot(), "The range goes from " + low.written() + " to " + high.written() + ".",
                    "The least value comes first and the greatest last, and they must differ.",
                    low.number() > high.number()
                            ? "Write [" + high.written() + ", " + low.written()
                                    + "]; for an inverted scale turn \"wire\" round instead."
                            : "Write two different ends.");
            return Optional.empty();
        }
        Optional<WireRange> wire = wire(object);
        String unit = reading.text(object, "unit").orElse("");
        if (whole) {
            return Optional.of(new PropertyType.Whole((long) low.number(), (long) high.number(), unit, wire));
        }
        double width = high.number() - low.number();
        double step = reading.number(object, "step").map(Node.Num::number).orElse(width / 1000);
        reading.number(object, "step").filter(n -> n.number() > width).ifPresent(n -> reading.problems.error(n.spot(),
                "The step " + n.written() + " is wider than the whole range.",
                "Two values closer than half a step count as the same, so all would be the same.",
                "Write a smaller step, or a wider range."));
        return Optional.of(new PropertyType.Number(low.number(), high.number(), step, unit, wire));
    }

    private Optional<WireRange> wire(Node.Obj object) {
        List<Node> wire = reading.list(object, "wire");
        if (wire.size() != 2 || !(wire.get(0) instanceof Node.Num from) || !(wire.get(1) instanceof Node.Num to)) {
            return Optional.empty();
        }
        if (from.number() == to.number()) {
            reading.problems.error(to.spot(), "Both ends of \"wire\" are " + to.written() + ".",
                    "Every value would be sent as the same number.", "Write what the device takes for the two ends.");
        }
        return Optional.of(new WireRange(from.number(), to.number()));
    }
}
