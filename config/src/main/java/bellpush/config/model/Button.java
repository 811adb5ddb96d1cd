package bellpush.config.model;

import java.time.Duration;
import java.util.Optional;
import java.util.OptionalInt;

/**
 * A push button.
 *
 * @param pin        BCM number, or empty for a button that only the drawn panel has
 * @param activeHigh whether pressing it makes the pin high; else it pulls the pin to ground, with a pull-up
 * @param lockout    after an edge that acted, further edges are ignored for this long
 * @param press      macro run at once on press
 * @param release    macro run on release
 * @param hold       macro run when it has been held long enough
 * @param lamp       its lamp, which has the same name
 */
public record Button(String name, String label, OptionalInt pin, boolean activeHigh, Duration lockout,
        Optional<String> press, Optional<String> release, Optional<Hold> hold, Optional<Lamp> lamp, Source at) {

    /** Held for {@code time}, the macro {@code run} starts. */
    public record Hold(Duration time, String run) {}
}
