package bellpush.runtime.core;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Consumer;

/**
 * What the parts of the core share while one input is taken: the time, the press to blame, where effects go, and the
 * timers. One object for the life of the core; {@link #begin} turns it to the next input.
 */
final class Turn {
    /** What is to be recorded of this input, kept back until everything else has been handed out. */
    private record Line(String press, String what, Object[] details) {}

    private final List<Line> lines = new ArrayList<>();
    private final Map<Long, Wake> wakes = new HashMap<>();
    private Consumer<Effect> out;
    /** Where monotonic time begins is not said: it may be below 0. */
    private long now = Long.MIN_VALUE;
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
        lines.add(new Line(cause, what, details));
    }

    /** Ends the input: its records are made and handed out only now, so that no packet ever waits for the log. */
    void end() {
        for (Line line : lines) {
            Map<String, Object> map = LinkedHashMap.newLinkedHashMap(line.details.length / 2);
            for (int i = 0; i < line.details.length; i += 2) {
                map.put((String) line.details[i], line.details[i + 1]);
            }
            emit(new Effect.Record(new Event(now, line.what, line.press, map)));
        }
        lines.clear();
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
