package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.model.Command;
import bellpush.config.model.Command.Effect;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Template;
import bellpush.config.problem.DidYouMean;
import java.time.Duration;
import java.util.Collection;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/** Reads the commands of one kind. */
final class CommandReader {
    private final Reading reading;
    private final Times times;
    private final Values values;
    private final TypeReader types;
    private final TemplateReader templates;
    private final Map<String, Optional<PropertyType>> properties;
    private final String kind;

    CommandReader(Reading reading, Times times, Values values, TypeReader types, TemplateReader templates,
            Map<String, Optional<PropertyType>> properties, String kind) {
        this.reading = reading;
        this.times = times;
        this.values = values;
        this.types = types;
        this.templates = templates;
        this.properties = properties;
        this.kind = kind;
    }

    /** @param changed gets the names of the properties that some command changes */
    Map<String, Command> read(List<Node.Member> members, Set<String> changed) {
        Map<String, Command> commands = new LinkedHashMap<>();
        for (Node.Member member : members) {
            if (properties.containsKey(member.key())) {
                reading.problems.error(member.spot(),
                        "\"" + member.key() + "\" is a property and a command of one kind.",
                        "One name must mean one thing.", "Give one of them another name.");
            }
            reading.object(member.value())
                    .ifPresent(object -> command(member, object, changed).ifPresent(c -> commands.put(c.name(), c)));
        }
        return Collections.unmodifiableMap(commands);
    }

    private Optional<Command> command(Node.Member member, Node.Obj object, Set<String> changed) {
        Map<String, Optional<PropertyType>> arguments = new LinkedHashMap<>();
        for (Node.Member argument : reading.members(object, "arguments")) {
            arguments.put(argument.key(), reading.object(argument.value()).flatMap(types::read));
            if (properties.containsKey(argument.key())) {
                reading.problems.error(argument.spot(),
                        "\"" + argument.key() + "\" is an argument here and a property of the kind.",
                        "In the template nobody could tell which of the two is meant.",
                        "Give the argument another name.");
            }
        }
        FieldScope scope = new FieldScope(properties, "the command " + member.key());
        for (Map.Entry<String, Optional<PropertyType>> argument : arguments.entrySet()) {
            scope = scope.with(argument.getKey(), argument.getValue());
        }
        Optional<Message> send = templates.read(object, "send", scope);
        if (send.isPresent() && !(send.get().template() instanceof Template.ByDriver)) {
            unsent(object, send.get(), scope);
        }
        Map<String, Effect> effects = new LinkedHashMap<>();
        for (Node.Member effect : reading.members(object, "effect")) {
            changed.add(effect.key());
            effect(effect, arguments).ifPresent(e -> effects.put(effect.key(), e));
        }
        Duration takes = times.orZero(object, "takes", Duration.ZERO);
        Map<String, PropertyType> complete = new LinkedHashMap<>();
        arguments.forEach((argument, type) -> type.ifPresent(t -> complete.put(argument, t)));
        if (complete.size() != arguments.size()) {
            return Optional.empty();
        }
        return send.map(m -> new Command(member.key(), reading.text(object, "about").orElse(""),
                Collections.unmodifiableMap(complete), m.template(), Collections.unmodifiableMap(effects), takes,
                member.spot().at(), reading.flag(object, "urgent").orElse(false)));
    }

    private void unsent(Node.Obj object, Message send, FieldScope scope) {
        for (Node.Member argument : reading.members(object, "arguments")) {
            boolean effect = reading.members(object, "effect").stream()
                    .anyMatch(e -> e.value() instanceof Node.Obj o
                            && reading.text(o, "argument").filter(argument.key()::equals).isPresent());
            boolean misspelt = send.fields().stream().filter(field -> !scope.may(field))
                    .anyMatch(field -> DidYouMean.closest(field, List.of(argument.key())).isPresent());
            if (!send.fields().contains(argument.key()) && !misspelt && !effect) {
                reading.problems.warning(argument.spot(), "The argument " + argument.key() + " is used nowhere.",
                        "Whatever is given for it, the same is sent.",
                        "Write {" + argument.key() + "} where it belongs in \"send\", or remove it.");
            }
        }
    }

    private Optional<Effect> effect(Node.Member member, Map<String, Optional<PropertyType>> arguments) {
        String property = member.key();
        if (!properties.containsKey(property)) {
            reading.problems.error(member.spot(), "The kind " + kind + " has no property \"" + property + "\".",
                    "An effect says what becomes of a property of the same kind.",
                    DidYouMean.cure(property, properties.keySet(), "Add the property, or remove the effect."));
            return Optional.empty();
        }
        Optional<PropertyType> type = properties.get(property);
        if (type.isEmpty() || reading.verdict.bad(member.value())) {
            return Optional.empty();
        }
        if (!(member.value() instanceof Node.Obj object)) {
            return values.read(member.value(), type.get(), property).map(Effect.Becomes::new);
        }
        if (object.members().containsKey("opposite")) {
            return opposite(object, property, type.get());
        }
        if (object.members().containsKey("unknown")) {
            return Optional.of(new Effect.Unknown());
        }
        return reading.textNode(object, "argument")
                .flatMap(node -> from(node, property, type.get(), arguments, "argument"))
                .<Effect>map(Effect.FromArgument::new)
                .or(() -> reading.textNode(object, "property")
                        .flatMap(node -> from(node, property, type.get(), properties, "property"))
                        .map(Effect.FromProperty::new));
    }

    private Optional<Effect> opposite(Node.Obj object, String property, PropertyType type) {
        if (!(type instanceof PropertyType.Flag)) {
            reading.problems.error(object.members().get("opposite").spot(),
                    property + " is no flag and has no opposite.",
                    property + " takes " + Values.describe(type) + ".",
                    "Write the value it gets, or { \"unknown\": true }.");
        }
        return Optional.of(new Effect.Opposite());
    }

    private Optional<String> from(Node.Text node, String property, PropertyType type,
            Map<String, Optional<PropertyType>> known, String noun) {
        Collection<String> names = known.keySet();
        if (!known.containsKey(node.text())) {
            reading.problems.error(node.spot(), "There is no " + noun + " \"" + node.text() + "\" here.",
                    "The effect on " + property + " takes its value from it.",
                    DidYouMean.cure(node.text(), names, "Add it, or write { \"unknown\": true }."));
            return Optional.empty();
        }
        Optional<PropertyType> other = known.get(node.text());
        if (other.isPresent() && !Values.fits(other.get(), type)) {
            reading.problems.error(node.spot(),
                    "The values of " + node.text() + " are not all values of " + property + ".",
                    node.text() + " takes " + Values.describe(other.get()) + "; " + property + " takes "
                            + Values.describe(type) + ".",
                    "Give both the same type and range, or write { \"unknown\": true }.");
        }
        return Optional.of(node.text());
    }
}
