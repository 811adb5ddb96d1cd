package bellpush.drivers.link;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.LinkState;
import bellpush.config.model.Value;
import bellpush.drivers.spi.LinkHost;
import bellpush.drivers.spi.Outcome;
import io.netty.channel.EventLoop;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.function.BooleanSupplier;

/** A host that writes down all it is told. May be read from any thread. */
public final class Notebook implements LinkHost {
    record Said(Map<String, Value> values, long request) {}

    public final List<String> states = new CopyOnWriteArrayList<>();
    final List<Said> reports = new CopyOnWriteArrayList<>();
    public final Map<Long, List<Outcome>> outcomes = new ConcurrentHashMap<>();
    public final List<String> packets = new CopyOnWriteArrayList<>();
    final List<String> notes = new CopyOnWriteArrayList<>();
    final List<String> order = new CopyOnWriteArrayList<>();
    /** Last reported values. */
    public final Map<String, Value> beliefs = new ConcurrentHashMap<>();
    final List<String> offLoop = new CopyOnWriteArrayList<>();
    boolean quiet;
    volatile LinkState state = LinkState.DOWN;
    private final EventLoop loop;

    /** @param loop null where nothing needs one */
    public Notebook(EventLoop loop) {
        this.loop = loop;
    }

    @Override
    public EventLoop loop() {
        return loop;
    }

    private void heard(String what) {
        if (loop != null && !loop.inEventLoop()) {
            offLoop.add(what);
        }
        if (!quiet) {
            order.add(what);
        }
    }

    @Override
    public void link(LinkState state, String why) {
        heard("link " + state.word());
        assertThat(state).isNotEqualTo(this.state);
        states.add(state.word() + ": " + why);
        this.state = state; // last: tests wait for it and then look at the words
    }

    @Override
    public void reported(Map<String, Value> values, long request) {
        heard("reported");
        beliefs.putAll(values);
        if (!quiet) {
            reports.add(new Said(values, request));
        }
    }

    @Override
    public void outcome(long request, Outcome outcome) {
        heard("outcome " + request);
        outcomes.computeIfAbsent(request, _ -> new CopyOnWriteArrayList<>()).add(outcome);
    }

    @Override
    public void packet(boolean sent, String shown, long request) {
        heard(sent ? "sent" : "received");
        if (!quiet) {
            packets.add((sent ? "> " : "< ") + shown + (request == 0 ? "" : " #" + request));
        }
        assertThat(shown.length()).isLessThanOrEqualTo(Printable.LENGTH_MAX);
    }

    @Override
    public void noted(String text) {
        heard("noted");
        notes.add(text);
    }

    Outcome outcome(long request) {
        var all = outcomes.getOrDefault(request, List.of());
        assertThat(all).as("outcomes of " + request).hasSizeLessThanOrEqualTo(1);
        return all.isEmpty() ? null : all.getFirst();
    }

    /** Waits, generously, for what another thread does. */
    public static void until(String what, BooleanSupplier holds) {
        long deadline = System.nanoTime() + 10_000_000_000L;
        while (!holds.getAsBoolean()) {
            if (System.nanoTime() > deadline) {
                throw new AssertionError("waited 10 s for: " + what);
            }
            try {
                Thread.sleep(2);
            } catch (InterruptedException e) {
                throw new AssertionError(e);
            }
        }
    }

    static void assertForPeople(List<String> notes) {
        for (String note : new ArrayList<>(notes)) {
            assertThat(note).doesNotContain("Exception", "\tat ", "java.", "io.netty", "\n").hasSizeLessThan(600);
            assertThat(note.chars()).noneMatch(Character::isISOControl);
        }
    }
}
