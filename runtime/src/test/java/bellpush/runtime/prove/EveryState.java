package bellpush.runtime.prove;

import bellpush.config.model.Command;
import bellpush.config.model.Condition;
import bellpush.config.model.Device;
import bellpush.config.model.LinkState;
import bellpush.config.model.Macro;
import bellpush.config.model.Property;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Site;
import bellpush.config.model.Value;
import bellpush.drivers.spi.Request;
import bellpush.runtime.core.Belief;
import bellpush.runtime.core.Core;
import bellpush.runtime.core.Effect;
import bellpush.runtime.core.Elsewhere;
import bellpush.runtime.core.Event;
import bellpush.runtime.core.Input;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.PriorityQueue;
import java.util.Set;
import java.util.TreeMap;

/**
 * The dull way to the same verdicts: every value of every property as a start, every press and every change by hand from every state
 * that comes of it, on gear that has one value for everything at any time. Shares nothing with what it checks but the core.
 */
final class EveryState {
    /** The fewest presses, and then the fewest changes by hand, after which a macro ends without its promise. */
    record Length(int presses, int hands) implements Comparable<Length> {
        @Override
        public int compareTo(Length other) {
            return Comparator.comparingInt(Length::presses).thenComparingInt(Length::hands).compare(this, other);
        }
    }

    private record State(Map<PropertyRef, Value> truth, Map<PropertyRef, Value> assumed) {}

    private record Node(Length length, State state) implements Comparable<Node> {
        @Override
        public int compareTo(Node other) {
            return length.compareTo(other.length);
        }
    }

    static final int STATES_MAX = 150;

    private final Site site;
    private final Map<String, Length> broken = new TreeMap<>();
    private boolean whole = true;

    private EveryState(Site paced) {
        Map<String, Device> devices = new LinkedHashMap<>(paced.devices());
        devices.replaceAll((_, d) -> new Device(d.name(), d.label(), d.kind().untimed(), d.address(), d.port(),
                d.settings(), d.at()));
        site = new Site(paced.folder(), paced.name(), paced.frameRate(), paced.limits(), paced.panel(), devices,
                paced.macros());
    }

    /** For each macro that can end without its promise, the shortest way; empty if there are too many states. */
    static Optional<Map<String, Length>> of(Site site) {
        EveryState every = new EveryState(site);
        every.visit();
        return every.whole ? Optional.of(every.broken) : Optional.empty();
    }

    private List<PropertyRef> refs() {
        List<PropertyRef> refs = new ArrayList<>();
        site.devices().values().forEach(d -> d.kind().properties().keySet()
                .forEach(name -> refs.add(new PropertyRef(d.name(), name))));
        return refs;
    }

    private void visit() {
        PriorityQueue<Node> open = new PriorityQueue<>();
        Set<State> closed = new HashSet<>();
        for (Map<PropertyRef, Value> start : starts(refs())) {
            open.add(new Node(new Length(0, 0), new State(start, Map.of())));
        }
        if (open.size() > STATES_MAX / 4) {
            whole = false;
            return;
        }
        while (!open.isEmpty()) {
            Node node = open.poll();
            if (!closed.add(node.state)) {
                continue;
            }
            if (closed.size() > STATES_MAX) {
                whole = false;
                return;
            }
            for (Macro macro : site.macros().values()) {
                press(node, macro, open);
                if (node.length.equals(new Length(0, 0))) {
                    site.macros().values().forEach(first -> pressSoon(node, first, macro));
                }
            }
            for (PropertyRef ref : refs()) {
                for (Value value : SmallSites.all(site.property(ref).type())) {
                    if (!value.equals(node.state.truth.get(ref))) {
                        Map<PropertyRef, Value> truth = new HashMap<>(node.state.truth);
                        truth.put(ref, value);
                        open.add(new Node(new Length(node.length.presses, node.length.hands + 1),
                                new State(truth, node.state.assumed)));
                    }
                }
            }
        }
    }

    private static List<Map<PropertyRef, Value>> starts(Site site, List<PropertyRef> refs) {
        List<Map<PropertyRef, Value>> starts = List.of(Map.of());
        for (PropertyRef ref : refs) {
            List<Map<PropertyRef, Value>> more = new ArrayList<>();
            for (Map<PropertyRef, Value> start : starts) {
                for (Value value : SmallSites.all(site.property(ref).type())) {
                    Map<PropertyRef, Value> one = new HashMap<>(start);
                    one.put(ref, value);
                    more.add(one);
                }
            }
            starts = more;
        }
        return starts;
    }

