package bellpush.config.model;

/**
 * What a step gives a property or a command's argument. Everything but a fixed value is looked up when the step begins, from
 * what is believed then, reported or assumed; where that is unknown, the step fails and says so.
 */
public sealed interface Operand {
    record Fixed(Value value) implements Operand {}

    /** The present value of a property, of any device. Written {@code { "property": "mixer.program" }}. */
    record Present(PropertyRef property) implements Operand {}

    /** The other of what the flag is. Written {@code { "opposite": true }}; in a set only. */
    record Opposite() implements Operand {}

    /**
     * So much more than the number is, or less, kept within its range. Written {@code { "by": -3 }}; in a set only.
     *
     * @param change in the property's unit, never 0
     */
    record By(double change) implements Operand {}

    static Operand of(Value value) {
        return new Fixed(value);
    }
}
