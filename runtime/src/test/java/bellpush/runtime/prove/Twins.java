package bellpush.runtime.prove;

import bellpush.config.model.Command;
import bellpush.config.model.Condition;
import bellpush.config.model.Device;
import bellpush.config.model.Kind;
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
import java.time.Duration;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Stream;

/**
 * One macro of two sites, pressed on the same gear: whether it is the same macro to everybody who watches the gear. Both are run from
 * every state of the gear that one of them can tell from another, with all gear well, with each device down, with each device
 * deaf, and with each property that takes its time on its way from somebody else's press. Has gear of its own and shares nothing
 * with the checker but the choice of values that stand for all others.
 */
final class Twins {
    enum Verdict {
        /** The same messages and changes at the same times, and the same end. */
        SAME,
        /** The same messages and changes, in an order that nobody can tell apart, and the same end, but not at the same times. */
        SAME_BUT_FOR_TIMES,
        /**
         * Each property goes through the same values in the same order, and ends the same; but messages to different devices, or about
         * properties between which the kinds declare nothing, are in another order, or one of them is told what it is already, or an
         * argument that no declared effect depends on is another one.
         */
        SAME_AS_DECLARED,
        /** As one of these with all gear well; with a device in trouble it ends alike, but may have come less far, or further. */
        SAME_WHILE_WELL, DIFFERENT
    }

    private static final String ON_ITS_WAY = " on its way";
    private static final int WAYS_MAX = 20_000;
    private static final long SECOND = 1_000_000_000L;
    private static final Duration SLOW = Duration.ofMillis(50);

    /** What is not well: a device is down or deaf, or a property is still on its way. All empty: nothing. */
    private record Moment(String down, String deaf, Optional<PropertyRef> moving, long inNanos) {
        static final Moment WELL = new Moment("", "", Optional.empty(), 0);
    }

    /** Whose steps the press finds under way and ends, if any. */
    private final Optional<String> under;
    private final String name;
    private final Slice one;
    private final Slice other;
    private final Regions regions;

    private Twins(Survey one, Survey other, String name, Optional<String> under) {
        this.name = name;
        this.under = under;
        Set<String> names = new TreeSet<>(Set.of(name));
        under.ifPresent(names::add);
        this.one = one.slice(names);
        this.other = other.slice(names);
        regions = new Regions(one.site, Stream.of(one, other)
                .flatMap(s -> names.stream().flatMap(each -> s.reached(each).stream()).map(s.parts::get)).toList());
    }

    /** @param why where they differ, in words; empty if they do not */
    record Outcome(Verdict verdict, String why) {
        static final Outcome SAME = new Outcome(Verdict.SAME, "");

        Outcome or(Outcome other) {
            return verdict.compareTo(other.verdict) < 0 ? other : this;
        }
    }

    static Outcome compare(Survey one, Survey other, String name) {
        if (!keptApartAlike(one, other, name)) {
            return new Outcome(Verdict.DIFFERENT, name + " is not kept apart from the same macros");
        }
        if (!policies(one, name).equals(policies(other, name))) {
            return new Outcome(Verdict.DIFFERENT,
                    name + " says something else of what happens when it is pressed again, or fails");
        }
        Outcome all = new Twins(one, other, name, Optional.empty()).compare(true);
        if (!tidies(one, name).equals(tidies(other, name))) {
            for (String by : endedBy(one, other, name)) {
                all = all.or(new Twins(one, other, by, Optional.of(name)).compare(false));
            }
        }
        return all;
    }

    private static List<Optional<String>> tidies(Survey survey, String name) {
        return survey.reached(name).stream().map(inner -> survey.site.macros().get(inner).onTakeover()).toList();
    }

    /** The macros that may end this one in its midst. */
    private static Set<String> endedBy(Survey one, Survey other, String name) {
        Set<String> by = new TreeSet<>();
        for (Survey survey : List.of(one, other)) {
            survey.gestures.keySet().stream().map(survey.site.macros()::get)
                    .filter(macro -> survey.endedBy(macro).contains(name)).map(Macro::name).forEach(by::add);
        }
        return by;
    }

