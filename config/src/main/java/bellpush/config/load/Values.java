package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Value;
import bellpush.config.problem.DidYouMean;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;

/** Reads values and says why one does not suit the type of its property or argument. */
final class Values {
    private final Reading reading;
    private Arguments arguments = Arguments.NONE;

    Values(Reading reading) {
        this.reading = reading;
    }

    /** The arguments of the macro that is being read. */
    Arguments arguments() {
        return arguments;
    }

    /** From now on a macro with these arguments is read; returns those of the one that was read before. */
    Arguments within(Arguments newArguments) {
        Arguments before = arguments;
        arguments = newArguments;
        return before;
    }

    /** The value as written, whatever it is for. */
    static Optional<Value> plain(Node node) {
        return switch (node) {
            case Node.Text(String text, _) -> Optional.of(Value.of(text));
            case Node.Num n -> Optional.of(Value.of(n.number()));
            case Node.Flag flag -> Optional.of(Value.of(flag.on()));
            default -> Optional.empty();
        };
    }

    /**
     * The value, if the type takes it; else a problem.
     *
     * @param name of the property or argument, for people
     */
    Optional<Value> read(Node node, PropertyType type, String name) {
        if (reading.verdict.bad(node)) {
            return Optional.empty();
        }
        if (node instanceof Node.Obj object && object.members().containsKey("argument")) {
            return reading.textNode(object, "argument").flatMap(argument -> argument(argument, type, name));
        }
        Optional<Value> value = plain(node);
        if (value.isEmpty() || type.accepts(value.get())) {
            return value;
        }
        String start = name.startsWith("the ") ? "T" + name.substring(1) : name;
        String why = start + " takes " + describe(type) + ".";
        switch (type) {
            case PropertyType.Choice choice when node instanceof Node.Text(String text, _) ->
                reading.problems.error(node.spot(), "\"" + text + "\" is not a choice of " + name + ".", why,
                        DidYouMean.cure(text, choice.wireByName().keySet(), "Write one of its choices."));
            case PropertyType.Text t when node instanceof Node.Text(String text, _) ->
                reading.problems.error(node.spot(),
                        text.length() > t.maxLength()
                                ? "The text has " + text.length() + " characters."
                                : "The text has a control character in it.",
                        why, "Write a shorter text, in one line.");
            default -> mismatch(node, type, start, why);
        }
        return Optional.empty();
    }

    private Optional<Value> argument(Node.Text node, PropertyType type, String name) {
        if (!arguments.types().containsKey(node.text())) {
            reading.problems.error(node.spot(), "There is no argument \"" + node.text() + "\" here.",
                    "Only a macro that names it under \"arguments\" is given its value.",
                    DidYouMean.cure(node.text(), arguments.types().keySet(), "Write a value."));
            return Optional.empty();
        }
        Optional<PropertyType> own = arguments.types().get(node.text());
        if (own.isPresent() && !fits(own.get(), type)) {
            reading.problems.error(node.spot(),
                    "The values of " + node.text() + " are not all values of " + name + ".",
                    node.text() + " takes " + describe(own.get()) + "; " + name + " takes " + describe(type) + ".",
                    "Give the argument no other values than that takes.");
            return Optional.empty();
        }
        return arguments.value(node.text());
    }

    /** Whether every value of one type is a value of the other. */
    static boolean fits(PropertyType from, PropertyType to) {
        return switch (from) {
            case PropertyType.Flag _ -> to instanceof PropertyType.Flag;
            case PropertyType.Choice c -> to instanceof PropertyType.Choice other
                    && other.wireByName().keySet().containsAll(c.wireByName().keySet());
            case PropertyType.Whole w -> to instanceof PropertyType.Whole other && w.min() >= other.min()
                    && w.max() <= other.max()
                    || to instanceof PropertyType.Number n && w.min() >= n.min() && w.max() <= n.max();
            case PropertyType.Number n ->
                to instanceof PropertyType.Number other && n.min() >= other.min() && n.max() <= other.max();
            case PropertyType.Text t -> to instanceof PropertyType.Text other && t.maxLength() <= other.maxLength();
        };
    }

    /** Whether some value of one type is a value of the other. */
    static boolean mayFit(PropertyType from, PropertyType to) {
        return switch (from) {
            case PropertyType.Flag _ -> to instanceof PropertyType.Flag;
            case PropertyType.Choice c -> c.wireByName().keySet().stream().anyMatch(name -> to.accepts(Value.of(name)));
            case PropertyType.Whole w -> overlaps(w.min(), w.max(), to);
            case PropertyType.Number n -> overlaps(n.min(), n.max(), to);
            case PropertyType.Text _ -> to instanceof PropertyType.Text || to instanceof PropertyType.Choice;
        };
    }

    private static boolean overlaps(double min, double max, PropertyType to) {
        return switch (to) {
            case PropertyType.Whole w -> Math.ceil(Math.max(min, w.min())) <= Math.min(max, w.max());
            case PropertyType.Number n -> Math.max(min, n.min()) <= Math.min(max, n.max());
            default -> false;
        };
    }

    private void mismatch(Node node, PropertyType type, String name, String why) {
        OptionalDouble near = nearest(node, type);
        String cure = near.isPresent()
                ? "Write " + Value.of(near.getAsDouble()) + ", or another value that it takes."
                : "Write " + example(type) + ".";
        reading.problems.error(node.spot(), name + " cannot be " + node.described() + ".", why, cure);
    }

    private static OptionalDouble nearest(Node node, PropertyType type) {
        if (!(node instanceof Node.Num n)) {
            return OptionalDouble.empty();
        }
        return switch (type) {
            case PropertyType.Whole w -> OptionalDouble.of(Math.clamp(Math.rint(n.number()), w.min(), w.max()));
            case PropertyType.Number r -> OptionalDouble.of(Math.clamp(n.number(), r.min(), r.max()));
            default -> OptionalDouble.empty();
        };
    }

    private static String example(PropertyType type) {
        return switch (type) {
            case PropertyType.Flag _ -> "true or false without quotation marks";
            case PropertyType.Choice c -> "\"" + c.wireByName().keySet().iterator().next() + "\" or another of them";
            case PropertyType.Text _ -> "a text in quotation marks";
            default -> "a number without quotation marks";
        };
    }

    /** What a type takes, for a sentence: {@code a whole number from -1000 to 1000 (‰)}. */
    static String describe(PropertyType type) {
        return switch (type) {
            case PropertyType.Flag _ -> "true or false";
            case PropertyType.Choice c -> "one of " + DidYouMean.list(List.copyOf(c.wireByName().keySet()));
            case PropertyType.Whole w -> "a whole number from " + w.min() + " to " + w.max() + unit(w.unit());
            case PropertyType.Number r ->
                "a number from " + Value.of(r.min()) + " to " + Value.of(r.max()) + unit(r.unit());
            case PropertyType.Text t -> "a text of up to " + t.maxLength() + " characters";
        };
    }

    private static String unit(String unit) {
        return unit.isEmpty() ? "" : " (" + unit + ")";
    }
}
