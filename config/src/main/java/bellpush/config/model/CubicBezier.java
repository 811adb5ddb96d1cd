package bellpush.config.model;

import java.util.function.DoubleUnaryOperator;

/**
 * A cubic Bézier curve from (0, 0) to (1, 1) as a function of its x: CSS Easing Functions Level 1 (W3C), section 2.2. The
 * x of both control points must lie in [0, 1], so that x never goes back and each has one y.
 */
record CubicBezier(double x1, double y1, double x2, double y2) implements DoubleUnaryOperator {
    /** Each halves what is left, until less than 1e-15 is. */
    private static final int HALVINGS = 50;

    @Override
    public double applyAsDouble(double x) {
        double low = 0;
        double high = 1;
        for (int i = 0; i < HALVINGS; i++) {
            double middle = (low + high) / 2;
            if (along(x1, x2, middle) < x) {
                low = middle;
            } else {
                high = middle;
            }
        }
        return along(y1, y2, (low + high) / 2);
    }

    /** One coordinate of the curve at its parameter {@code s}; the end points are 0 and 1. */
    private static double along(double first, double second, double s) {
        double rest = 1 - s;
        return 3 * rest * rest * s * first + 3 * rest * s * s * second + s * s * s;
    }
}
