package bellpush.runtime.core;

import bellpush.config.model.Operand;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Site;
import bellpush.config.model.Value;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.Function;

/** What operands come to, from what is believed at the moment. */
final class Operands {
    /** The value, or why there is none; one of them is null. */
    record Found(Value value, String why) {}

    private final Site site;
    private final Function<PropertyRef, Belief> beliefs;

    Operands(Site site, Function<PropertyRef, Belief> beliefs) {
        this.site = site;
        this.beliefs = beliefs;
    }

    /** What a property is to be set to. */
    Found of(PropertyRef target, Operand operand) {
        PropertyType type = site.property(target).type();
        return switch (operand) {
            case Operand.Opposite() -> beliefs.apply(target).value()
                    .map(value -> new Found(Value.of(!(value instanceof Value.Flag(boolean on) && on)), null))
                    .orElseGet(() -> unknown(target, "it cannot be set to its opposite"));
            case Operand.By(double change) -> beliefs.apply(target).value()
                    .map(value -> value instanceof Value.Num(double from)
                            ? new Found(Value.of(moved(type, from, change)), null)
                            : new Found(null, target + " is no number"))
                    .orElseGet(() -> unknown(target, "it cannot be changed by " + Value.of(change)));
            case Operand.Fixed _,Operand.Present _ -> of(target.toString(), type, operand);
        };
    }

    /** What an argument is to be. @param target its name, for people */
    Found of(String target, PropertyType type, Operand operand) {
        return switch (operand) {
            case Operand.Fixed(Value value) -> new Found(value, null);
            case Operand.Present(PropertyRef source) -> {
                Optional<Value> value = beliefs.apply(source).value();
                if (value.isEmpty()) {
                    yield unknown(source, target + " cannot be set to it");
                }
                yield type.accepts(value.get())
                        ? new Found(value.get(), null)
                        : new Found(null, target + " cannot be set to what " + source + " is, " + value.get());
            }
            case Operand.Opposite _,Operand.By _ -> new Found(null, target + " has no value of its own to go by");
        };
    }

    private static Found unknown(PropertyRef source, String so) {
        return new Found(null, source + " is not known, so " + so);
    }

    /** The properties that are looked up. */
    static Set<PropertyRef> sources(Map<PropertyRef, Operand> values) {
        Set<PropertyRef> sources = new TreeSet<>();
        values.forEach((target, operand) -> {
            switch (operand) {
                case Operand.Present(PropertyRef source) -> sources.add(source);
                case Operand.Opposite _,Operand.By _ -> sources.add(target);
                case Operand.Fixed _ -> {
                }
            }
        });
        return sources;
    }

    /** The same for arguments. */
    static Set<PropertyRef> sources(Iterable<Operand> arguments) {
        Set<PropertyRef> sources = new TreeSet<>();
        for (Operand operand : arguments) {
            if (operand instanceof Operand.Present(PropertyRef source)) {
                sources.add(source);
            }
        }
        return sources;
    }

    /** A number moved by so much, within its range; what is no number stays. */
    static double moved(PropertyType type, double from, double by) {
        double to = Math.rint((from + by) * 1e9) / 1e9; // 0.1 + 0.2 is 0.3 on a panel
        return switch (type) {
            case PropertyType.Whole whole -> Math.clamp(Math.rint(to), whole.min(), whole.max());
            case PropertyType.Number number -> Math.clamp(to, number.min(), number.max());
            default -> from;
        };
    }
}
