package bellpush.runtime.panel.chips;

import java.util.OptionalDouble;

/**
 * Noise kept apart from movement: a value is told only when it has left the band around the last one told. The very ends are
 * told always, so that a fader reaches them.
 */
final class Steady {
    private final double band;
    private double told = Double.NaN;

    /** @param band half its width, as a share of full scale */
    Steady(double band) {
        this.band = band;
    }

    /** @param share 0 to 1 @return the value to tell, if any */
    OptionalDouble take(double share) {
        boolean end = share <= 0 || share >= 1;
        if (!Double.isNaN(told) && (share == told || Math.abs(share - told) < band && !end)) {
            return OptionalDouble.empty();
        }
        told = share;
        return OptionalDouble.of(share);
    }

    /** The next value is told whatever it is. */
    void forget() {
        told = Double.NaN;
    }
}
