package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.model.FrameRate;
import java.math.BigDecimal;
import java.math.RoundingMode;
import java.time.Duration;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** Reads durations: {@code "200 ms"}, {@code "1.5 s"}, {@code "5 frames"}. Rounded once, to the nearest nanosecond. */
final class Times {
    static final Duration LONGEST = Duration.ofHours(1);
    private static final Pattern WRITTEN = Pattern.compile("([0-9.]+) ?(ms|s|frames?)");

    private final Reading reading;
    private FrameRate frameRate = new FrameRate(25, 1);

    Times(Reading reading) {
        this.reading = reading;
    }

    /** Frames are of this rate from now on. */
    void frameRate(FrameRate rate) {
        frameRate = rate;
    }

    /** A duration that may be zero. */
    Duration orZero(Node.Obj object, String key, Duration without) {
        return read(object, key, without, true);
    }

    /** A duration that must be longer than zero. */
    Duration positive(Node.Obj object, String key, Duration without) {
        return read(object, key, without, false);
    }

    private Duration read(Node.Obj object, String key, Duration without, boolean zero) {
        return reading.textNode(object, key).flatMap(node -> read(node, key, zero)).orElse(without);
    }

    private Optional<Duration> read(Node.Text node, String key, boolean zero) {
        Matcher parts = WRITTEN.matcher(node.text());
        if (!parts.matches()) {
            return Optional.empty(); // the shape has said so
        }
        Duration time = of(parts.group(1), parts.group(2));
        if (time.isZero() && !zero) {
            reading.problems.error(node.spot(), "\"" + key + "\" is " + node.text() + ", which is no time at all.",
                    "It would have no effect, or fail at once.", "Write a longer time, such as \"200 ms\".");
        } else if (time.compareTo(LONGEST) > 0) {
            reading.problems.error(node.spot(), "\"" + key + "\" is " + node.text() + ", which is longer than an hour.",
                    "No time in a site is that long, so a digit or a unit is probably wrong.",
                    "Write at most \"3600 s\"; ms are thousandths of a second.");
        }
        return Optional.of(time);
    }

    /** As it would be written in a file. */
    static String words(Duration time) {
        return time.toMillis() % 1000 == 0 ? time.toSeconds() + " s" : time.toMillis() + " ms";
    }

    /** One millisecond, second or frame, by its word. */
    Duration unit(String word) {
        return of("1", word.equals("frames") ? "frame" : word);
    }

    private Duration of(String number, String unit) {
        if (unit.startsWith("frame")) {
            return frameRate.of(Long.parseLong(number));
        }
        BigDecimal nanos = new BigDecimal(number).movePointRight(unit.equals("ms") ? 6 : 9);
        return Duration.ofNanos(nanos.setScale(0, RoundingMode.HALF_UP).longValueExact());
    }
}
