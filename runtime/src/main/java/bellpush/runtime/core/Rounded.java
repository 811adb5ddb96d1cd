package bellpush.runtime.core;

import bellpush.config.model.PropertyType;

/** Numbers as a property takes them. */
final class Rounded {
    private Rounded() {}

    /** The nearest value on the property's grid and in its range; of a number with a step, a multiple of the step. */
    static double of(PropertyType type, double value) {
        double rounded = switch (type) {
            case PropertyType.Whole whole -> Math.clamp(Math.rint(value), whole.min(), whole.max());
            case PropertyType.Number number -> Math.clamp(
                    number.step() > 0 ? tidy(Math.rint(value / number.step()) * number.step()) : tidy(value),
                    number.min(), number.max());
            default -> value;
        };
        return rounded + 0.0; // -0 and 0 are one speed
    }

    /** 0.1 + 0.2 is 0.3 on a panel. */
    static double tidy(double value) {
        return Math.rint(value * 1e9) / 1e9;
    }
}
