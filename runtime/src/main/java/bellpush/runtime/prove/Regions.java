package bellpush.runtime.prove;

import bellpush.config.model.PropertyRef;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Site;
import bellpush.config.model.Value;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.ConcurrentHashMap;

/**
 * For each property, a few values that stand for all it can have: every value that the macros at hand speak of, and one for
 * each stretch between that they cannot tell apart. Properties whose values are copied into each other share one list, so that a
 * value means the same wherever it comes to lie. As macros only compare, give and copy values, what they do from one value of
 * a stretch they do from all of it.
 */
final class Regions {
    private static final int POINTS_MAX = 300;

    private final Map<PropertyRef, List<Value>> byProperty = new ConcurrentHashMap<>();
    private final Map<PropertyRef, PropertyRef> joined = new HashMap<>();
    private final Map<PropertyRef, Set<Value>> values = new HashMap<>();
    private final Map<PropertyRef, Set<Double>> limits = new HashMap<>();
    private final Map<PropertyRef, List<Double>> shifts = new HashMap<>();
    private final Site site;

    Regions(Site site, Collection<Parts> parts) {
        this.site = site;
        parts.forEach(p -> p.copies.forEach(copy -> joined.put(root(copy.from()), root(copy.to()))));
        for (Parts p : parts) {
            p.values.forEach((ref, spoken) -> values.computeIfAbsent(root(ref), _ -> new LinkedHashSet<>())
                    .addAll(spoken));
            p.limits.forEach((ref, spoken) -> limits.computeIfAbsent(root(ref), _ -> new TreeSet<>()).addAll(spoken));
            p.shifts.forEach((ref, by) -> shifts.computeIfAbsent(root(ref), _ -> new ArrayList<>()).addAll(by));
        }
    }

    private PropertyRef root(PropertyRef ref) {
        PropertyRef up = joined.getOrDefault(ref, ref);
        return up.equals(ref) ? ref : root(up);
    }

    /** The values to try, in a fixed order; never empty. */
    List<Value> of(PropertyRef property) {
        return byProperty.computeIfAbsent(property, ref -> {
            PropertyRef root = root(ref);
            return representatives(site.property(ref).type(), values.getOrDefault(root, Set.of()),
                    shifts.containsKey(root) ? shifted(ref, root) : limits.getOrDefault(root, Set.of()));
        });
    }

    /**
     * Where macros make it more or less, what it becomes is told apart only if what it was before is: each point that matters,
     * and each end of its range, matters as many shifts before it, too.
     */
    private Set<Double> shifted(PropertyRef ref, PropertyRef root) {
        Set<Double> points = new TreeSet<>(limits.getOrDefault(root, Set.of()));
        values.getOrDefault(root, Set.of())
                .forEach(value -> points.add(value instanceof Value.Num(double number) ? number : 0.0));
        site.property(ref).type().range().ifPresent(range -> points.addAll(List.of(range.min(), range.max())));
        List<Double> by = shifts.get(root);
        for (int i = 0; i < by.size(); i++) {
            Set<Double> before = new TreeSet<>();
            points.forEach(point -> by.forEach(shift -> before.add(point - shift)));
            points.addAll(before);
            if (points.size() > POINTS_MAX) {
                throw new Trial.TooLong("more than " + POINTS_MAX + " values of " + ref + " make a difference");
            }
        }
        return points;
    }

    /** Whether the value is one that the macros speak of, and not just any other. */
    boolean named(PropertyRef property, Value value) {
        PropertyType type = site.property(property).type();
        return type instanceof PropertyType.Flag
                || values.getOrDefault(root(property), Set.of()).stream().anyMatch(v -> type.same(v, value));
    }

    static List<Value> representatives(PropertyType type, Set<Value> values, Set<Double> limits) {
        Set<Value> spoken = new LinkedHashSet<>();
        values.stream().filter(type::accepts).forEach(spoken::add);
        switch (type) {
            case PropertyType.Flag _ -> {
                spoken.clear();
                spoken.add(Value.of(false));
                spoken.add(Value.of(true));
            }
            case PropertyType.Choice choice -> choice.wireByName().keySet().stream().map(Value::of)
                    .filter(v -> !spoken.contains(v)).findFirst().ifPresent(spoken::add);
            case PropertyType.Text _ -> other(spoken).filter(type::accepts).ifPresent(spoken::add);
            case PropertyType.Whole whole -> numbers(type, whole.min(), whole.max(), spoken, limits);
            case PropertyType.Number number -> numbers(type, number.min(), number.max(), spoken, limits);
        }
        return List.copyOf(spoken);
    }

    private static Optional<Value> other(Set<Value> spoken) {
        String text = "";
        while (spoken.contains(Value.of(text))) {
            text += "?";
        }
        return Optional.of(Value.of(text));
    }

    private static void numbers(PropertyType type, double min, double max, Set<Value> spoken, Set<Double> limits) {
        TreeSet<Double> points = new TreeSet<>();
        spoken.forEach(v -> points.add(((Value.Num) v).number()));
        Set<Value> stretches = new LinkedHashSet<>();
        limits.stream().filter(l -> l >= min && l <= max).forEach(points::add);
        double low = Double.NEGATIVE_INFINITY;
        for (double high : points) {
            between(type, min, max, low, high).ifPresent(stretches::add);
            if (limits.contains(high) && type.accepts(Value.of(high))) {
                stretches.add(Value.of(high));
            }
            low = high;
        }
        between(type, min, max, low, Double.POSITIVE_INFINITY).ifPresent(stretches::add);
        stretches.removeIf(v -> spoken.stream().anyMatch(s -> type.same(s, v)));
        // Without limits, all that is not spoken of is alike.
        stretches.stream().limit(limits.isEmpty() ? 1 : Long.MAX_VALUE).forEach(spoken::add);
        if (spoken.isEmpty()) {
            spoken.add(Value.of(min));
        }
    }

    /** A value between the two that is the same as neither, if there is one. */
    private static Optional<Value> between(PropertyType type, double min, double max, double low, double high) {
        double from = Math.max(low, min);
        double to = Math.min(high, max);
        double middle = from / 2 + to / 2;
        for (double n : new double[]{Math.rint(middle), middle, Math.floor(middle), Math.ceil(middle), from, to}) {
            Value value = Value.of(n);
            if (n > low && n < high && type.accepts(value) && !same(type, value, low) && !same(type, value, high)) {
                return Optional.of(value);
            }
        }
        return Optional.empty();
    }

    private static boolean same(PropertyType type, Value value, double point) {
        return Double.isFinite(point) && type.same(value, Value.of(point));
    }
}
