package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.load.shape.FileShape;
import bellpush.config.model.Command;
import bellpush.config.model.Operand;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.PropertyType;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;

/** Reads what a step gives properties and arguments: values, and what is looked up when the step begins. */
final class OperandReader {
    private final Rules rules;
    private final Reading reading;

    OperandReader(Rules rules) {
        this.rules = rules;
        this.reading = rules.reading;
    }

    /** Properties that are set, in the order written. Those that could not be read are left out. */
    Map<PropertyRef, Operand> set(Node.Obj step) {
        Map<PropertyRef, Operand> all = new LinkedHashMap<>();
        for (Node.Member member : reading.members(step, "set")) {
            if (!FileShape.isReference(member.key())) {
                continue; // the shape has refused the key
            }
            rules.names.property(member.spot(), member.key()).ifPresent(found -> {
                rules.settable(member.spot(), found);
                of(member, found).ifPresent(operand -> all.put(found.ref(), operand));
            });
        }
        return Collections.unmodifiableMap(all);
    }

    /** What one property is given. */
    Optional<Operand> of(Node.Member member, Names.Found found) {
        return operand(member.value(), found.property().type(), member.key(), Optional.of(found));
    }

    /** @param target the property that is set, or empty for an argument */
    private Optional<Operand> operand(Node node, PropertyType type, String name, Optional<Names.Found> target) {
        if (reading.verdict.bad(node)) {
            return Optional.empty();
        }
        if (node instanceof Node.Obj object) {
            if (object.members().containsKey("property")) {
                return reading.textNode(object, "property").flatMap(from -> present(from, type, name));
            }
            if (object.members().containsKey("opposite")) {
                return target.map(found -> opposite(object, found, name));
            }
            if (object.members().containsKey("by")) {
                return target.flatMap(found -> by(object, found, name));
            }
        }
        return rules.values.read(node, type, name).map(Operand::of);
    }

    private Optional<Operand> present(Node.Text from, PropertyType type, String name) {
        return rules.names.property(from.spot(), from.text()).map(source -> {
            knowable(from, source);
            if (!Values.mayFit(source.property().type(), type)) {
                reading.problems.error(from.spot(), "No value of " + from.text() + " is a value of " + name + ".",
                        from.text() + " takes " + Values.describe(source.property().type()) + "; " + name + " takes "
                                + Values.describe(type) + ".",
                        "Name another property, or write a value.");
            }
            return new Operand.Present(source.ref());
        });
    }

    private Operand opposite(Node.Obj object, Names.Found target, String name) {
        Node.Member member = object.members().get("opposite");
        if (!(target.property().type() instanceof PropertyType.Flag)) {
            reading.problems.error(member.spot(), name + " is no flag and has no opposite.",
                    name + " takes " + Values.describe(target.property().type()) + ".", "Write the value it gets.");
        }
        knowable(new Node.Text(name, member.spot()), target);
        return new Operand.Opposite();
    }

    private Optional<Operand> by(Node.Obj object, Names.Found target, String name) {
        PropertyType type = target.property().type();
        Optional<Node.Num> change = reading.number(object, "by");
        change.ifPresent(number -> {
            Optional<PropertyType.Range> range = type.range();
            String takes = name + " takes " + Values.describe(type) + ".";
            if (range.isEmpty()) {
                reading.problems.error(number.spot(), name + " is changed \"by\" a number, but it is none.", takes,
                        "Write the value it gets.");
            } else if (number.number() == 0) {
                reading.problems.error(number.spot(), name + " is changed by 0.", "That changes nothing.",
                        "Write how much more it gets, or less with a minus sign.");
            } else if (type instanceof PropertyType.Whole && !number.whole()) {
                reading.problems.error(number.spot(), name + " is changed by " + number.written() + ".", takes,
                        "Write a whole number.");
            } else if (Math.abs(number.number()) > range.get().width()) {
                reading.problems.error(number.spot(),
                        name + " is changed by " + number.written() + ", more than its whole range.",
                        takes + " It would always end at an end.", "Write a smaller number, or the value it gets.");
            }
            knowable(new Node.Text(name, number.spot()), target);
        });
        return change.map(number -> new Operand.By(number.number()));
    }

    /** What is looked up must be something that can be known at all. */
    private void knowable(Node.Text where, Names.Found found) {
        if (!rules.everKnown(found)) {
            reading.problems.error(where.spot(), "Nothing can ever be known about " + where.text() + ".",
                    "It is neither set nor reported, and no command changes it, so this would always fail.",
                    "Give it an answer or a report in its kind, or write a value.");
        }
    }

    /** The arguments of a {@code do}, in the order written. */
    Map<String, Operand> arguments(Node.Obj step, Node.Text written, Command command) {
        Map<String, PropertyType> types = command.arguments();
        Map<String, Operand> arguments = new GivenArguments(reading, "The command " + written.text(), written,
                "Only arguments named in its kind can be given.", types.keySet())
                .read(step, member -> operand(member.value(), types.get(member.key()), "the argument " + member.key(),
                        Optional.empty()), first -> first + " takes " + Values.describe(types.get(first)) + ".",
                        first -> "Add \"with\": { \"" + first + "\": ... }.");
        return Collections.unmodifiableMap(arguments);
    }
}
