package bellpush.drivers.osc;

import java.math.BigDecimal;
import java.time.Duration;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * The free settings of an osc kind or device.
 *
 * @param sendAhead every message goes out in a bundle whose time tag lies this far ahead, so that a device with a set clock
 *                  acts on messages at an even pace however unevenly the network delivers them; empty: bare messages.
 *                  Written {@code "sendAhead": "50 ms"}, or a number of milliseconds; at most 10 s
 */
record OscSettings(Optional<Duration> sendAhead) {
    static final OscSettings NONE = new OscSettings(Optional.empty());

    private static final String SEND_AHEAD = "sendAhead";
    private static final Duration LONGEST = Duration.ofSeconds(10);
    private static final Pattern DURATION = Pattern.compile("(\\d{1,6}(?:\\.\\d{1,6})?) ?(ms|s)");

    /** @throws IllegalArgumentException if a setting is unknown or makes no sense; the message is for people */
    static OscSettings of(Map<String, Object> settings) {
        for (String name : settings.keySet()) {
            if (!name.equals(SEND_AHEAD)) {
                throw new IllegalArgumentException("osc has no setting \"" + OscText.shown(name, 60) + "\"; it has \""
                        + SEND_AHEAD + "\"");
            }
        }
        return settings.get(SEND_AHEAD) instanceof Object written
                ? new OscSettings(Optional.of(duration(written)))
                : NONE;
    }

    private static Duration duration(Object written) {
        Duration duration = switch (written) {
            case Long ms when ms >= 0 && ms <= LONGEST.toMillis() -> Duration.ofMillis(ms);
            case Double ms when ms >= 0 && ms <= LONGEST.toMillis() -> Duration.ofNanos(Math.round(ms * 1e6));
            case String text -> read(text);
            default -> null;
        };
        if (duration == null || duration.compareTo(LONGEST) > 0) {
            throw new IllegalArgumentException(
                    "\"" + SEND_AHEAD + "\" is a duration such as \"50 ms\", at most 10 s, not "
                            + OscText.shown(String.valueOf(written), 60));
        }
        return duration;
    }

    private static Duration read(String text) {
        Matcher m = DURATION.matcher(text);
        return m.matches()
                ? Duration.ofNanos(
                        new BigDecimal(m.group(1)).scaleByPowerOfTen(m.group(2).equals("s") ? 9 : 6).longValue())
                : null;
    }
}
