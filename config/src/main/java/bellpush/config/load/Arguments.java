package bellpush.config.load;

import bellpush.config.model.PropertyType;
import bellpush.config.model.Value;
import java.util.Map;
import java.util.Optional;

/**
 * The arguments of the macro that is being read. While the file itself is checked they have no values; each argument then
 * stands for some value of its type.
 *
 * @param types  empty where the type could not be read
 * @param values complete, or empty while the file is checked
 */
record Arguments(Map<String, Optional<PropertyType>> types, Map<String, Value> values) {
    static final Arguments NONE = new Arguments(Map.of(), Map.of());

    /** Whether only the file is checked, and nothing in it is run. */
    boolean unbound() {
        return !types.isEmpty() && values.isEmpty();
    }

    Optional<Value> value(String name) {
        return unbound()
                ? types.getOrDefault(name, Optional.empty()).map(Arguments::some)
                : Optional.ofNullable(values.get(name));
    }

    private static Value some(PropertyType type) {
        return switch (type) {
            case PropertyType.Flag _ -> Value.of(false);
            case PropertyType.Choice c -> Value.of(c.wireByName().keySet().iterator().next());
            case PropertyType.Whole w -> Value.of(w.min());
            case PropertyType.Number n -> Value.of(n.min());
            case PropertyType.Text _ -> Value.of("");
        };
    }
}
