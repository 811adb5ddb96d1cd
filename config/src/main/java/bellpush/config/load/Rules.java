package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.load.shape.FileShape;
import bellpush.config.model.Condition;
import bellpush.config.model.Property;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Step;
import bellpush.config.model.Value;
import bellpush.config.problem.Spot;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/** What macros, panel and rehearsals have in common: conditions, values of properties, and fallbacks. */
final class Rules {
    final Reading reading;
    final Times times;
    final Names names;
    final Values values;
    final Families families;
    private final ConditionReader conditions;

    Rules(Reading reading, Times times, Names names, Values values) {
        this.reading = reading;
        this.times = times;
        this.names = names;
        this.values = values;
        this.families = new Families(reading, values);
        this.conditions = new ConditionReader(reading, values, names, this::target, false);
    }

    private Optional<ConditionReader.Target> target(Spot spot, String written) {
        return names.property(spot, written).map(found -> {
            return new ConditionReader.Target(found.ref(), found.property().type(), everKnown(found));
        });
    }

    /** Whether anything can ever be known of the property: its device tells it, or it is changed from here. */
    boolean everKnown(Names.Found found) {
        Property property = found.property();
        return property.reported() || property.set().isPresent() || property.move().isPresent()
                || names.settableMeant(found.ref()) || names.changedByCommand(found.ref());
    }

    /** Empty only where nothing is written; a stand-in for what could not be read. */
    Optional<Condition> condition(Node.Obj object, String key) {
        return conditions.read(object, key).or(() -> object.get(key).map(_ -> new Condition.All(List.of())));
    }

    /** Properties with values, in the order written. Those that could not be read are left out. */
    Map<PropertyRef, Value> assignments(Node.Obj object, String key, boolean mustBeSettable) {
        Map<PropertyRef, Value> all = new LinkedHashMap<>();
        for (Node.Member member : reading.members(object, key)) {
            if (!FileShape.isReference(member.key())) {
                continue; // the shape has refused the key
            }
            names.property(member.spot(), member.key()).ifPresent(found -> {
                if (mustBeSettable) {
                    settable(member.spot(), found);
                }
                values.read(member.value(), found.property().type(), member.key())
                        .ifPresent(value -> all.put(found.ref(), value));
            });
        }
        return Collections.unmodifiableMap(all);
    }

    /** Whether the property has a {@code set}; if not, that is a problem. */
    void settable(Spot spot, Names.Found found) {
        if (found.property().set().isEmpty() && !names.settableMeant(found.ref())) {
            reading.problems.error(spot, found.ref() + " cannot be set.",
                    "Its kind " + names.kindOf(found.ref().device()) + " says how to read it, not how to change it.",
                    "Give the property a \"set\" in its kind, or use a command that changes it.");
        }
    }

    /** The macro that an object of a macro's file runs, with its arguments, by name. */
    Optional<String> run(Node.Obj object, String user, MacroCalls calls) {
        return reading.textNode(object, "run").flatMap(text -> {
            calls.add(user, text.text(), text.spot());
            return names.macro(text.spot(), text.text(), user).flatMap(_ -> families.called(text, object));
        });
    }

    /** The macro that a control runs: a name, or an object with {@code run}. */
    Optional<String> run(Node node) {
        return switch (node) {
            case Node.Text text -> names.macro(text.spot(), text.text(), "")
                    .flatMap(_ -> families.called(text, new Node.Obj(Map.of(), text.spot())));
            case Node.Obj object -> reading.textNode(object, "run").flatMap(text -> names
                    .macro(text.spot(), text.text(), "").flatMap(_ -> families.called(text, object)));
            default -> Optional.empty();
        };
    }

    /** {@code "stop"}, {@code "go on"} or {@code { "run": macro }}; stop where nothing is written. */
    Step.Otherwise otherwise(Node.Obj object, String key, String user, MacroCalls calls) {
        return reading.node(object, key).<Step.Otherwise>flatMap(node -> switch (node) {
            case Node.Text(String word, _) ->
                Optional.of(word.equals("go on") ? new Step.Otherwise.GoOn() : new Step.Otherwise.Stop());
            case Node.Obj instead -> run(instead, user, calls).map(Step.Otherwise.Instead::new);
            default -> Optional.empty();
        }).orElse(new Step.Otherwise.Stop());
    }
}
