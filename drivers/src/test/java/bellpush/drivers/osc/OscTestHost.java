package bellpush.drivers.osc;

import bellpush.config.model.LinkState;
import bellpush.config.model.Value;
import bellpush.drivers.link.Notebook;
import bellpush.drivers.link.TestLoop;
import bellpush.drivers.spi.LinkHost;
import bellpush.drivers.spi.Outcome;
import io.netty.channel.EventLoop;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.CopyOnWriteArrayList;

/** A core that writes down what a link tells it. May be read from any thread. */
final class OscTestHost implements LinkHost {
    final List<String> states = new CopyOnWriteArrayList<>();
    final List<String> notes = new CopyOnWriteArrayList<>();
    final List<Map<String, Value>> reports = new CopyOnWriteArrayList<>();
    final Map<Long, Outcome> outcomes = new ConcurrentHashMap<>();
    /** Counted only: a flood of them would take the test's time. */
    volatile int packets;
    volatile String lastPacket = "";
    volatile LinkState state = LinkState.DOWN;
    private final EventLoop loop;

    OscTestHost(TestLoop loop) {
        this.loop = loop.loop;
    }

    @Override
    public EventLoop loop() {
        return loop;
    }

    @Override
    public void link(LinkState state, String why) {
        this.state = state;
        states.add(state.word() + ": " + why);
    }

    @Override
    public void reported(Map<String, Value> values, long request) {
        reports.add(values);
    }

    @Override
    public void outcome(long request, Outcome outcome) {
        outcomes.put(request, outcome);
    }

    @Override
    public void packet(boolean sent, String shown, long request) {
        packets = packets + 1;
        lastPacket = (sent ? "> " : "< ") + shown;
    }

    @Override
    public void noted(String text) {
        notes.add(text);
    }

    boolean reported(String property, Value value) {
        return reports.stream().anyMatch(r -> value.equals(r.get(property)));
    }

    void awaitReport(String property, Value value) {
        Notebook.until(property + " reported as " + value, () -> reported(property, value));
    }
}
