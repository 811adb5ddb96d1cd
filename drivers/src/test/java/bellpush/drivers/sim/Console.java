package bellpush.drivers.sim;

import bellpush.config.model.Device;
import bellpush.config.model.Limits;
import bellpush.config.model.LinkState;
import bellpush.config.model.Value;
import bellpush.drivers.spi.Driver;
import bellpush.drivers.spi.Link;
import bellpush.drivers.spi.LinkHost;
import bellpush.drivers.spi.Outcome;
import bellpush.drivers.spi.Request;
import io.netty.channel.EventLoop;
import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.atomic.AtomicLong;
import java.util.concurrent.locks.LockSupport;
import java.util.function.BooleanSupplier;

/** The real link to a device, and what it has told; in the core's place. */
final class Console implements LinkHost, AutoCloseable {
    private static final Duration PATIENCE = Duration.ofSeconds(10);

    final Map<String, Value> reported = new ConcurrentHashMap<>();
    final Map<Long, Outcome> outcomes = new ConcurrentHashMap<>();
    final List<String> noted = new CopyOnWriteArrayList<>();
    volatile LinkState state = LinkState.DOWN;
    volatile int ups;
    private final AtomicLong ids = new AtomicLong();
    private final EventLoop loop;
    private final Link link;

    Console(Driver driver, Device device, EventLoop loop) {
        this.loop = loop;
        this.link = loop.submit(() -> driver.open(device, Limits.DEFAULT, this)).syncUninterruptibly().getNow();
    }

    @Override
    public EventLoop loop() {
        return loop;
    }

    @Override
    public void link(LinkState next, String why) {
        ups += next == LinkState.UP ? 1 : 0;
        state = next;
    }

    @Override
    public void reported(Map<String, Value> values, long request) {
        reported.putAll(values);
    }

    @Override
    public void outcome(long request, Outcome outcome) {
        if (outcomes.put(request, outcome) != null) {
            noted.add("two outcomes of request " + request);
        }
    }

    @Override
    public void packet(boolean sent, String shown, long request) {
        // The log's business, not this test's.
    }

    @Override
    public void noted(String text) {
        noted.add(text);
    }

    long set(String property, Value value) {
        return send(new Request.SetProperty(ids.incrementAndGet(), property, value));
    }

    long ask(String property) {
        return send(new Request.AskProperty(ids.incrementAndGet(), property));
    }

    long act(String command, Map<String, Value> arguments) {
        return send(new Request.DoCommand(ids.incrementAndGet(), command, arguments, Map.of()));
    }

    private long send(Request request) {
        loop.execute(() -> link.send(request));
        return request.id();
    }

    Outcome outcome(long request) {
        await("an outcome of request " + request, () -> outcomes.containsKey(request));
        return outcomes.get(request);
    }

    void awaitUp() {
        await("the link is up", () -> state == LinkState.UP);
    }

    void awaitReported(String property, Value value) {
        await(property + " is reported as " + value, () -> value.equals(reported.get(property)));
    }

    void await(String what, BooleanSupplier condition) {
        long deadline = System.nanoTime() + PATIENCE.toNanos();
        while (!condition.getAsBoolean()) {
            if (System.nanoTime() - deadline > 0) {
                throw new AssertionError("within " + PATIENCE + " not true: " + what + "; link " + state + ", reported "
                        + reported + ", noted " + noted);
            }
            LockSupport.parkNanos(2_000_000);
        }
    }

    @Override
    public void close() {
        loop.submit(link::close).syncUninterruptibly();
    }
}
