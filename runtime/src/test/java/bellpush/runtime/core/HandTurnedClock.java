package bellpush.runtime.core;

import java.util.HashMap;
import java.util.Map;
import java.util.function.Consumer;

/** Time that passes only when a test says so, and the core's timers on it. Nanoseconds. */
final class HandTurnedClock {
    private final Map<Long, Long> dueAt = new HashMap<>();
    private long now = 1_000_000_000L;

    long now() {
        return now;
    }

    int timers() {
        return dueAt.size();
    }

    void take(Effect effect) {
        switch (effect) {
            case Effect.StartTimer(long timer, long due) -> dueAt.put(timer, due);
            case Effect.StopTimer(long timer) -> dueAt.remove(timer);
            case Effect.Send _,Effect.ShowLamp _,Effect.Record _ -> {
            }
        }
    }

    /** Moves time on by so much without a timer; what was due fires with the next {@link #pass}. */
    void skip(long nanos) {
        now += nanos;
    }

    /** Moves time on by so much; each timer fires at its own time, and those of one time in the order they were started. */
    void pass(long nanos, Consumer<Input> core) {
        long end = now + nanos;
        while (true) {
            Map.Entry<Long, Long> next = dueAt.entrySet().stream().filter(e -> e.getValue() <= end)
                    .min(Map.Entry.<Long, Long>comparingByValue().thenComparing(Map.Entry.comparingByKey()))
                    .orElse(null);
            if (next == null) {
                break;
            }
            dueAt.remove(next.getKey());
            now = Math.max(now, next.getValue());
            core.accept(new Input.Due(now, next.getKey()));
        }
        now = end;
    }
}