    /** Lanes only matter between macros that have to do with each other: what is done by two that do not mixes without harm. */
    private static boolean keptApartAlike(Survey one, Survey other, String name) {
        return one.gestures.keySet().stream().filter(also -> !also.equals(name))
                .allMatch(also -> one.shareLane(name, also) == other.shareLane(name, also)
                        || apart(one, name, also) && apart(one, also, name) && apart(other, name, also)
                                && apart(other, also, name));
    }

    /**
     * Whether nothing that one changes means anything to the other, unless both give it one and the same value and look at it in
     * their promises only.
     */
    private static boolean apart(Survey survey, String changes, String looks) {
        Set<PropertyRef> seen = new HashSet<>();
        survey.reached(looks).forEach(inner -> survey.parts.get(inner).steps
                .forEach(step -> seen.addAll(Parts.read(survey.site, step))));
        return survey.changes(changes).stream().filter(survey.touches(looks)::contains)
                .allMatch(ref -> !seen.contains(ref) && oneValue(survey, changes, looks, ref));
    }

    private static boolean oneValue(Survey survey, String a, String b, PropertyRef ref) {
        Optional<Set<Value>> one = survey.fixedValues(a, ref);
        return one.isPresent() && one.get().size() == 1 && one.equals(survey.fixedValues(b, ref));
    }

    /** What counts only when other presses come into it, or when something fails; also of what a macro runs. */
    private static List<Object> policies(Survey survey, String name) {
        Macro macro = survey.site.macros().get(name);
        Map<String, List<Object>> failing = new TreeMap<>();
        survey.reached(name).forEach(inner -> {
            Macro runs = survey.site.macros().get(inner);
            failing.put(inner, List.of(runs.onFailure(), runs.within()));
        });
        return List.of(macro.again(), macro.repeatsMax(), macro.takesOver(), failing);
    }

    private Outcome compare(boolean everyMoment) {
        Outcome all = Outcome.SAME;
        for (Moment moment : everyMoment ? moments() : List.of(Moment.WELL)) {
            boolean well = moment.down.isEmpty() && moment.deaf.isEmpty();
            Choices choices = new Choices();
            int ways = 0;
            do {
                Map<Object, Object> chosen = new HashMap<>();
                Show a = new Gear(one, moment, choices, chosen).show();
                Show b = new Gear(other, moment, choices, chosen).show();
                if (++ways > WAYS_MAX) {
                    return new Outcome(Verdict.DIFFERENT, name + " has too many ways through it to compare them all");
                }
                Outcome outcome = a.like(b, chosen);
                all = all.or(outcome.verdict == Verdict.DIFFERENT && a.end.equals("failed") && b.end.equals("failed")
                        && !well ? new Outcome(Verdict.SAME_WHILE_WELL, outcome.why) : outcome);
                if (all.verdict == Verdict.DIFFERENT) {
                    return new Outcome(all.verdict, name + " " + all.why + (well ? "" : ", with a device in trouble"));
                }
            } while (choices.next());
        }
        return all;
    }

    private List<Moment> moments() {
        List<Moment> moments = new ArrayList<>(List.of(Moment.WELL));
        Set<String> devices = new TreeSet<>(one.site().devices().keySet());
        devices.addAll(other.site().devices().keySet());
        devices.forEach(device -> {
            moments.add(new Moment(device, "", Optional.empty(), 0));
            moments.add(new Moment("", device, Optional.empty(), 0));
        });
        for (Device device : one.site().devices().values()) {
            for (Property property : device.kind().properties().values()) {
                Stream.concat(Stream.of(property.takes()), device.kind().commands().values().stream()
                        .filter(c -> c.effect().containsKey(property.name())).map(Command::takes))
                        .filter(Duration::isPositive).max(Comparator.naturalOrder()).ifPresent(takes -> moments.add(
                                new Moment("", "", Optional.of(new PropertyRef(device.name(), property.name())),
                                        takes.toNanos() * 3 / 4)));
            }
        }
        return moments;
    }

