package bellpush.runtime.prove;

import bellpush.config.model.Value;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;

/** A plain tree as JSON on one line. */
final class JsonWords {
    private JsonWords() {}

    static String of(Object tree) {
        return switch (tree) {
            case Map<?, ?> map -> map.entrySet().stream().map(e -> of(e.getKey()) + ": " + of(e.getValue()))
                    .collect(Collectors.joining(", ", "{ ", " }"));
            case List<?> list -> list.stream().map(JsonWords::of).collect(Collectors.joining(", ", "[", "]"));
            case Double number -> Value.of(number).toString();
            case Boolean on -> on.toString();
            case String text -> '"' + text.replace("\\", "\\\\").replace("\"", "\\\"") + '"';
            default -> throw new IllegalArgumentException("no part of a tree: " + tree);
        };
    }
}
