package bellpush.runtime.prove;

import bellpush.config.model.Command;
import bellpush.config.model.Condition;
import bellpush.config.model.LinkState;
import bellpush.config.model.Property;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Value;
import bellpush.drivers.spi.Request;
import bellpush.runtime.core.Belief;
import bellpush.runtime.core.Elsewhere;
import java.time.Duration;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.PriorityQueue;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;

/**
 * The gear as its kinds declare it, and everything else that a macro may ask about. A device does what it is sent in the order in
 * which it comes, needs the whole of its declared time, and then tells the new value if its kind ever tells it. What anything
 * stands at before it was sent something is chosen when it is first asked for, and never otherwise.
 */
final class World implements Elsewhere {
    /** Properties on their way together; one that is sent something else meanwhile drops out. */
    private record Change(long at, long order, String device, Map<PropertyRef, Unknown> targets, boolean command)
            implements
                Comparable<Change> {
        @Override
        public int compareTo(Change other) {
            int byTime = Long.compare(at, other.at);
            return byTime != 0 ? byTime : Long.compare(order, other.order);
        }
    }

    private final Slice slice;
    private final Choices choices;
    /** What is assumed of properties that no device tells, from presses before the story's first. */
    private final Map<PropertyRef, Value> assumedBefore;
    private final Trouble trouble;
    /** What is on its way from a press before the story begins, and what the core assumes of it. */
    private final Map<PropertyRef, Value> assumedOnTheWay = new HashMap<>();
    private final Map<PropertyRef, Unknown> truth = new HashMap<>();
    private final Map<PropertyRef, Change> moving = new HashMap<>();
    private final PriorityQueue<Change> changes = new PriorityQueue<>();
    private final Set<PropertyRef> touched = new HashSet<>();
    /** What the core does not hold any more, though it has not changed, so that nothing tells it, and nobody can ask. */
    private final Set<PropertyRef> unheard = new TreeSet<>();
    private final Map<String, Boolean> facts = new TreeMap<>();
    private final Map<String, LinkState> links = new HashMap<>();
    /** What was chosen, in the order in which it was asked for. */
    final List<Unknown> chosen = new ArrayList<>();
    final Set<PropertyRef> askedOfHistory = new LinkedHashSet<>();
    private long orders;
    int outside;

    World(Slice slice, Choices choices, Map<PropertyRef, Value> assumedBefore, Trouble trouble) {
        this.slice = slice;
        this.choices = choices;
        this.assumedBefore = assumedBefore;
        this.trouble = trouble;
    }

    void link(String device, LinkState state) {
        links.put(device, state);
    }

    // --- what the core asks

    @Override
    public Optional<Belief> heard(PropertyRef ref) {
        if (links.get(ref.device()) != LinkState.UP) {
            return Optional.empty();
        }
        if (!slice.site().property(ref).reported()) {
            if (touched.contains(ref)) {
                return Optional.empty();
            }
            if (moving.containsKey(ref)) {
                return Optional.ofNullable(assumedOnTheWay.get(ref))
                        .map(value -> new Belief(Belief.Basis.ASSUMED, Optional.of(value), 0));
            }
            askedOfHistory.add(ref);
            return Optional.ofNullable(assumedBefore.get(ref))
                    .map(value -> new Belief(Belief.Basis.ASSUMED, Optional.of(value), 0));
        }
        if (unheard.contains(ref)) {
            return Optional.empty();
        }
        return moving.containsKey(ref)
                ? Optional.ofNullable(assumedOnTheWay.get(ref))
                        .map(value -> new Belief(Belief.Basis.ASSUMED, Optional.of(value), 0))
                : Optional.of(new Belief(Belief.Basis.REPORTED, Optional.of(value(ref)), 0));
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
        return fact(macro + " is running");
    }

    @Override
    public boolean failed(String macro) {
        return fact(macro + " has just failed");
    }

    @Override
    public Optional<Boolean> on(String control) {
        return Optional.of(fact("the switch " + control + " is on"));
    }

    private boolean fact(String words) {
        return facts.computeIfAbsent(words, _ -> choices.pick(2) == 1);
    }

