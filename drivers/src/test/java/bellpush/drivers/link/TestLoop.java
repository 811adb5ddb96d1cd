package bellpush.drivers.link;

import io.netty.channel.EventLoop;
import io.netty.channel.MultiThreadIoEventLoopGroup;
import io.netty.channel.nio.NioIoHandler;
import java.util.concurrent.Callable;
import java.util.concurrent.TimeUnit;

/** One event loop for a test, as the core has one. */
public final class TestLoop implements AutoCloseable {
    private final MultiThreadIoEventLoopGroup group = new MultiThreadIoEventLoopGroup(1, NioIoHandler.newFactory());
    public final EventLoop loop = group.next();

    public <T> T on(Callable<T> task) {
        try {
            return loop.submit(task).get(10, TimeUnit.SECONDS);
        } catch (Exception e) {
            throw new AssertionError(e);
        }
    }

    public void run(Runnable task) {
        on(() -> {
            task.run();
            return null;
        });
    }

    @Override
    public void close() {
        group.shutdownGracefully(0, 5, TimeUnit.SECONDS).syncUninterruptibly();
    }
}
