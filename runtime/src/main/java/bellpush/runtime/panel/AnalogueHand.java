package bellpush.runtime.panel;

import bellpush.config.model.Fader;
import bellpush.config.model.Joystick;
import bellpush.config.model.Panel;
import java.util.HashSet;
import java.util.Set;

/**
 * A hand on faders and joysticks that are not read from a board: a script's, or one at a keyboard. It tells a listener what the
 * board would tell. Not thread-safe.
 */
public final class AnalogueHand {
    private final Panel layout;
    private final PanelListener listener;
    private final Set<String> centred = new HashSet<>();

    public AnalogueHand(Panel layout, PanelListener listener) {
        this.layout = layout;
        this.listener = listener;
    }

    /** @param way 0 at the fader's lower end, 1 at its upper */
    public void slide(long atNanos, String fader, double way) {
        Fader.Calibration read = layout.faders().get(fader).calibration();
        listener.moved(atNanos, fader, read.low() + Math.clamp(way, 0, 1) * (read.high() - read.low()));
    }

    /**
     * @param axis as {@code JOYSTICK.AXIS}
     * @param way  -1 all the way down, 0 let go, 1 all the way up
     */
    public void push(long atNanos, String axis, double way) {
        int dot = axis.indexOf('.');
        Joystick.Axis of = layout.joysticks().get(axis.substring(0, dot)).axes().get(axis.substring(dot + 1));
        if (of.wire().orElse(null) instanceof Joystick.Wire.Contacts) {
            listener.contact(atNanos, axis + ".down", way < 0);
            listener.contact(atNanos, axis + ".up", way > 0);
            return;
        }
        Fader.Calibration read = of.wire().orElse(null) instanceof Joystick.Wire.Analogue wire
                ? wire.calibration()
                : Fader.Calibration.NONE;
        if (centred.add(axis)) {
            listener.moved(atNanos, axis, read.centre()); // a stick that nobody touches stands in its middle
        }
        double far = way < 0 ? read.low() : read.high();
        listener.moved(atNanos, axis, read.centre() + Math.min(1, Math.abs(way)) * (far - read.centre()));
    }
}
