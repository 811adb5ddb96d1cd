package bellpush.config.load.shape;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.function.Supplier;

/** Collects a schema's named parts ({@code $defs}). */
final class Definitions {
    private final Map<String, Object> all = new LinkedHashMap<>();

    /** A reference to the part, which is defined if it was not yet. */
    Map<String, Object> reference(String name, Supplier<Shape> shape) {
        if (!all.containsKey(name)) {
            all.put(name, Map.of()); // a placeholder ends the recursion
            all.put(name, shape.get().schema(this));
        }
        Map<String, Object> reference = new LinkedHashMap<>();
        reference.put("$ref", "#/$defs/" + name);
        return reference;
    }

    Map<String, Object> all() {
        return all;
    }
}
