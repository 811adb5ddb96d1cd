package bellpush.drivers.osc;

import bellpush.config.model.PropertyType;
import bellpush.config.model.Template;
import bellpush.config.model.Value;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;
import java.util.stream.Stream;

/** A template made ready once: for sending, and for recognising what arrives. Immutable. */
record OscShape(AddressShape address, List<ArgumentShape> arguments) {

    /**
     * @param typeOf the type of a field's value, where it is known
     * @throws IllegalArgumentException if the template makes no sense; the message is for people
     */
    static OscShape of(Template.Osc template, Function<String, Optional<PropertyType>> typeOf) {
        List<ArgumentShape> arguments = new ArrayList<>();
        for (Template.OscArgument argument : template.arguments()) {
            char blankTag = argument.field().flatMap(typeOf).map(OscShape::tag).orElse(' ');
            arguments.add(ArgumentShape.of(argument, blankTag));
        }
        return new OscShape(AddressShape.of(template.address()), List.copyOf(arguments));
    }

    /**
     * The tag that a type asks for where the template names none. A number is f even when it happens to be whole: a fader
     * must not change its type on the way through 0.
     */
    private static char tag(PropertyType type) {
        return switch (type) {
            case PropertyType.Number n when n.wire().isEmpty() || !n.wire().get().whole() -> 'f';
            case PropertyType.Whole w when w.wire().isPresent() && !w.wire().get().whole() -> 'f';
            default -> ' ';
        };
    }

    Stream<String> fields() {
        return Stream.concat(address.fields(),
                arguments.stream().mapMulti((a, out) -> {
                    if (a instanceof ArgumentShape.Field(String name, char _)) {
                        out.accept(name);
                    }
                }));
    }

    OscMessage encode(Map<String, Value> fields) {
        List<OscValue> values = switch (arguments.size()) {
            case 0 -> List.of();
            case 1 -> List.of(arguments.getFirst().encode(fields));
            default -> arguments.stream().map(a -> a.encode(fields)).toList();
        };
        return new OscMessage(address.encode(fields), values);
    }

    Optional<Map<String, Value>> match(ReceivedAddress received, OscMessage message) {
        if (message.arguments().size() != arguments.size()) {
            return Optional.empty();
        }
        Map<String, Value> values = new LinkedHashMap<>();
        if (!address.match(received, values)) {
            return Optional.empty();
        }
        for (int i = 0; i < arguments.size(); i++) {
            if (!arguments.get(i).match(message.arguments().get(i), values)) {
                return Optional.empty();
            }
        }
        return Optional.of(values);
    }
}
