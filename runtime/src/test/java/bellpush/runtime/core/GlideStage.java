package bellpush.runtime.core;

import bellpush.config.model.Kind;
import bellpush.config.model.LinkState;
import bellpush.config.model.Property;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Site;
import bellpush.config.model.Speeds;
import bellpush.config.model.Value;
import bellpush.drivers.spi.Outcome;
import bellpush.drivers.spi.Request;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;

/**
 * The core and gear that moves as its tables say, in virtual time. Written apart from the simulated devices of the drivers:
 * speeds make way until they change, a position that is set is gone to at the greatest speed, a move takes its time.
 */
final class GlideStage {
    /** One message of the core. */
    record Sent(double atMs, String property, double value, boolean urgent) {}

    final Core core;
    final List<Sent> sent = new ArrayList<>();
    final List<Event> events = new ArrayList<>();
    /** Messages that a device takes no more. */
    final List<Effect.Send> refused = new ArrayList<>();
    boolean refusing;
    private final Site site;
    private final HandTurnedClock clock = new HandTurnedClock();
    private final Map<PropertyRef, Motion> motions = new LinkedHashMap<>();
    private final Map<PropertyRef, Double> speeds = new HashMap<>();
    /** When each property last moved at all. */
    private final Map<PropertyRef, Double> cameAtMs = new TreeMap<>();
    private final List<Input> answers = new ArrayList<>();

    /** Where a property is and goes. */
    private static final class Motion {
        double at;
        double perSecond;
        double target = Double.NaN;
        double seen;
    }

    GlideStage(Site site) {
        this.site = site;
        core = new Core(site);
        put(new Input.Started(clock.now()));
        List.of(GlideSite.HEAD, GlideSite.DESK, GlideSite.CURTAIN).forEach(device -> link(device, LinkState.UP));
        pass(1);
        sent.clear();
        events.clear();
    }

    double nowMs() {
        return clock.now() / 1e6;
    }

    void put(Input input) {
        core.accept(input, effect -> {
            clock.take(effect);
            switch (effect) {
                case Effect.Send send -> take(send);
                case Effect.Record(Event event) -> events.add(event);
                case Effect.ShowLamp _,Effect.StartTimer _,Effect.StopTimer _ -> {
                }
            }
        });
        while (!answers.isEmpty()) {
            put(answers.removeFirst());
        }
    }

    private void take(Effect.Send send) {
        Request request = send.request();
        if (refusing) {
            refused.add(send);
            answers.add(new Input.Finished(clock.now(), send.device(), request.id(), new Outcome.Refused("no")));
            return;
        }
        answers.add(new Input.Finished(clock.now(), send.device(), request.id(), new Outcome.Sent()));
        switch (request) {
            case Request.SetProperty set -> {
                PropertyRef ref = new PropertyRef(send.device(), set.property());
                double value = set.value() instanceof Value.Num(double n) ? n : Double.NaN;
                sent.add(new Sent(nowMs(), ref.toString(), value, set.urgent()));
                set(ref, value, set.over().toNanos() / 1e9);
            }
            case Request.AskProperty ask -> {
                PropertyRef ref = new PropertyRef(send.device(), ask.property());
                answers.add(new Input.Reported(clock.now(), send.device(),
                        Map.of(ask.property(), Value.of(Rounded.of(site.property(ref).type(), at(ref)))), ask.id()));
            }
            case Request.DoCommand _ -> {
                sent.add(new Sent(nowMs(), send.device() + ".hold", 0, true));
                motions.computeIfPresent(new PropertyRef(send.device(), "open"), (_, motion) -> {
                    motion.perSecond = 0;
                    return motion;
                });
            }
        }
    }

