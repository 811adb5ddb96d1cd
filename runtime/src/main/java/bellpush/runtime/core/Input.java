package bellpush.runtime.core;

import bellpush.config.model.LinkState;
import bellpush.config.model.Value;
import java.util.Map;

/** Everything that can happen to the core. {@code at} is monotonic time in nanoseconds and never runs backwards. */
public sealed interface Input {
    long at();

    /** The show begins; always the first input. */
    record Started(long at) implements Input {}

    /**
     * An electrical contact of the panel has closed or opened. The contact of a button or a switch has its name; a knob has
     * {@code NAME.a}, {@code NAME.b} and {@code NAME.push}.
     */
    record Contact(long at, String contact, boolean closed) implements Input {}

    /** The state in which a contact was found when the panel was opened. Something held at that moment was not pressed. */
    record Found(long at, String contact, boolean closed) implements Input {}

    /** A knob drawn on a screen was turned by whole detents. */
    record Turned(long at, String knob, int detents) implements Input {}

    /**
     * A fader or joystick axis ({@code JOYSTICK.AXIS}) was read. The first reading, and the first after {@link Lost}, is a
     * state: where it was found.
     *
     * @param share of the converter's full scale, 0 to 1
     */
    record Moved(long at, String input, double share) implements Input {}

    /** A fader or joystick axis cannot be read any more. */
    record Lost(long at, String input, String why) implements Input {}

    /** The show ends: whatever may be moving is stopped, and nothing else is sent from here on. */
    record Ending(long at, String why) implements Input {}

    record LinkChanged(long at, String device, LinkState state, String why) implements Input {}

    /** {@code request} is the request that this answers, or 0. */
    record Reported(long at, String device, Map<String, Value> values, long request) implements Input {}

    record Finished(long at, String device, long request, bellpush.drivers.spi.Outcome outcome) implements Input {}

    /** A message has left or arrived; for the log. */
    record Packet(long at, String device, boolean sent, String shown, long request) implements Input {}

    record Noted(long at, String device, String text) implements Input {}

    record Due(long at, long timer) implements Input {}

    /** The operator asks for a macro by name, from a terminal or a script. */
    record Asked(long at, String macro) implements Input {}
}
