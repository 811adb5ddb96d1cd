package bellpush.drivers.link;

import java.util.Comparator;
import java.util.PriorityQueue;

/** A clock turned by hand. */
final class HandTimers implements Timers {
    private record Entry(long dueAt, long order, Runnable task) {}

    private final PriorityQueue<Entry> entries = new PriorityQueue<>(
            Comparator.comparingLong(Entry::dueAt).thenComparingLong(Entry::order));
    private long now = 1_000_000_000_000L;
    private long order;

    @Override
    public long nanoTime() {
        return now;
    }

    @Override
    public Alarm after(long delayNanos, Runnable task) {
        var entry = new Entry(now + Math.max(0, delayNanos), order++, task);
        entries.add(entry);
        return () -> entries.remove(entry);
    }

    void advanceMs(long ms) {
        long until = now + ms * 1_000_000;
        while (!entries.isEmpty() && entries.peek().dueAt <= until) {
            var entry = entries.poll();
            now = Math.max(now, entry.dueAt);
            entry.task.run();
        }
        now = until;
    }

    int pending() {
        return entries.size();
    }
}
