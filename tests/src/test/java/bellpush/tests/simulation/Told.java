package bellpush.tests.simulation;

import bellpush.config.model.Kind;
import bellpush.config.model.Property;
import bellpush.config.model.Template;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * Which properties a device tells together, read from its kind's templates: when one is asked for, and when one has changed by
 * itself. Worked out once for each kind.
 */
final class Told {
    private static final Pattern FIELD = Pattern.compile("\\{([A-Za-z][A-Za-z0-9.]*)(?::[^}]*)?}");

    private final Map<String, List<String>> whenAsked = new LinkedHashMap<>();
    private final Map<String, List<String>> whenChanged = new LinkedHashMap<>();

    Told(Kind kind) {
        for (Property property : kind.properties().values()) {
            String name = property.name();
            Optional<Template> shared = kind.reports().stream().filter(r -> fields(r).contains(name)).findFirst();
            Optional<Template> asked = property.ask().isEmpty()
                    ? Optional.empty()
                    : property.answer().or(property::report).or(() -> shared);
            whenAsked.put(name, asked.map(t -> named(kind, name, t)).orElse(List.of()));
            whenChanged.put(name,
                    property.report().or(() -> shared).map(t -> named(kind, name, t)).orElse(List.of()));
        }
    }

    /** The properties in the answer to a question for this one; none: it does not answer. */
    List<String> whenAsked(String property) {
        return whenAsked.get(property);
    }

    /** The properties in what it says when this one has changed; none: it keeps silent. */
    List<String> whenChanged(String property) {
        return whenChanged.get(property);
    }

    private static List<String> named(Kind kind, String own, Template template) {
        Set<String> named = new LinkedHashSet<>();
        named.add(own);
        fields(template).stream().filter(kind.properties()::containsKey).forEach(named::add);
        return List.copyOf(named);
    }

    private static Set<String> fields(Template template) {
        Set<String> fields = new LinkedHashSet<>();
        switch (template) {
            case Template.Text text -> collect(text.text(), fields);
            case Template.Hex hex -> collect(hex.hex(), fields);
            case Template.Osc osc -> {
                collect(osc.address(), fields);
                osc.arguments().forEach(argument -> argument.field().ifPresent(fields::add));
            }
            case Template.ByDriver _ -> {
            }
        }
        return fields;
    }

    private static void collect(String template, Set<String> fields) {
        Matcher matcher = FIELD.matcher(template);
        while (matcher.find()) {
            fields.add(matcher.group(1));
        }
    }
}