    /** What is left otherwise. What neither has touched is the same; what only one has is compared with how it stood. */
    private static Set<PropertyRef> unlike(Map<PropertyRef, Value> a, Map<PropertyRef, Value> b,
            Map<Object, Object> chosen) {
        Set<PropertyRef> refs = new TreeSet<>(a.keySet());
        refs.addAll(b.keySet());
        refs.removeIf(ref -> {
            Object start = chosen.getOrDefault(ref, "as it was");
            return a.getOrDefault(ref, Value.of("as it was")).equals(b.getOrDefault(ref, Value.of("as it was")))
                    || start.equals(a.get(ref)) && !b.containsKey(ref)
                    || start.equals(b.get(ref)) && !a.containsKey(ref);
        });
        return refs;
    }

    /**
     * What there was to see of one press.
     *
     * @param order what was sent to each device in its order, as one entry for all that lies between two changes that took their
     *              time, and those changes; what only repeats the last message about a property is no message
     * @param timed all that was sent and all that changed, by when
     * @param left  how the gear stands in the end
     * @param trails each property's values, in order
     */
    private record Show(List<Map<String, List<String>>> order, Map<Long, Set<String>> timed, String end,
            Map<PropertyRef, Value> left, Map<PropertyRef, List<String>> trails) {
        Outcome like(Show other, Map<Object, Object> chosen) {
            if (!end.equals(other.end)) {
                return new Outcome(Verdict.DIFFERENT, "ends otherwise");
            }
            Set<PropertyRef> unlike = unlike(left, other.left, chosen);
            if (!unlike.isEmpty()) {
                return new Outcome(Verdict.DIFFERENT, "leaves " + unlike + " otherwise, which no promise speaks of");
            }
            if (!order.equals(other.order)) {
                Map<PropertyRef, List<String>> here = changes(chosen);
                Map<PropertyRef, List<String>> there = other.changes(chosen);
                Set<PropertyRef> otherwise = new TreeSet<>(here.keySet());
                otherwise.addAll(there.keySet());
                otherwise.removeIf(ref -> here.getOrDefault(ref, List.of()).equals(there.getOrDefault(ref, List.of())));
                return otherwise.isEmpty()
                        ? new Outcome(Verdict.SAME_AS_DECLARED, "")
                        : new Outcome(Verdict.DIFFERENT, "leads to the same, but takes " + otherwise + " another way");
            }
            return timed.equals(other.timed) ? Outcome.SAME : new Outcome(Verdict.SAME_BUT_FOR_TIMES, "");
        }

        /**
         * Each property's changes from where it began, which may have been looked at only after it was changed, or by the twin. That
         * somebody else's change comes before our own or never is chance: had that press come a moment earlier or later, it would
         * be the other way round.
         */
        private Map<PropertyRef, List<String>> changes(Map<Object, Object> chosen) {
            Map<PropertyRef, List<String>> changes = new TreeMap<>();
            trails.forEach((ref, trail) -> {
                List<String> from = trail.getFirst().equals(ref + " is " + chosen.get(ref))
                        ? trail.subList(1, trail.size())
                        : trail;
                List<String> ours = from.stream().filter(words -> !words.endsWith(ON_ITS_WAY)).toList();
                if (!ours.isEmpty()) {
                    changes.put(ref, ours);
                }
            });
            return changes;
        }
    }

    private final class Gear implements Elsewhere {
        /** @param slow whether it took its time; not told of what is on its way from another press */
        private record Coming(long at, int number, boolean slow, String device, Map<String, Unfolding> to) {}

        /** A value, or what it will be chosen by once somebody looks. */
        private record Unfolding(Optional<Value> value, Object key) {}