    /** What else was asked and is so, in words. */
    List<String> facts() {
        return facts.entrySet().stream().map(e -> e.getValue() ? e.getKey() : "not: " + e.getKey()).toList();
    }

    // --- what is so

    private Unknown truth(PropertyRef ref) {
        return truth.computeIfAbsent(ref, _ -> new Unknown(ref, Unknown.Origin.START));
    }

    /** Whether nobody has asked for it, and it was sent nothing. */
    boolean open(PropertyRef ref) {
        return truth(ref).open();
    }

    /** What the property truly is now; chosen if need be. */
    Value value(PropertyRef ref) {
        Unknown unknown = truth(ref);
        if (unknown.open()) {
            choose(unknown);
        }
        return unknown.value;
    }

    private void choose(Unknown unknown) {
        List<Value> values = slice.regions().of(unknown.of);
        Value before = unknown.origin == Unknown.Origin.START ? assumedBefore.get(unknown.of) : null;
        if (before == null) {
            unknown.value = values.get(choices.pick(values.size()));
        } else {
            // As it was left, or somebody has changed it since, which no device tells.
            List<Value> others = values.stream().filter(v -> !same(unknown.of, v, before)).toList();
            int way = choices.pick(1 + others.size());
            unknown.value = way == 0 ? before : others.get(way - 1);
            if (way > 0) {
                unknown.origin = Unknown.Origin.HAND;
                outside++;
            }
        }
        chosen.add(unknown);
    }

    private boolean same(PropertyRef ref, Value a, Value b) {
        return slice.site().property(ref).type().same(a, b);
    }

    /** Whether setting the property to this value surely changes nothing. */
    boolean isAlready(PropertyRef ref, Value value) {
        Unknown present = truth(ref);
        return !present.open() && !moving.containsKey(ref) && same(ref, present.value, value);
    }

    /** Whether it is there already, and stays: what is sent again on the way to where it stands moves nothing. */
    private boolean repeats(PropertyRef ref, Value value) {
        Unknown present = truth(ref);
        Change change = moving.get(ref);
        Unknown to = change == null ? present : change.targets.get(ref);
        return !present.open() && same(ref, present.value, value) && !to.open() && same(ref, to.value, value);
    }

    /** Whether a condition on properties truly holds; other conditions are for {@code rest} to judge. */
    boolean holds(Condition condition, java.util.function.Predicate<Condition> rest) {
        return switch (condition) {
            case Condition.Is(PropertyRef ref, Condition.Test test) -> {
                Value value = value(ref);
                PropertyType type = slice.site().property(ref).type();
                yield switch (test) {
                    case Condition.Test.Equal(Value wanted) -> type.same(value, wanted);
                    case Condition.Test.Above(double limit) -> value instanceof Value.Num(double n) && n > limit;
                    case Condition.Test.Below(double limit) -> value instanceof Value.Num(double n) && n < limit;
                };
            }
            case Condition.All(var of) -> of.stream().allMatch(c -> holds(c, rest));
            case Condition.Any(var of) -> of.stream().anyMatch(c -> holds(c, rest));
            case Condition.Not(var of) -> !holds(of, rest);
            default -> rest.test(condition);
        };
    }

    // --- what is sent

    /** Properties that decide what a command or set leads to, and have to be known to the core before it leaves. */
    List<PropertyRef> decides(String device, Request request) {
        List<PropertyRef> refs = new ArrayList<>();
        switch (request) {
            case Request.DoCommand act -> command(device, act).effect().forEach((name, effect) -> {
                if (effect instanceof Command.Effect.Opposite) {
                    refs.add(new PropertyRef(device, name));
                } else if (effect instanceof Command.Effect.FromProperty(String other)) {
                    refs.add(new PropertyRef(device, other));
                }
            });
            case Request.SetProperty set -> {
                PropertyRef ref = new PropertyRef(device, set.property());
                if (!slice.site().property(ref).unsettles().isEmpty()) {
                    refs.add(ref);
                }
            }
            case Request.AskProperty _ -> {
            }
        }
        return refs;
    }

