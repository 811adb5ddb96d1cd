package bellpush.config.model;

import java.time.Duration;
import java.util.List;
import java.util.Map;

/** A scripted evening: presses with expectations, kept beside the macros as a regression test. */
public record Rehearsal(String name, String about, List<Act> acts) {

    public sealed interface Act {
        Source at();

        /** Press and release a button. */
        record Press(String button, Source at) implements Act {}

        /** Press a button, keep it down for {@code time}, release it. */
        record HoldDown(String button, Duration time, Source at) implements Act {}

        /** Press a button twice in a row. */
        record PressTwice(String button, Source at) implements Act {}

        /** Put a switch on or off. */
        record SwitchTo(String control, boolean on, Source at) implements Act {}

        /** Push a knob and let go of it. */
        record PushKnob(String knob, Source at) implements Act {}

        /** Turn a knob by a number of detents; negative: the other way. @param pushed while it is pushed */
        record Turn(String knob, int detents, boolean pushed, Source at) implements Act {}

        /** Put a fader somewhere. @param to share of its way, 0 at the lower end and 1 at the upper */
        record Slide(String fader, double to, Source at) implements Act {}

        /**
         * Deflect a joystick for {@code time} and let go of it.
         *
         * @param axis as {@code JOYSTICK.AXIS}
         * @param to   share of its way, -1 all the way down to 1 all the way up
         */
        record Push(String axis, double to, Duration time, Source at) implements Act {}

        record Wait(Duration time, Source at) implements Act {}

        /** What the runtime must believe for certain, within a time. */
        record Expect(Condition condition, Duration within, Source at) implements Act {}

        /** What the simulated gear itself must be set to, whatever the runtime believes. */
        record Gear(Map<PropertyRef, Value> values, Duration within, Source at) implements Act {}

        /** What lamps must show. */
        record Lamps(Map<String, Look.Pattern> looks, Duration within, Source at) implements Act {}

        /** Somebody changes a property at the device itself. */
        record Outside(Map<PropertyRef, Value> values, Source at) implements Act {}

        /** Something goes wrong with a device, until {@code works} is given. */
        record Trouble(String device, Fault fault, Source at) implements Act {}

        /** A line for the reader of the timeline. */
        record Say(String text, Source at) implements Act {}
    }

    /** Faults of a simulated device, on demand. */
    public sealed interface Fault {
        /** No fault any more. Written {@code "works"}. */
        record Works() implements Fault {}

        /** Listens to nothing, says nothing, keeps its connections. Written {@code "deaf"}. */
        record Deaf() implements Fault {}

        /** Every answer and report is late by this long. Written {@code { "slow": "800 ms" }}. */
        record Slow(Duration by) implements Fault {}

        /** Says no to every set and command, or ignores it where its kind has no word for no. Written {@code "refusing"}. */
        record Refusing() implements Fault {}

        /** Loses this share (0 to 1) of the packets in both directions. Written {@code { "drops": 0.3 }}. */
        record Drops(double share) implements Fault {}

        /** Switched off: closes its socket and connections. Written {@code "off"}; {@code "works"} switches it on. */
        record Off() implements Fault {}

        /** Off and, after this long, on again with every property as it was when new. Written {@code { "restarts": "2 s" }}. */
        record Restarts(Duration after) implements Fault {}
    }
}
