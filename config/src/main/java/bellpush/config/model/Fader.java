package bellpush.config.model;

import java.util.Optional;

/**
 * A slide or turn potentiometer that puts one property where it stands.
 *
 * @param input       the converter's pin, or empty for a fader that only the drawn panel has
 * @param moves       the number property
 * @param from        the property's value at the lower end
 * @param to          the property's value at the upper end; less than {@code from} turns it round
 * @param calibration what the converter reads at the ends
 * @param curve       1: even; 2: finer towards {@code from} (the share to the power of the curve)
 * @param steadiness  changes smaller than this share of full scale are noise
 * @param pickUp      whether it has to pass the property's value before it moves it, so that the value does not jump
 */
public record Fader(String name, String label, Optional<Pin.OfChip> input, PropertyRef moves, double from, double to,
        Calibration calibration, double curve, double steadiness, boolean pickUp, Optional<String> about, Source at) {

    /** Shares of the converter's full scale, 0 to 1. @param centre matters to joysticks only */
    public record Calibration(double low, double centre, double high) {
        public static final Calibration NONE = new Calibration(0, 0.5, 1);
    }
}