    private void set(PropertyRef ref, double value, double overSeconds) {
        Kind kind = site.devices().get(ref.device()).kind();
        for (Property moved : kind.properties().values()) {
            if (moved.speeds().filter(table -> table.by().equals(ref.property())).isPresent()) {
                Motion motion = motion(new PropertyRef(ref.device(), moved.name()));
                motion.perSecond = moved.speeds().get().perSecond(value);
                motion.target = Double.NaN;
                speeds.put(ref, value);
                return;
            }
        }
        Motion motion = motion(ref);
        Property property = site.property(ref);
        if (overSeconds > 0) {
            motion.target = value;
            motion.perSecond = (value - motion.at) / overSeconds;
        } else if (property.speeds().isPresent()) {
            motion.target = value;
            motion.perSecond = (value > motion.at ? 1 : -1) * top(property.speeds().get());
        } else {
            motion.at = value;
            motion.perSecond = 0;
            seen(ref, motion);
        }
    }

    private static double top(Speeds speeds) {
        return Math.abs(speeds.table().getLast().perSecond());
    }

    private Motion motion(PropertyRef ref) {
        return motions.computeIfAbsent(ref, _ -> new Motion());
    }

    /** Puts a property somewhere and lets the device tell. */
    void place(String name, double value) {
        PropertyRef ref = TestSite.ref(name);
        motion(ref).at = value;
        tell(name, value);
    }

    /** A device tells a value, whatever it is in truth. */
    void tell(String name, double value) {
        PropertyRef ref = TestSite.ref(name);
        put(new Input.Reported(clock.now(), ref.device(), Map.of(ref.property(), Value.of(value)), 0));
    }

    /** Every device tells where everything is. */
    void tellAll() {
        site.devices().forEach((device, what) -> what.kind().properties().values().forEach(property -> {
            PropertyRef ref = new PropertyRef(device, property.name());
            if (property.reported() && List.of(GlideSite.HEAD, GlideSite.DESK, GlideSite.CURTAIN).contains(device)) {
                put(new Input.Reported(clock.now(), device,
                        Map.of(property.name(), Value.of(Rounded.of(property.type(), at(ref)))), 0));
            }
        }));
    }

    double at(String name) {
        return at(TestSite.ref(name));
    }

    private double at(PropertyRef ref) {
        return motion(ref).at;
    }

    double speed(String name) {
        return speeds.getOrDefault(TestSite.ref(name), 0.0);
    }

    /** When it came to where it is, to the millisecond. */
    double cameAtMs(String name) {
        return cameAtMs.getOrDefault(TestSite.ref(name), 0.0);
    }

    /** Moves time on, a millisecond at a time, and everything that runs with it. */
    void pass(int ms) {
        for (int i = 0; i < ms; i++) {
            clock.pass(1_000_000, this::put);
            motions.forEach(this::move);
        }
    }

    private void move(PropertyRef ref, Motion motion) {
        double before = motion.at;
        motion.at += motion.perSecond / 1e3;
        if (!Double.isNaN(motion.target) && (before - motion.target) * (motion.at - motion.target) <= 0) {
            motion.at = motion.target;
            motion.perSecond = 0;
            motion.target = Double.NaN;
        }
        seen(ref, motion);
    }

    private void seen(PropertyRef ref, Motion motion) {
        if (motion.at != motion.seen) {
            motion.seen = motion.at;
            cameAtMs.put(ref, nowMs());
        }
    }

    void press(String button) {
        put(new Input.Contact(clock.now(), button, true));
        pass(1);
        put(new Input.Contact(clock.now(), button, false));
    }

    void link(String device, LinkState state) {
        put(new Input.LinkChanged(clock.now(), device, state, "test"));
    }

    HandTurnedClock clock() {
        return clock;
    }

    List<Sent> sent(String property) {
        return sent.stream().filter(one -> one.property.equals(property)).toList();
    }

    List<Double> values(String property) {
        return sent(property).stream().map(Sent::value).toList();
    }

    /** The words of events of one kind. */
    List<String> events(String what) {
        return events.stream().filter(event -> event.what().equals(what)).map(event -> event.details().toString())
                .toList();
    }
}