    private List<Map<PropertyRef, Value>> starts(List<PropertyRef> refs) {
        return starts(site, refs);
    }

    private void press(Node node, Macro macro, PriorityQueue<Node> open) {
        List<Integer> draws = new ArrayList<>();
        do {
            Gear gear = new Gear(node.state, draws);
            gear.press(macro.name());
            Length length = new Length(node.length.presses + 1, node.length.hands);
            if (gear.broke(macro)) {
                broken.merge(macro.name(), length, (a, b) -> a.compareTo(b) <= 0 ? a : b);
            }
            open.add(new Node(length, gear.state()));
        } while (next(draws));
    }

    private void pressSoon(Node node, Macro first, Macro macro) {
        List<Integer> draws = new ArrayList<>();
        do {
            Gear gear = new Gear(node.state, draws);
            gear.pressAndGoOn(first.name());
            gear.press(macro.name());
            if (gear.broke(macro)) {
                broken.merge(macro.name(), new Length(2, 0), (a, b) -> a.compareTo(b) <= 0 ? a : b);
            }
        } while (next(draws));
    }

    /** Counts what the gear draws one on; {@code draws} holds each draw times 100 plus what it is out of. */
    private static boolean next(List<Integer> draws) {
        while (!draws.isEmpty()) {
            int last = draws.removeLast();
            if (last / 100 + 1 < last % 100) {
                draws.add(last + 100);
                return true;
            }
        }
        return false;
    }

    /** Concrete gear under the core. */
    private final class Gear implements Elsewhere {
        private static final long SECOND = 1_000_000_000L;

        private record Coming(long at, int order, String device, Map<String, Value> to) {}

        private final Map<PropertyRef, Value> truth;
        /** Of what no device tells, what was sent last before; what is sent now is no longer here. */
        private final Map<PropertyRef, Value> assumed;
        private final List<Integer> draws;
        private int drawn;
        private final Core core = new Core(site, this);
        private final TreeMap<Long, Long> timers = new TreeMap<>(); // by number
        private final List<Coming> coming = new ArrayList<>();
        private final Set<Object> runs = new HashSet<>();
        private final Map<String, String> ends = new HashMap<>();
        private long now = SECOND;
        private int orders;

        Gear(State start, List<Integer> draws) {
            truth = new HashMap<>(start.truth);
            assumed = new HashMap<>(start.assumed);
            this.draws = draws;
            give(new Input.Started(now));
            for (Device device : site.devices().values()) {
                give(new Input.LinkChanged(now, device.name(), LinkState.UP, ""));
                tell(device.name(), device.kind().properties().keySet());
            }
        }

        private void tell(String device, Set<String> names) {
            Map<String, Value> told = new LinkedHashMap<>();
            names.forEach(name -> {
                PropertyRef ref = new PropertyRef(device, name);
                if (site.property(ref).reported()) {
                    told.put(name, truth.get(ref));
                }
            });
            give(new Input.Reported(now, device, told, 0));
        }

        void press(String macro) {
            ends.remove(macro);
            give(new Input.Asked(now, macro));
            while (!runs.isEmpty()) {
                step();
            }
            long quiet = now + 5 * SECOND;
            while (nextComing().isPresent() || next() <= quiet) {
                step();
            }
        }

        void pressAndGoOn(String macro) {
            give(new Input.Asked(now, macro));
            while (!core.running().isEmpty()) {
                step();
            }
            long until = now + SECOND / 100;
            while (next() <= until) {
                step();
            }
            now = until;
        }

        boolean broke(Macro macro) {
            return !"done".equals(ends.get(macro.name()))
                    || macro.promise().isPresent() && !holds(macro.promise().get());
        }

        private boolean holds(Condition condition) {
            return switch (condition) {
                case Condition.Is(PropertyRef ref, Condition.Test.Equal(Value value)) -> truth.get(ref).equals(value);
                case Condition.Is(PropertyRef ref, Condition.Test.Above(double limit)) ->
                    ((Value.Num) truth.get(ref)).number() > limit;
                case Condition.Is(PropertyRef ref, Condition.Test.Below(double limit)) ->
                    ((Value.Num) truth.get(ref)).number() < limit;
                case Condition.All(var of) -> of.stream().allMatch(this::holds);
                case Condition.Any(var of) -> of.stream().anyMatch(this::holds);
                case Condition.Not(var of) -> !holds(of);
                default -> throw new IllegalArgumentException("not made here: " + condition);
            };
        }

