package bellpush.config.model;

import java.time.Duration;
import java.util.Optional;

/**
 * A push button.
 *
 * @param pin        empty for a button that only the drawn panel has
 * @param activeHigh whether pressing it makes the pin high; else it pulls the pin to ground, with a pull-up
 * @param lockout    after an edge that acted, further edges are ignored for this long
 * @param steadyFor  an edge counts once the level has lasted this long, against glitches on long cables; zero: at once
 * @param stuckAfter closed for longer than this, it is taken to be stuck
 * @param press      macro run on press: at once, or once it is clear that no second press follows where there is {@code twice}
 * @param release    macro run on release
 * @param hold       macro run when it has been held long enough
 * @param twice      macro run when it is pressed twice in a row
 * @param lamp       its lamp, which has the same name
 * @param about      when to press it, for the volunteer
 */
public record Button(String name, String label, Optional<Pin> pin, boolean activeHigh, Duration lockout,
        Duration steadyFor, Duration stuckAfter, Optional<String> press, Optional<String> release, Optional<Hold> hold,
        Optional<Twice> twice, Optional<Lamp> lamp, Optional<String> about, Source at) {

    /** Longer than the 6.2 ms that measured switches bounced at most (J. Ganssle, A Guide to Debouncing). */
    public static final Duration LOCKOUT = Duration.ofMillis(10);

    /** Nobody holds a button that long (common practice, no source). */
    public static final Duration STUCK_AFTER = Duration.ofSeconds(30);

    /** Held for {@code time}, the macro {@code run} starts. */
    public record Hold(Duration time, String run) {}

    /** Pressed a second time within {@code within} of the first press, the macro {@code run} starts instead of the single press's. */
    public record Twice(Duration within, String run) {}

    /** A button of no pins with the default times, which does nothing yet. */
    public static Button named(String name, String label, Source at) {
        return new Button(name, label, Optional.empty(), false, LOCKOUT, Duration.ZERO, STUCK_AFTER, Optional.empty(),
                Optional.empty(), Optional.empty(), Optional.empty(), Optional.empty(), Optional.empty(), at);
    }

    public Button onPin(Pin pin) {
        return new Button(name, label, Optional.of(pin), activeHigh, lockout, steadyFor, stuckAfter, press, release,
                hold, twice, lamp, about, at);
    }

    public Button onPress(String macro) {
        return new Button(name, label, pin, activeHigh, lockout, steadyFor, stuckAfter, Optional.of(macro), release,
                hold, twice, lamp, about, at);
    }

    public Button onRelease(String macro) {
        return new Button(name, label, pin, activeHigh, lockout, steadyFor, stuckAfter, press, Optional.of(macro), hold,
                twice, lamp, about, at);
    }

    public Button onHold(Duration time, String macro) {
        return new Button(name, label, pin, activeHigh, lockout, steadyFor, stuckAfter, press, release,
                Optional.of(new Hold(time, macro)), twice, lamp, about, at);
    }

    public Button onTwice(Duration within, String macro) {
        return new Button(name, label, pin, activeHigh, lockout, steadyFor, stuckAfter, press, release, hold,
                Optional.of(new Twice(within, macro)), lamp, about, at);
    }

    public Button with(Lamp itsLamp) {
        return new Button(name, label, pin, activeHigh, lockout, steadyFor, stuckAfter, press, release, hold, twice,
                Optional.of(itsLamp), about, at);
    }

    /** @param lockout after an edge that acted @param steadyFor before an edge counts @param stuckAfter before it is stuck */
    public Button timed(Duration lockout, Duration steadyFor, Duration stuckAfter) {
        return new Button(name, label, pin, activeHigh, lockout, steadyFor, stuckAfter, press, release, hold, twice,
                lamp, about, at);
    }
}
