package bellpush.runtime.core;

import bellpush.config.model.Fader.Calibration;
import bellpush.config.model.Joystick;
import bellpush.config.model.PropertyType;

/**
 * The speed that one axis of a stick or rocker asks for. Found deflected, it asks for none until it has been at its centre once,
 * as it does after {@link #disarm}.
 */
final class Stick {
    /** After a rocker's contact has opened, its closing counts once it has been quiet for this long: bounce must not start it again. */
    static final long QUIET_NANOS = 20_000_000L;

    private final Joystick.Axis axis;
    private final PropertyType type;
    private final Travel travel;
    private final double deadZone;
    private final double curve;
    private final boolean rocker;
    private boolean armed;
    private double way;
    private boolean down;
    private boolean up;
    private long quietAt = Long.MIN_VALUE;

    Stick(Joystick.Axis axis, PropertyType type) {
        this.axis = axis;
        this.type = type;
        rocker = axis.wire().orElse(null) instanceof Joystick.Wire.Contacts;
        armed = rocker; // open until told otherwise
        if (axis.wire().orElse(
                null) instanceof Joystick.Wire.Analogue(var _, var calibration, double zone, double exponent, double steadiness)) {
            travel = new Travel(calibration, steadiness);
            deadZone = zone;
            curve = exponent;
        } else {
            travel = new Travel(Calibration.NONE, 0);
            deadZone = 0;
            curve = 1;
        }
    }

    /** The converter was read. What is read first is where the stick was found. */
    void read(double share) {
        if (rocker) {
            return;
        }
        travel.read(share);
        way = Math.abs(travel.rawDeflection()) <= deadZone ? 0 : beyondDeadZone(travel.deflection());
        arm(Math.abs(travel.rawDeflection()) <= deadZone);
    }

    private double beyondDeadZone(double deflection) {
        double beyond = (Math.abs(deflection) - deadZone) / (1 - deadZone);
        return beyond <= 0 ? 0 : Math.signum(deflection) * Math.pow(Math.min(1, beyond), curve);
    }

    /** It cannot be read any more: no speed, and none when it is read again before it has been at its centre. */
    void lost() {
        travel.forget();
        way = 0;
        armed = false;
    }

    /** A contact of a rocker was found so: closed is no push. */
    void found(boolean upper, boolean closed) {
        set(upper, closed);
        if (closed) {
            armed = false;
        }
        settle(Long.MAX_VALUE);
    }

    /** A contact of a rocker has closed or opened. @return when {@link #settle} is wanted, or 0 */
    long edge(long now, boolean upper, boolean closed) {
        if (!closed && (upper ? up : down)) {
            quietAt = now + QUIET_NANOS;
        }
        set(upper, closed);
        settle(now);
        return (down || up) && now < quietAt ? quietAt : 0;
    }

    private void set(boolean upper, boolean closed) {
        if (upper) {
            up = closed;
        } else {
            down = closed;
        }
    }

    void settle(long now) {
        way = down == up || now < quietAt ? 0 : up ? 1 : -1;
        arm(!down && !up);
    }

    private void arm(boolean centred) {
        armed |= centred;
    }

    /** No speed until the stick has been at its centre; if it is there now, it need not move. */
    void disarm() {
        armed = centred();
    }

    private boolean centred() {
        return rocker ? !down && !up : travel.known() && way == 0;
    }

    /** Whether it has been read. */
    boolean known() {
        return rocker || travel.known();
    }

    boolean armed() {
        return armed;
    }

    /** As the property takes it; 0 at the centre. */
    double speed() {
        return armed ? Rounded.of(type, way * axis.most()) : 0;
    }
}
