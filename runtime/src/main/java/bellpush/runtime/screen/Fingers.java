package bellpush.runtime.screen;

import bellpush.config.model.Button;
import bellpush.runtime.screen.Scene.Touch;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;

/**
 * Which buttons are down, and until when. A terminal tells when a key goes down and never when it comes up, so each press by key
 * ends by itself; a key that repeats because it is kept down keeps its button down. Times are monotonic nanoseconds, given by
 * the caller. Not thread-safe.
 */
final class Fingers {
    /** How long a key press keeps the contact closed; longer than any usual interval of key repeat (from memory: 20 to 50 ms). */
    static final long TAP_NANOS = 150_000_000L;
    /** A hold goes on for this much longer than its hold time, so that it counts surely. */
    static final long HOLD_MARGIN_NANOS = 300_000_000L;
    /** A hold of a button that has nothing to hold for. */
    static final long PLAIN_HOLD_NANOS = 1_000_000_000L;
    /** If the mouse never tells that it came up, it counts as up after this, or the hold time and this. */
    static final long MOUSE_LONGEST_NANOS = 30_000_000_000L;

    /** Told of each contact that closes or opens. */
    interface Contacts {
        void contact(long at, String button, boolean closed);
    }

    private record Finger(Touch touch, boolean mouse, long until) {}

    private final Map<String, Button> buttons;
    private final Contacts contacts;
    private final Map<String, Finger> down = new LinkedHashMap<>();

    Fingers(Map<String, Button> buttons, Contacts contacts) {
        this.buttons = buttons;
        this.contacts = contacts;
    }

    /** Whether there is such a button, or such a push switch of a knob. */
    boolean has(String button) {
        return buttons.containsKey(button);
    }

    /** A key press. On a button that is being held it lets go. */
    void tap(long at, String button) {
        if (!has(button)) {
            return;
        }
        Finger finger = down.get(button);
        if (finger != null && finger.touch == Touch.HELD) {
            letGo(at, button);
        } else {
            // An opening within the lockout would not be seen.
            long lockout = buttons.get(button).lockout().toNanos();
            put(at, button, new Finger(Touch.DOWN, false, at + Math.max(TAP_NANOS, lockout + TAP_NANOS / 2)));
        }
    }

    /** Held for its hold time and a little, and for as long as the key repeats. */
    void hold(long at, String button) {
        if (!has(button)) {
            return;
        }
        Finger finger = down.get(button);
        long until = finger != null && finger.touch == Touch.HELD
                ? Math.max(finger.until, at + TAP_NANOS)
                : at + buttons.get(button).hold().map(hold -> hold.time().toNanos() + HOLD_MARGIN_NANOS)
                        .orElse(PLAIN_HOLD_NANOS);
        put(at, button, new Finger(Touch.HELD, false, until));
    }

    void mouseDown(long at, String button) {
        mouseUp(at);
        long hold = buttons.get(button).hold().map(Button.Hold::time).map(java.time.Duration::toNanos).orElse(0L);
        put(at, button, new Finger(Touch.DOWN, true, at + hold + MOUSE_LONGEST_NANOS));
    }

    /** Wherever it comes up: what it went down on is let go. */
    void mouseUp(long at) {
        List.copyOf(down.entrySet()).stream().filter(entry -> entry.getValue().mouse)
                .forEach(entry -> letGo(at, entry.getKey()));
    }

    void letGoOfAll(long at) {
        List.copyOf(down.keySet()).forEach(button -> letGo(at, button));
    }

    /** Ends what is due. */
    void tick(long at) {
        List.copyOf(down.entrySet()).stream().filter(entry -> entry.getValue().until - at <= 0)
                .forEach(entry -> letGo(at, entry.getKey()));
    }

    /** When {@link #tick} is wanted next. */
    OptionalLong due() {
        return down.values().stream().mapToLong(Finger::until).min();
    }

    Map<String, Touch> touched() {
        Map<String, Touch> touched = new LinkedHashMap<>();
        down.forEach((button, finger) -> touched.put(button, finger.touch));
        return Map.copyOf(touched);
    }

    private void put(long at, String button, Finger finger) {
        boolean first = Optional.ofNullable(down.put(button, finger)).isEmpty();
        if (first) {
            contacts.contact(at, button, true);
        }
    }

    private void letGo(long at, String button) {
        if (down.remove(button) != null) {
            contacts.contact(at, button, false);
        }
    }
}
