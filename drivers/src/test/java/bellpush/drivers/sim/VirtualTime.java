package bellpush.drivers.sim;

import bellpush.drivers.link.Timers;
import java.time.Duration;
import java.util.Comparator;
import java.util.PriorityQueue;

/** A clock that the test turns. */
final class VirtualTime implements Timers {
    private final PriorityQueue<Due> due = new PriorityQueue<>(
            Comparator.comparingLong((Due d) -> d.atNanos).thenComparingLong(d -> d.order));
    private long nowNanos = Long.MAX_VALUE - 1_000_000_000L; // so that whoever compares instead of subtracting is found out
    private long start;
    private long order;

    private record Due(long atNanos, long order, Runnable task) {}

    @Override
    public long nanoTime() {
        return nowNanos;
    }

    @Override
    public Alarm after(long delayNanos, Runnable task) {
        Due entry = new Due(start + delayNanos, order++, task);
        due.add(entry);
        return () -> due.remove(entry);
    }

    void advance(Duration by) {
        long end = start + by.toNanos();
        while (!due.isEmpty() && due.peek().atNanos <= end) {
            Due next = due.poll();
            nowNanos += next.atNanos - start;
            start = next.atNanos;
            next.task.run();
        }
        nowNanos += end - start;
        start = end;
    }

    int waiting() {
        return due.size();
    }
}
