package bellpush.drivers.link;

import io.netty.channel.EventLoop;
import java.util.concurrent.TimeUnit;

/** The clock and the alarms of a conversation, so that tests can turn the hands themselves. On the event loop only. */
public interface Timers {
    /** Monotonic, in nanoseconds; only differences mean something. */
    long nanoTime();

    /** Runs the task once, {@code delayNanos} from now (at once if not above 0, but never during this call). */
    Alarm after(long delayNanos, Runnable task);

    /** A task that is still to run. */
    interface Alarm {
        /** After this the task does not run. Harmless when it has run already. */
        void cancel();
    }

    static Timers of(EventLoop loop) {
        return new Timers() {
            @Override
            public long nanoTime() {
                return System.nanoTime();
            }

            @Override
            public Alarm after(long delayNanos, Runnable task) {
                var scheduled = loop.schedule(task, Math.max(0, delayNanos), TimeUnit.NANOSECONDS);
                return () -> scheduled.cancel(false);
            }
        };
    }
}
