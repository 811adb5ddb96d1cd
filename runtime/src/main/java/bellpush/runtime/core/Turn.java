package bellpush.runtime.core;

import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.function.Consumer;

/**
 * What the parts of the core share while one input is taken: the time, the press to blame, where effects go, and the
 * timers. One object for the life of the core; {@link #begin} turns it to the next input.
 */
final class Turn {
    private final Map<Long, Wake> wakes = new HashMap<>();
    private Consumer<Effect> out;
    private long now;
    private String press = "";
    private long lastTimer;

    void begin(long at, Consumer<Effect> effects) {
        now = Math.max(now, at); // inputs of two threads may cross by a hair; time in here never runs backwards
        out = effects;
        press = "";
    }

    long now() {
        return now;
    }

    /** The press that the present input goes back to, or empty. */
    String press() {
        return press;
    }

    void blame(String newPress) {
        press = newPress;
    }

    void emit(Effect effect) {
        out.accept(effect);
    }

    /** Records an event of the present press; {@code details} are names and values in turn. */
    void record(String what, Object... details) {
        recordFor(press, what, details);
    }

    void recordFor(String cause, String what, Object... details) {
        Map<String, Object> map = LinkedHashMap.newLinkedHashMap(details.length / 2);
        for (int i = 0; i < details.length; i += 2) {
            map.put((String) details[i], details[i + 1]);
        }
        emit(new Effect.Record(new Event(now, what, cause, map)));
    }

    long start(long dueAt, Wake wake) {
        long timer = ++lastTimer;
        wakes.put(timer, wake);
        emit(new Effect.StartTimer(timer, dueAt));
        return timer;
    }

    /** Stops a timer; 0 and timers that have fired are none. */
    void stop(long timer) {
        if (wakes.remove(timer) != null) {
            emit(new Effect.StopTimer(timer));
        }
    }

    /** What a timer was for, or null if it was stopped while it was on its way. */
    Wake fired(long timer) {
        return wakes.remove(timer);
    }
}
