package bellpush.runtime.screen;

import bellpush.runtime.panel.AnalogueHand;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalLong;
import java.util.Set;

/**
 * Faders and joysticks under a hand that has only keys. A terminal does not tell when a key comes up, so each push of a stick is
 * a nudge that ends by itself; a key that repeats keeps it pushed. Times are monotonic nanoseconds, given by the caller. Not
 * thread-safe.
 */
final class Sticks {
    static final long NUDGE_NANOS = 400_000_000L;
    /** How far out a nudge goes: with the usual curve a quarter of full speed. */
    static final double NUDGE = 0.5;
    static final double FADER_STEP = 0.05;
    /** For so long after a step the hand knows better where the fader is than what the device has told. */
    private static final long OWN_NANOS = 1_000_000_000L;
    /** From a little beside the value, so that the fader passes it and takes hold. */
    private static final double BESIDE = 0.03;

    private record Slid(double way, long at) {}

    private final AnalogueHand hand;
    private final Map<String, Long> pushed = new LinkedHashMap<>();
    private final Map<String, Slid> slid = new LinkedHashMap<>();

    Sticks(AnalogueHand hand) {
        this.hand = hand;
    }

    void nudge(long at, String axis, int direction) {
        pushed.put(axis, at + NUDGE_NANOS);
        hand.push(at, axis, Integer.signum(direction) * NUDGE);
    }

    /** @param shown where the property's value is on the fader's way */
    void step(long at, String fader, int steps, double shown) {
        Slid last = slid.get(fader);
        double from = last != null && (at - last.at < OWN_NANOS || Math.abs(last.way - shown) <= BESIDE)
                ? last.way
                : shown;
        if (last == null || from != last.way) {
            hand.slide(at, fader, from - Integer.signum(steps) * BESIDE);
        }
        double to = Math.clamp(from + steps * FADER_STEP, 0, 1);
        slid.put(fader, new Slid(to, at));
        hand.slide(at, fader, to);
    }

    void letGoOfAll(long at) {
        List.copyOf(pushed.keySet()).forEach(axis -> letGo(at, axis));
    }

    /** Ends what is due. */
    void tick(long at) {
        List.copyOf(pushed.entrySet()).stream().filter(entry -> entry.getValue() - at <= 0)
                .forEach(entry -> letGo(at, entry.getKey()));
    }

    /** When {@link #tick} is wanted next. */
    OptionalLong due() {
        return pushed.values().stream().mapToLong(Long::longValue).min();
    }

    Set<String> pushed() {
        return Set.copyOf(pushed.keySet());
    }

    private void letGo(long at, String axis) {
        pushed.remove(axis);
        hand.push(at, axis, 0);
    }
}
