package bellpush.runtime.panel.chips;

import java.util.Comparator;
import java.util.PriorityQueue;

/** Time that passes only when somebody lets it, with things that happen in it, also in the middle of a transfer. */
final class World implements Clock {
    /** One byte and its acknowledgement at 100 kHz. */
    static final long I2C_BYTE_NANOS = 90_000;
    static final long SPI_BYTE_NANOS = 1_000;

    private record Happening(long at, int order, Runnable what) {}

    private final PriorityQueue<Happening> happenings = new PriorityQueue<>(
            Comparator.comparingLong(Happening::at).thenComparingInt(Happening::order));
    private int order;
    private long now = 1_000_000_000;

    @Override
    public long nanos() {
        return now;
    }

    @Override
    public void pause(long nanos) {
        pass(nanos);
    }

    void at(long nanos, Runnable what) {
        happenings.add(new Happening(nanos, order++, what));
    }

    void pass(long nanos) {
        until(now + nanos);
    }

    private void until(long end) {
        while (!happenings.isEmpty() && happenings.peek().at() <= end) {
            Happening next = happenings.poll();
            now = Math.max(now, next.at());
            next.what().run();
        }
        now = Math.max(now, end);
    }

    /** Lets the thread go round until a time. @return how often it woke */
    int run(ChipsThread thread, long end) {
        int woke = 0;
        while (now < end) {
            long wait = thread.runDue(now);
            if (wait > 0) {
                woke++;
                long next = wait >= end - now ? end : now + wait;
                until(happenings.isEmpty() ? next : Math.min(next, Math.max(now, happenings.peek().at())));
            } else {
                pass(10_000); // a thread is never quicker than this
            }
        }
        return woke;
    }
}
