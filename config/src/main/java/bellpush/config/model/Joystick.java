package bellpush.config.model;

import java.util.Map;
import java.util.Optional;

/** A spring-returned stick or rocker. Each axis drives a speed, and lets it be 0 as soon as the stick is let go. */
public record Joystick(String name, String label, Map<String, Axis> axes, Optional<String> about, Source at) {

    /**
     * One direction and its opposite.
     *
     * @param wire   how it is read
     * @param drives the number property, a speed whose 0 is standstill
     * @param most   the speed at the end of the way up; down goes to its opposite; negative turns it round
     */
    public record Axis(String name, Optional<Wire> wire, PropertyRef drives, double most, Source at) {}

    sealed public interface Wire {
        /**
         * @param deadZone   share of the way from the middle that still counts as the middle
         * @param curve      1: even; 2: finer near the middle (the share of the way to the power of the curve)
         * @param steadiness changes smaller than this share of full scale are noise
         */
        record Analogue(Pin.OfChip input, Fader.Calibration calibration, double deadZone, double curve,
                double steadiness) implements Wire {}

        /** A rocker: two contacts to ground, either of which gives full speed. */
        record Contacts(Pin down, Pin up) implements Wire {}
    }
}