    /** The properties that a message changes at once or in time. */
    List<PropertyRef> changed(String device, Request request) {
        return switch (request) {
            case Request.SetProperty set -> List.of(new PropertyRef(device, set.property()));
            case Request.DoCommand act -> command(device, act).effect().keySet().stream()
                    .map(name -> new PropertyRef(device, name)).toList();
            case Request.AskProperty _ -> List.of();
        };
    }

    Command command(String device, Request.DoCommand act) {
        return slice.site().devices().get(device).kind().commands().get(act.command());
    }

    /**
     * The device gets a message now.
     *
     * @param asHeld whether the core holds that the property is what it is set to: else it takes for unsettled what that unsettles
     */
    void receive(long now, String device, Request request, boolean asHeld) {
        Map<PropertyRef, Unknown> targets = new LinkedHashMap<>();
        long takes = 0;
        switch (request) {
            case Request.SetProperty(_, String name, Value value, _, Duration over) -> {
                PropertyRef ref = new PropertyRef(device, name);
                Property property = slice.site().property(ref);
                List<PropertyRef> silent = property.unsettles().stream().map(other -> new PropertyRef(device, other))
                        .filter(other -> slice.site().property(other).reported()
                                && slice.site().property(other).ask().isEmpty())
                        .toList();
                if (!silent.isEmpty() && !moving.containsKey(ref)) {
                    value(ref); // whether they are told again depends on it
                }
                boolean there = repeats(ref, value);
                targets.put(ref, Unknown.known(ref, value));
                if (there && !asHeld) {
                    unheard.addAll(silent);
                } else if (!there) {
                    property.unsettles().stream().map(other -> new PropertyRef(device, other))
                            .forEach(other -> targets.put(other, new Unknown(other, Unknown.Origin.EFFECT)));
                }
                takes = (over.isPositive() ? over : property.takes()).toNanos();
            }
            case Request.DoCommand act -> {
                Command command = command(device, act);
                command.effect().forEach((name, effect) -> {
                    PropertyRef ref = new PropertyRef(device, name);
                    target(ref, effect, act).filter(
                            to -> to.open() || slice.site().property(ref).type().accepts(to.value))
                            .ifPresent(to -> targets.put(ref, to));
                });
                takes = command.takes().toNanos();
            }
            case Request.AskProperty _ -> {
                return;
            }
        }
        touched.addAll(targets.keySet());
        unheard.removeAll(targets.keySet());
        assumedOnTheWay.keySet().removeAll(targets.keySet());
        for (PropertyRef ref : targets.keySet()) {
            Change before = moving.remove(ref);
            if (before != null) {
                before.targets.remove(ref);
            }
        }
        Change change = new Change(now + takes, ++orders, device, targets,
                request instanceof Request.DoCommand);
        targets.keySet().forEach(ref -> moving.put(ref, change));
        if (!trouble.deaf(device)) {
            changes.add(change);
        }
    }

    private Optional<Unknown> target(PropertyRef ref, Command.Effect effect, Request.DoCommand act) {
        return switch (effect) {
            case Command.Effect.Becomes(Value value) -> Optional.of(Unknown.known(ref, value));
            case Command.Effect.Opposite() -> Optional.of(value(ref)).filter(Value.Flag.class::isInstance)
                    .map(v -> Unknown.known(ref, Value.of(!((Value.Flag) v).on())));
            case Command.Effect.FromArgument(String argument) -> Optional.ofNullable(act.arguments().get(argument))
                    .map(v -> Unknown.known(ref, v));
            case Command.Effect.FromProperty(String other) -> {
                PropertyRef from = new PropertyRef(ref.device(), other);
                if (!slice.site().property(from).type().equals(slice.site().property(ref).type())) {
                    value(from); // whether it fits can only be told of a value
                }
                yield Optional.of(truth(from));
            }
            case Command.Effect.Unknown() -> Optional.of(new Unknown(ref, Unknown.Origin.EFFECT));
        };
    }