        private final Site site;
        private final Moment moment;
        private final Choices choices;
        /** By property, or by words; shared with the twin. */
        private final Map<Object, Object> chosen;
        private final Map<PropertyRef, Value> truth = new HashMap<>();
        /** What nobody has looked at since it was changed to nobody knows what. */
        private final Map<PropertyRef, Object> veiled = new HashMap<>();
        private final Map<PropertyRef, Value> sent = new HashMap<>();
        private final Set<PropertyRef> unheard = new HashSet<>();
        private final Map<PropertyRef, Integer> surprises = new HashMap<>();
        private final Map<Long, Long> timers = new TreeMap<>();
        private final List<Coming> coming = new ArrayList<>();
        private final List<Map<String, List<String>>> order = new ArrayList<>(List.of(new TreeMap<>()));
        private final Map<Long, Set<String>> timed = new TreeMap<>();
        private final Map<PropertyRef, List<String>> trails = new TreeMap<>();
        private final Set<Object> runs = new LinkedHashSet<>();
        private final Core core;
        private String end = "";
        private long now = SECOND;
        private int orders;
        private int inputs;

        Gear(Slice slice, Moment moment, Choices choices, Map<Object, Object> chosen) {
            site = slice.site();
            this.moment = moment;
            this.choices = choices;
            this.chosen = chosen;
            core = new Core(site, this);
            moment.moving.filter(ref -> site.devices().containsKey(ref.device()))
                    .ifPresent(ref -> coming.add(new Coming(now + moment.inNanos, 0, false, ref.device(),
                            new LinkedHashMap<>(
                                    Map.of(ref.property(), new Unfolding(Optional.empty(), ref + ON_ITS_WAY))))));
            give(new Input.Started(now));
            site.devices().keySet().forEach(device -> give(new Input.LinkChanged(now, device,
                    device.equals(moment.down) ? LinkState.DOWN : LinkState.UP, "")));
        }

        Show show() {
            under.ifPresent(other -> {
                give(new Input.Asked(now, other));
                for (int i = 0; !runs.isEmpty() && !breaksOff(i); i++) {
                    step();
                }
                now++; // two presses are two moments
            });
            long asked = now;
            give(new Input.Asked(now, name));
            long quiet = now + 5 * SECOND;
            while (!runs.isEmpty() || nextComing().isPresent() || nextTimer() <= quiet) {
                boolean running = !runs.isEmpty();
                step();
                quiet = running ? now + 5 * SECOND : quiet;
            }
            Map<Long, Set<String>> since = new TreeMap<>();
            timed.forEach((at, what) -> since.put(at - asked, what));
            // What nobody has looked at is the same if it is called the same.
            veiled.forEach((ref, key) -> truth.put(ref, chosen.containsKey(key)
                    ? (Value) chosen.get(key)
                    : Value.of(key.toString())));
            return new Show(order, since, end, truth, trails);
        }

        private boolean breaksOff(int moment) {
            return (boolean) chosen.computeIfAbsent("broken off at " + moment, _ -> choices.pick(2) == 1);
        }

        private void step() {
            if (++inputs > 5_000) {
                throw new IllegalStateException(name + " does not end");
            }
            long timer = nextTimer();
            Optional<Coming> arrival = nextComing();
            if (arrival.isEmpty() || timer <= arrival.get().at) {
                long id = timers.entrySet().stream().min(Map.Entry.<Long, Long>comparingByValue()
                        .thenComparing(Map.Entry.comparingByKey())).orElseThrow().getKey();
                now = Math.max(now, timers.remove(id));
                give(new Input.Due(now, id));
            } else {
                Coming there = arrival.get();
                now = Math.max(now, there.at);
                coming.remove(there);
                if (there.slow) {
                    order.add(new TreeMap<>());
                }
                Map<String, Value> told = new LinkedHashMap<>();
                there.to.forEach((property, to) -> {
                    PropertyRef ref = new PropertyRef(there.device, property);
                    Value before = truth.containsKey(ref) ? truth.get(ref) : (Value) chosen.get(ref);
                    truth.remove(ref);
                    veiled.remove(ref);
                    to.value.ifPresentOrElse(value -> truth.put(ref, value), () -> veiled.put(ref, to.key));
                    if (to.value.isEmpty() || !to.value.get().equals(before)) {
                        String words = ref + " is " + (to.value.isPresent() ? to.value.get() : to.key);
                        saw(words);
                        trails.computeIfAbsent(ref, _ -> new ArrayList<>()).add(words);
                        if (there.slow) {
                            note(there.device, words);
                        }
                    }
                    if (site.property(ref).reported()) {
                        to.value.ifPresent(value -> told.put(property, value));
                    }
                });
                give(new Input.Reported(now, there.device, told, 0));
            }
        }

