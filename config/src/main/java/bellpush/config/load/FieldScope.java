package bellpush.config.load;

import bellpush.config.model.PropertyType;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/**
 * The fields that a template may have, besides those that every template may have.
 *
 * @param types   by field name; empty for a name whose type could not be read, about which nothing is said then
 * @param purpose completes "in ..." for a sentence: {@code the set of key.fill}
 */
record FieldScope(Map<String, Optional<PropertyType>> types, String purpose) {
    /** Allowed in every message: see {@link bellpush.config.wire}. */
    static final Set<String> RESERVED = Set.of("any", "sequence", "length", "check", "body");

    static FieldScope none(String purpose) {
        return new FieldScope(Map.of(), purpose);
    }

    /** The same with one more field. */
    FieldScope with(String name, Optional<PropertyType> type) {
        Map<String, Optional<PropertyType>> more = new LinkedHashMap<>(types);
        more.put(name, type);
        return new FieldScope(more, purpose);
    }

    Optional<PropertyType> type(String name) {
        return types.getOrDefault(name, Optional.empty());
    }

    boolean knows(String name) {
        return types.containsKey(name);
    }

    /** Whether a template may have a field of this name. */
    boolean may(String name) {
        return RESERVED.contains(name) || knows(name);
    }

    /** Whether the name is known, but its own problem keeps anything from being said about its type. */
    boolean broken(String name) {
        return knows(name) && types.get(name).isEmpty();
    }

    List<String> names() {
        return new ArrayList<>(types.keySet());
    }
}
