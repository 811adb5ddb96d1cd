package bellpush.runtime.core;

import bellpush.config.model.LinkState;
import bellpush.config.model.Look;
import bellpush.config.model.Site;
import bellpush.config.model.Value;
import bellpush.drivers.spi.Outcome;
import bellpush.drivers.spi.Request;
import java.time.Duration;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/** A core under virtual time: presses go in, effects are kept, timers fire when the time is moved on. */
final class Stage {
    final Core core;
    final List<Effect> effects = new ArrayList<>();
    final List<String> sent = new ArrayList<>();
    final List<Long> sentAtMs = new ArrayList<>();
    final Map<String, Long> requestOf = new HashMap<>();
    private final HandTurnedClock clock = new HandTurnedClock();

    Stage(Site site) {
        core = new Core(site);
        put(new Input.Started(clock.now()));
    }

    /** Both links up, and everything reported that the mixer has. */
    Stage ready() {
        link("mixer", LinkState.UP);
        link("camera", LinkState.UP);
        report("mixer", "onAir", false, "fill", "titles", "left", 0);
        List.of("onAir", "fill", "left").forEach(p -> outcome("mixer", "mixer " + p + "?", new Outcome.Done()));
        sent.clear();
        sentAtMs.clear();
        effects.clear();
        return this;
    }

    long nowMs() {
        return clock.now() / 1_000_000;
    }

    void put(Input input) {
        core.accept(input, effect -> {
            effects.add(effect);
            clock.take(effect);
            switch (effect) {
                case Effect.Send(String device, Request request) -> {
                    String words = device + " " + switch (request) {
                        case Request.SetProperty(_, String p, Value v, _, Duration over) -> p + "=" + v
                                + (over.isZero() ? "" : " over " + over.toMillis());
                        case Request.DoCommand(_, String c, _, _) -> c + "!";
                        case Request.AskProperty(_, String p) -> p + "?";
                    };
                    sent.add(words);
                    sentAtMs.add(nowMs());
                    requestOf.put(words, request.id());
                }
                case Effect.ShowLamp _,Effect.Record _,Effect.StartTimer _,Effect.StopTimer _ -> {
                }
            }
        });
    }

    void edge(String contact, boolean closed) {
        put(new Input.Contact(clock.now(), contact, closed));
    }

    /** A contact closes or opens so long after {@code from}, whenever the core gets to know. */
    void edge(long fromNanos, double ms, String contact, boolean closed) {
        put(new Input.Contact(fromNanos + Math.round(ms * 1e6), contact, closed));
    }

    void found(String contact, boolean closed) {
        put(new Input.Found(clock.now(), contact, closed));
    }

    /** One detent of a knob with four transitions, as its two channels see it. */
    void detent(String knob, boolean up) {
        String first = knob + (up ? ".b" : ".a");
        String second = knob + (up ? ".a" : ".b");
        edge(first, true);
        edge(second, true);
        edge(first, false);
        edge(second, false);
    }

    /** Presses and releases, 50 ms apart. */
    void press(String button) {
        edge(button, true);
        pass(50);
        edge(button, false);
    }

    void move(String input, double share) {
        put(new Input.Moved(clock.now(), input, share));
    }

    /** What was sent since this was asked last. */
    List<String> news() {
        List<String> news = List.copyOf(sent);
        sent.clear();
        sentAtMs.clear();
        return news;
    }

    void lose(String input) {
        put(new Input.Lost(clock.now(), input, "test"));
    }

    void end() {
        put(new Input.Ending(clock.now(), "test"));
    }

    void link(String device, LinkState state) {
        put(new Input.LinkChanged(clock.now(), device, state, "test"));
    }

    void report(String device, Object... pairs) {
        Map<String, Value> values = new HashMap<>();
        for (int i = 0; i < pairs.length; i += 2) {
            values.put((String) pairs[i], TestSite.value(pairs[i + 1]));
        }
        put(new Input.Reported(clock.now(), device, values, 0));
    }

    void outcome(String device, String sentWords, Outcome outcome) {
        put(new Input.Finished(clock.now(), device, requestOf.get(sentWords), outcome));
    }

    /** Moves time on, firing timers at their own time. */
    void pass(long ms) {
        clock.pass(ms * 1_000_000, this::put);
    }

    void passNanos(long nanos) {
        clock.pass(nanos, this::put);
    }

    /** Time goes by in which the core does nothing: what is due comes late. */
    void skipNanos(long nanos) {
        clock.skip(nanos);
    }

    Look look(String name) {
        return core.look(name);
    }

    /** Moves time on to a moment, unless it is past. */
    void passTo(long atNanos) {
        clock.pass(Math.max(0, atNanos - clock.now()), this::put);
    }

    long nowNanos() {
        return clock.now();
    }

    Look.Pattern lamp(String name) {
        return core.look(name).pattern();
    }

    /** The words of events of one kind, in order, as {@code press details}. */
    List<String> events(String what) {
        return effects.stream().filter(Effect.Record.class::isInstance).map(e -> ((Effect.Record) e).event())
                .filter(e -> e.what().equals(what)).map(e -> e.press() + " " + e.details()).toList();
    }
}