        private long nextTimer() {
            return timers.values().stream().mapToLong(Long::longValue).min().orElse(Long.MAX_VALUE);
        }

        private Optional<Coming> nextComing() {
            return coming.stream().filter(c -> !c.to.isEmpty())
                    .min(Comparator.comparingLong(Coming::at).thenComparingInt(Coming::number));
        }

        private void saw(String what) {
            timed.computeIfAbsent(now, _ -> new TreeSet<>()).add(what);
        }

        private void give(Input input) {
            core.accept(input, effect -> {
                switch (effect) {
                    case Effect.Send(String device, Request request) -> receive(device, request);
                    case Effect.StartTimer(long id, long at) -> timers.put(id, at);
                    case Effect.StopTimer(long id) -> timers.remove(id);
                    case Effect.Record(Event event) -> record(event);
                    case Effect.ShowLamp _ -> {
                    }
                }
            });
        }

        private void record(Event event) {
            switch (event.what()) {
                case "run" -> runs.add(event.details().get("run"));
                case "done", "failed", "stopped" -> {
                    runs.remove(event.details().get("run"));
                    end = event.what();
                }
                case "say" -> saw("says " + event.details().get("text"));
                default -> {
                }
            }
        }

        // --- the devices

        private void receive(String device, Request request) {
            Kind kind = site.devices().get(device).kind();
            Map<String, Unfolding> to = new LinkedHashMap<>();
            Duration takes;
            switch (request) {
                case Request.SetProperty(_, String property, Value value, _, Duration over) -> {
                    PropertyRef ref = new PropertyRef(device, property);
                    if (!value.equals(sent.put(ref, value))) {
                        message(device, "set " + property + " " + value + (over.isPositive() ? " over " + over : ""));
                    }
                    List<String> unsettles = kind.properties().get(property).unsettles();
                    if (!unsettles.isEmpty()) {
                        hold(ref);
                        boolean there = truth(ref).equals(value) && coming.stream()
                                .noneMatch(c -> c.device.equals(device) && c.to.containsKey(property)
                                        && !c.to.get(property).value.equals(Optional.of(value)));
                        if (!there) {
                            unsettles.forEach(other -> to.put(other, surprise(new PropertyRef(device, other))));
                        }
                    }
                    to.put(property, new Unfolding(Optional.of(value), ""));
                    takes = over.isPositive() ? over : kind.properties().get(property).takes();
                }
                case Request.DoCommand(_, String command, var arguments, _) -> {
                    message(device, "do " + command + " " + new TreeMap<>(arguments));
                    Command does = kind.commands().get(command);
                    does.effect().forEach((property, effect) -> {
                        PropertyRef ref = new PropertyRef(device, property);
                        sent.remove(ref);
                        become(ref, effect, arguments)
                                .filter(u -> u.value.map(site.property(ref).type()::accepts).orElse(true))
                                .ifPresent(unfolding -> to.put(property, unfolding));
                    });
                    takes = does.takes();
                }
                case Request.AskProperty _ -> {
                    return;
                }
            }
            if (device.equals(moment.deaf)) {
                to.keySet().forEach(property -> unheard.add(new PropertyRef(device, property)));
                return;
            }
            coming.stream().filter(c -> c.device.equals(device)).forEach(c -> c.to.keySet().removeAll(to.keySet()));
            coming.add(new Coming(now + takes.toNanos(), ++orders, takes.compareTo(SLOW) > 0, device, to));
        }

