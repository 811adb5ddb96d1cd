package bellpush.drivers.sim;

import io.netty.channel.EventLoop;
import java.util.concurrent.Future;
import java.util.concurrent.TimeUnit;

/** The event loop's own timers. */
record LoopTimers(EventLoop loop) implements Timers {
    @Override
    public long nowNanos() {
        return System.nanoTime();
    }

    @Override
    public Timer after(long delayNanos, Runnable task) {
        if (loop.isShuttingDown()) {
            return () -> {};
        }
        Future<?> scheduled = loop.schedule(task, delayNanos, TimeUnit.NANOSECONDS);
        return () -> scheduled.cancel(false);
    }
}
