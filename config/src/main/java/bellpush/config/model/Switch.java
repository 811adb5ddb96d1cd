package bellpush.config.model;

import java.time.Duration;
import java.util.Optional;

/**
 * A switch that stays where it is put. Where it stands when the show begins is a state and runs nothing.
 *
 * @param pin        empty for a switch that only the drawn panel has
 * @param activeHigh whether on makes the pin high; else it pulls the pin to ground, with a pull-up
 * @param lockout    after an edge that acted, further edges are ignored for this long
 * @param steadyFor  an edge counts once the level has lasted this long; zero: at once
 * @param on         macro run when it is put on
 * @param off        macro run when it is put off
 */
public record Switch(String name, String label, Optional<Pin> pin, boolean activeHigh, Duration lockout,
        Duration steadyFor, Optional<String> on, Optional<String> off, Optional<String> about, Source at) {}