        private Optional<Unfolding> become(PropertyRef ref, Command.Effect effect, Map<String, Value> arguments) {
            return switch (effect) {
                case Command.Effect.Becomes(Value value) -> Optional.of(new Unfolding(Optional.of(value), ""));
                case Command.Effect.FromArgument(String argument) -> Optional.ofNullable(arguments.get(argument))
                        .map(value -> new Unfolding(Optional.of(value), ""));
                case Command.Effect.Unknown() -> Optional.of(surprise(ref));
                case Command.Effect.Opposite() -> {
                    hold(ref);
                    yield Optional
                            .of(new Unfolding(Optional.of(Value.of(!((Value.Flag) truth(ref)).on())), ""));
                }
                case Command.Effect.FromProperty(String other) -> {
                    PropertyRef from = new PropertyRef(ref.device(), other);
                    hold(from);
                    yield Optional.of(new Unfolding(Optional.of(truth(from)), ""));
                }
            };
        }

        private void message(String device, String words) {
            note(device, words);
            saw(device + ": " + words);
        }

        private void note(String device, String words) {
            order.getLast().computeIfAbsent(device, _ -> new ArrayList<>()).add(words);
        }

        /** A core on gear that tells would know it by now. */
        private void hold(PropertyRef ref) {
            core.judge(new Condition.Is(ref, new Condition.Test.Equal(Value.of(true))));
        }

        // --- how everything stands

        private Value truth(PropertyRef ref) {
            Value known = truth.get(ref);
            if (known == null) {
                Object key = veiled.remove(ref);
                known = (Value) choice(key == null ? ref : key, regions.of(ref));
                truth.put(ref, known);
            }
            return known;
        }

        private Unfolding surprise(PropertyRef ref) {
            return new Unfolding(Optional.empty(), ref + " surprises " + surprises.merge(ref, 1, Integer::sum));
        }

        private <T> Object choice(Object key, List<T> of) {
            Object known = chosen.get(key);
            if (known == null) {
                known = of.get(choices.pick(of.size()));
                chosen.put(key, known);
            }
            return known;
        }

        @Override
        public Optional<Belief> heard(PropertyRef ref) {
            if (ref.device().equals(moment.down) || unheard.contains(ref) || coming.stream()
                    .anyMatch(c -> c.device.equals(ref.device()) && c.to.containsKey(ref.property()))) {
                return Optional.empty();
            }
            if (site.property(ref).reported()) {
                return Optional.of(new Belief(Belief.Basis.REPORTED, Optional.of(truth(ref)), 0));
            }
            if (sent.containsKey(ref) || surprises.containsKey(ref)) {
                return Optional.empty();
            }
            List<Optional<Value>> past = new ArrayList<>(List.of(Optional.empty()));
            regions.of(ref).forEach(value -> past.add(Optional.of(value)));
            Optional<?> assumed = (Optional<?>) choice(ref + " was sent", past);
            return assumed.map(value -> new Belief(Belief.Basis.ASSUMED, Optional.of((Value) value), 0));
        }

        @Override
        public boolean settled() {
            return true;
        }

        @Override
        public Duration glideStep() {
            return Duration.ofSeconds(1);
        }

        @Override
        public boolean running(String macro) {
            return (Boolean) choice(macro + " runs", List.of(false, true));
        }

        @Override
        public boolean failed(String macro) {
            return (Boolean) choice(macro + " failed", List.of(false, true));
        }

        @Override
        public Optional<Boolean> on(String control) {
            return Optional.of((Boolean) choice(control + " on", List.of(false, true)));
        }
    }
}