        State state() {
            Map<PropertyRef, Value> sent = new HashMap<>(assumed);
            refs().stream().filter(ref -> !site.property(ref).reported())
                    .forEach(ref -> core.belief(ref).value().ifPresent(value -> sent.put(ref, value)));
            return new State(Map.copyOf(truth), sent);
        }

        private long next() {
            long timer = timers.values().stream().mapToLong(Long::longValue).min().orElse(Long.MAX_VALUE);
            return Math.min(timer, nextComing().map(c -> c.at).orElse(Long.MAX_VALUE));
        }

        private Optional<Coming> nextComing() {
            return coming.stream().filter(c -> !c.to.isEmpty())
                    .min(Comparator.comparingLong(Coming::at).thenComparingInt(Coming::order));
        }

        private void step() {
            Optional<Map.Entry<Long, Long>> timer = timers.entrySet().stream()
                    .min(Map.Entry.<Long, Long>comparingByValue().thenComparing(Map.Entry.comparingByKey()));
            Optional<Coming> arrival = nextComing();
            if (timer.isPresent() && (arrival.isEmpty() || timer.get().getValue() <= arrival.get().at)) {
                long id = timer.get().getKey();
                now = Math.max(now, timers.remove(id));
                give(new Input.Due(now, id));
            } else {
                Coming there = arrival.orElseThrow();
                now = Math.max(now, there.at);
                coming.remove(there);
                there.to.forEach((name, value) -> truth.put(new PropertyRef(there.device, name), value));
                tell(there.device, there.to.keySet());
            }
        }

        private void give(Input input) {
            core.accept(input, effect -> {
                switch (effect) {
                    case Effect.Send(String device, Request request) -> receive(device, request);
                    case Effect.StartTimer(long id, long at) -> timers.put(id, at);
                    case Effect.StopTimer(long id) -> timers.remove(id);
                    case Effect.Record(Event event) -> {
                        if (event.what().equals("run")) {
                            runs.add(event.details().get("run"));
                        } else if (Set.of("done", "failed", "stopped").contains(event.what())) {
                            runs.remove(event.details().get("run"));
                            ends.put((String) event.details().get("macro"), event.what());
                        }
                    }
                    case Effect.ShowLamp _ -> {
                    }
                }
            });
        }

        private void receive(String device, Request request) {
            Map<String, Value> to = new LinkedHashMap<>();
            long takes = 0;
            Map<String, Property> properties = site.devices().get(device).kind().properties();
            switch (request) {
                case Request.SetProperty(_, String name, Value value, _, _) -> {
                    to.put(name, value);
                    takes = properties.get(name).takes().toNanos();
                    boolean there = truth.get(new PropertyRef(device, name)).equals(value)
                            && coming.stream().noneMatch(c -> c.device.equals(device) && c.to.containsKey(name)
                                    && !c.to.get(name).equals(value));
                    if (!there) {
                        properties.get(name).unsettles()
                                .forEach(other -> to.put(other, draw(properties.get(other).type())));
                    }
                }
                case Request.DoCommand(_, String name, _, _) -> {
                    Command command = site.devices().get(device).kind().commands().get(name);
                    takes = command.takes().toNanos();
                    command.effect().forEach((property, effect) -> {
                        Value before = truth.get(new PropertyRef(device, property));
                        to.put(property, switch (effect) {
                            case Command.Effect.Becomes(Value value) -> value;
                            case Command.Effect.Opposite() -> Value.of(!((Value.Flag) before).on());
                            case Command.Effect.FromProperty(String other) -> truth.get(new PropertyRef(device, other));
                            case Command.Effect.Unknown() -> draw(properties.get(property).type());
                            case Command.Effect.FromArgument _ -> throw new IllegalArgumentException("not made here");
                        });
                    });
                }
                case Request.AskProperty _ -> {
                    return;
                }
            }
            to.keySet().forEach(name -> assumed.remove(new PropertyRef(device, name)));
            coming.stream().filter(c -> c.device.equals(device)).forEach(c -> c.to.keySet().removeAll(to.keySet()));
            coming.add(new Coming(now + takes, ++orders, device, to));
        }

        @Override
        public Optional<Belief> heard(PropertyRef ref) {
            return Optional.ofNullable(assumed.get(ref))
                    .map(value -> new Belief(Belief.Basis.ASSUMED, Optional.of(value), 0));
        }

        private Value draw(PropertyType type) {
            List<Value> all = SmallSites.all(type);
            if (drawn == draws.size()) {
                draws.add(all.size());
            }
            return all.get(draws.get(drawn++) / 100);
        }
    }
}
