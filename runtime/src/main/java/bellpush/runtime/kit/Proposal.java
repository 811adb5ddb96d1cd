package bellpush.runtime.kit;

import bellpush.config.model.Panel;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import tools.jackson.core.JsonGenerator;

/**
 * Pins for what has none yet, as a snippet for panel.json: only what is to be added, at the places where it belongs.
 *
 * @param panel objects (maps), lists, texts and whole numbers
 * @param notes what to know about it, in sentences
 */
public record Proposal(Map<String, Object> panel, List<String> notes) {
    private static final int WIDE = 80;

    /** Empty if everything has its pin. */
    public static Optional<Proposal> of(Panel panel) {
        return new Proposer(panel).propose();
    }

    /** Adds a value at a path, making the objects on the way. */
    static void put(Map<String, Object> root, Object value, String... path) {
        Map<String, Object> at = root;
        for (int i = 0; i < path.length - 1; i++) {
            @SuppressWarnings("unchecked")
            Map<String, Object> next = (Map<String, Object>) at.computeIfAbsent(path[i],
                    _ -> new LinkedHashMap<String, Object>());
            at = next;
        }
        at.put(path[path.length - 1], value);
    }

    /** With the notes as comments, which panel.json accepts. @param width columns of the terminal */
    public String text(int width) {
        StringBuilder out = new StringBuilder();
        for (String note : notes) {
            TextTable.wrapped(note, Math.max(40, width) - 3)
                    .forEach(line -> out.append("// ").append(line).append('\n'));
        }
        pretty(out, panel, "");
        return out.append('\n').toString();
    }

    /** The first two levels on lines of their own, deeper ones where they would be too wide. */
    private static void pretty(StringBuilder out, Object value, String indent) {
        if (!(value instanceof Map<?, ?> map) || map.isEmpty()
                || indent.length() >= 4 && indent.length() + flat(value).length() <= WIDE) {
            out.append(flat(value));
            return;
        }
        out.append("{\n");
        String comma = "";
        for (Map.Entry<?, ?> each : map.entrySet()) {
            out.append(comma).append(indent).append("  \"").append(each.getKey()).append("\": ");
            pretty(out, each.getValue(), indent + "  ");
            comma = ",\n";
        }
        out.append('\n').append(indent).append('}');
    }

    private static String flat(Object value) {
        return switch (value) {
            case Map<?, ?> map -> map.isEmpty()
                    ? "{}"
                    : map.entrySet().stream()
                            .map(each -> '"' + each.getKey().toString() + "\": " + flat(each.getValue()))
                            .collect(Collectors.joining(", ", "{ ", " }"));
            case List<?> list -> list.stream().map(Proposal::flat).collect(Collectors.joining(", ", "[", "]"));
            case String text -> '"' + text + '"'; // names and pins: nothing in them needs escaping
            default -> value.toString();
        };
    }

    void write(JsonGenerator json) {
        write(json, panel);
    }

    private static void write(JsonGenerator json, Object value) {
        switch (value) {
            case Map<?, ?> map -> {
                json.writeStartObject();
                map.forEach((key, each) -> {
                    json.writeName((String) key);
                    write(json, each);
                });
                json.writeEndObject();
            }
            case List<?> list -> {
                json.writeStartArray();
                list.forEach(each -> write(json, each));
                json.writeEndArray();
            }
            case Integer number -> json.writeNumber(number);
            default -> json.writeString(value.toString());
        }
    }
}
