package bellpush.runtime.core;

import bellpush.config.model.Kind;
import bellpush.config.model.Property;
import bellpush.config.model.Template;
import java.util.HashMap;
import java.util.Map;
import java.util.Optional;

/**
 * Which properties of a kind are asked for with the same words and told in the same answer, such as a camera's pan and tilt:
 * one question serves them all.
 *
 * @param first the property whose question is put, by each property that it serves
 */
record Questions(Map<String, String> first) {
    private record Exchange(Template ask, Optional<Template> answer) {}

    static Questions of(Kind kind) {
        Map<Exchange, String> exchanges = new HashMap<>();
        Map<String, String> first = new HashMap<>();
        kind.properties().forEach((name, property) -> property.ask().ifPresent(ask -> {
            Exchange exchange = new Exchange(ask, property.answer().map(answer -> named(answer, property)));
            first.put(name, exchanges.computeIfAbsent(exchange, e -> name));
        }));
        return new Questions(first);
    }

    /** The property to ask for, in order to learn about this one. */
    String of(String property) {
        return first.getOrDefault(property, property);
    }

    /** With the property's own name in place of "value", so that answers of different properties can be compared. */
    private static Template named(Template answer, Property property) {
        return switch (answer) {
            case Template.Text(String text) -> new Template.Text(named(text, property));
            case Template.Hex(String hex) -> new Template.Hex(named(hex, property));
            case Template.Osc(String address, var arguments) -> new Template.Osc(named(address, property),
                    arguments.stream().map(a -> new Template.OscArgument(a.tag(),
                            a.field().map(f -> f.equals("value") ? property.name() : f), a.literal())).toList());
            case Template.ByDriver _ -> answer;
        };
    }

    private static String named(String template, Property property) {
        return template.replace("{value}", "{" + property.name() + "}").replace("{value:", "{" + property.name() + ":");
    }
}
