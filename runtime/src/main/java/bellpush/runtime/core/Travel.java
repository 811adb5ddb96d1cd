package bellpush.runtime.core;

import bellpush.config.model.Fader.Calibration;

/**
 * Where a fader or stick stands between its calibrated ends, without the noise: it follows what is read at a distance of
 * {@code steadiness}, as if there were so much play in it. So a hand that trembles by less changes nothing, and a value at the
 * border of two never flickers. All are shares of the converter's full scale; ends may be reversed.
 */
final class Travel {
    private final double low;
    private final double centre;
    private final double high;
    private final double play;
    private final boolean reversed;
    private double held = Double.NaN;
    private double read = Double.NaN;

    Travel(Calibration calibration, double steadiness) {
        reversed = calibration.low() > calibration.high();
        low = along(calibration.low());
        centre = along(calibration.centre());
        high = along(calibration.high());
        // The board's reading has the same play once more; the ends must be reached all the same.
        play = Math.clamp(steadiness, 0, (high - low) / 20);
    }

    private double along(double share) {
        return reversed ? 1 - share : share;
    }

    /** Whether something has been read since the beginning, or since {@link #forget}. */
    boolean known() {
        return !Double.isNaN(held);
    }

    void forget() {
        held = Double.NaN;
        read = Double.NaN;
    }

    void read(double share) {
        read = along(share);
        held = known() ? Math.clamp(held, read - play, read + play) : read;
    }

    /** 0 at the lower end, 1 at the upper. */
    double way() {
        return share(held, low + 2 * play, high - 2 * play);
    }

    /** Signed share of the way out from the centre, -1 to 1. */
    double deflection() {
        return deflection(held, 2 * play);
    }

    /** The same of what was read last, noise included. */
    double rawDeflection() {
        return deflection(read, 0);
    }

    private double deflection(double at, double lacking) {
        return at >= centre ? share(at, centre, high - lacking) : -share(-at, -centre, -(low + lacking));
    }

    private static double share(double at, double from, double to) {
        return from >= to ? (at >= to ? 1 : 0) : Math.clamp((at - from) / (to - from), 0, 1);
    }
}