    /** Part of a change that is on its way: to what, when it is there, and what the core assumes meanwhile. */
    record Moving(PropertyRef ref, Optional<Value> to, long inNanos, Optional<Value> assumed) {}

    List<Moving> onTheWay(long now, java.util.function.Function<PropertyRef, Optional<Value>> assumed) {
        List<Moving> all = new ArrayList<>();
        new TreeMap<>(moving).forEach((ref, change) -> all.add(new Moving(ref,
                Optional.ofNullable(change.targets.get(ref).value), change.at - now, assumed.apply(ref))));
        return all;
    }

    /** Begins with these on their way. */
    void begin(long now, List<Moving> all) {
        for (Moving one : all) {
            Unknown to = one.to.map(value -> Unknown.known(one.ref, value))
                    .orElseGet(() -> new Unknown(one.ref, Unknown.Origin.EFFECT));
            Change change = new Change(now + one.inNanos, ++orders, one.ref.device(),
                    new LinkedHashMap<>(Map.of(one.ref, to)), true);
            moving.put(one.ref, change);
            changes.add(change);
            one.assumed.ifPresent(value -> assumedOnTheWay.put(one.ref, value));
        }
    }

    /** When the next change is complete, or {@link Long#MAX_VALUE}. */
    long nextAt() {
        while (!changes.isEmpty() && changes.peek().targets.isEmpty()) {
            changes.poll();
        }
        return changes.isEmpty() ? Long.MAX_VALUE : changes.peek().at;
    }

    /** What a device has come to. */
    record Arrived(String device, Map<String, Value> told) {}

    /** The next change is complete. What nobody has asked for is told when it is asked for. */
    Arrived arrive() {
        Change change = changes.poll();
        Map<String, Value> told = new LinkedHashMap<>();
        change.targets.forEach((ref, to) -> {
            moving.remove(ref);
            truth.put(ref, to);
            if (!to.open() && slice.site().property(ref).reported()) {
                told.put(ref.property(), to.value);
            }
        });
        return new Arrived(change.device, told);
    }

    /** Of each property that was looked at or sent something, what it is and what it is going to be, and when. */
    Map<PropertyRef, String> state(long now) {
        Map<PropertyRef, String> state = new TreeMap<>();
        truth.forEach((ref, is) -> {
            if (!is.open() || !is.of.equals(ref) || is.origin != Unknown.Origin.START) {
                state.put(ref, words(is));
            }
        });
        moving.forEach((ref, change) -> state.merge(ref,
                " to " + words(change.targets.get(ref)) + " in " + (change.at - now), String::concat));
        return state;
    }

    private static String words(Unknown unknown) {
        return unknown.open() ? "?" + unknown.of + unknown.origin : unknown.value.toString();
    }

    /** Whether a command that takes its time is on its way to change the property. */
    boolean commanded(PropertyRef ref, long now) {
        Change change = moving.get(ref);
        return change != null && change.command && change.at > now;
    }

    /** Whether nothing was sent that changes the property. */
    boolean untouched(PropertyRef ref) {
        return !touched.contains(ref);
    }

    Set<PropertyRef> unheard() {
        return unheard;
    }

    /** What is still on its way, for {@link Trial} to look at. */
    Set<PropertyRef> moving() {
        return moving.keySet();
    }

    /** Between presses: somebody may change one of these at the device. Gives what was changed, to be told to the core. */
    Optional<PropertyRef> hand(List<PropertyRef> refs) {
        List<PropertyRef> changed = new ArrayList<>();
        List<Value> to = new ArrayList<>();
        for (PropertyRef ref : refs) {
            Unknown present = truth(ref);
            for (Value value : slice.regions().of(ref)) {
                if (present.open() || !same(ref, present.value, value)) {
                    changed.add(ref);
                    to.add(value);
                }
            }
        }
        int way = choices.pick(1 + changed.size());
        if (way == 0) {
            return Optional.empty();
        }
        Unknown by = new Unknown(changed.get(way - 1), Unknown.Origin.HAND);
        by.value = to.get(way - 1);
        chosen.add(by);
        outside++;
        truth.put(by.of, by);
        return Optional.of(by.of);
    }
}
