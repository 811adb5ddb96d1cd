package bellpush.config.model;

import java.util.Locale;
import java.util.function.DoubleUnaryOperator;

/**
 * How a glide spends its time: from the share of the time that is over to the share of the way that is done, both from 0 to
 * 1. None of them ever goes back.
 */
public enum Ease {
    /** The same speed all the way: {@code linear} of CSS Easing Functions Level 1 (W3C), section 2.1. */
    EVEN(share -> share),
    /** Starts gently: {@code ease-in} of the same document, section 2.2.1, a cubic Bézier curve with 0.42, 0, 1, 1. */
    START(new CubicBezier(0.42, 0, 1, 1)),
    /** Ends gently: {@code ease-out} of the same section, 0, 0, 0.58, 1. */
    END(new CubicBezier(0, 0, 0.58, 1)),
    /** Gently at both ends: {@code ease-in-out} of the same section, 0.42, 0, 0.58, 1. */
    BOTH(new CubicBezier(0.42, 0, 0.58, 1)),
    /** Gently at both ends, a little less so: {@code smoothstep} of the OpenGL Shading Language specification, section 8.3. */
    SMOOTH(share -> share * share * (3 - 2 * share));

    private static final int SAMPLES = 2_000;

    private final DoubleUnaryOperator curve;
    private final double steepest;

    Ease(DoubleUnaryOperator curve) {
        this.curve = curve;
        double most = 0;
        for (int i = 0; i < SAMPLES; i++) {
            double from = (double) i / SAMPLES;
            double to = (i + 1.0) / SAMPLES;
            most = Math.max(most, (curve.applyAsDouble(to) - curve.applyAsDouble(from)) / (to - from));
        }
        steepest = most;
    }

    /** @param share of the time; below 0 counts as 0, above 1 as 1, and at these two the curve is exact */
    public double at(double share) {
        return share <= 0 ? 0 : share >= 1 ? 1 : curve.applyAsDouble(share);
    }

    /** Speed where it goes fastest, as a multiple of the even speed; to about half a hundredth. */
    public double steepest() {
        return steepest;
    }

    /** As macros write it. */
    public String word() {
        return name().toLowerCase(Locale.ROOT);
    }
}
