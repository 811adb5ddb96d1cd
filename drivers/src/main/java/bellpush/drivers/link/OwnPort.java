package bellpush.drivers.link;

import bellpush.config.model.Device;
import java.util.List;
import java.util.Map;
import java.util.OptionalInt;

/**
 * The device setting {@code "listen": 9001}: a UDP port of ours that the device has been told to report to. Many devices send
 * their reports to a port that is set in them, and from another port than the one they listen at.
 */
public final class OwnPort {
    public static final String SETTING = "listen";

    private OwnPort() {}

    /** The port, or empty if none is set or what is set makes no sense. */
    static OptionalInt of(Device device) {
        Object written = device.settings().get(SETTING);
        return complaints(device.settings()).isEmpty() && written instanceof Number port
                ? OptionalInt.of(port.intValue())
                : OptionalInt.empty();
    }

    /** What is wrong with the setting, for people; empty if it is right or not there. */
    public static List<String> complaints(Map<String, Object> settings) {
        Object written = settings.get(SETTING);
        if (written == null || written instanceof Long port && port >= 1 && port <= 65_535) {
            return List.of();
        }
        return List.of(
                "\"" + SETTING + "\" is the UDP port that the device reports to, a whole number from 1 to 65535, not "
                        + Printable.text(String.valueOf(written)) + ".");
    }
}
