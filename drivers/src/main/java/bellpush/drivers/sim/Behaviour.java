package bellpush.drivers.sim;

import bellpush.config.model.Answers;
import bellpush.config.model.Command;
import bellpush.config.model.Command.Effect;
import bellpush.config.model.Kind;
import bellpush.config.model.Property;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Speeds;
import bellpush.config.model.Template;
import bellpush.config.model.Value;
import bellpush.drivers.link.MessageCodec;
import bellpush.drivers.link.Timers;
import java.nio.ByteBuffer;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Collections;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.function.Consumer;
import java.util.function.Supplier;
import java.util.random.RandomGenerator;

/**
 * What a device of a kind does: the messages it understands, what they change, how long that takes, and what it says. It
 * knows no sockets and no clock. All calls on one thread, except {@link #values()}.
 *
 * <p>A number property with a table of speeds moves as fast as the table says: driven by its speed, and at the greatest one to
 * where it is set. A move of the device's own takes its time. On the way it tells where it is.
 *
 * <p>What it remembers is bounded whatever it is sent: one change in progress for each property, and the last numbered
 * message of a few peers.
 */
final class Behaviour<F> {
    private static final int PEERS_REMEMBERED = 16;
    private static final String VALUE = "value";
    private static final String SEQUENCE = "sequence";
    private static final String OVER = "over";

    private final Kind kind;
    private final MessageCodec<F> codec;
    private final Timers timers;
    private final Consumer<F> everybody;
    private final RandomGenerator random;
    private final List<Sense> senses;
    private final Map<Template, Set<String>> reportFields = new LinkedHashMap<>();

    /** The change in progress for each property that is on its way. */
    private final Map<String, Change> moving = new HashMap<>();
    private final Motions motions;
    /** What each speed moves, by the speed's name. */
    private final Map<String, List<Property>> driven = new HashMap<>();
    private final Map<Peer<F>, Numbered> lastNumbered = new LinkedHashMap<>(16, 0.75f, true);
    private volatile Map<String, Value> values;
    private boolean refusing;
    private volatile long notUnderstood;

    /** @param everybody where reports go: to all who are connected */
    Behaviour(Kind kind, MessageCodec<F> codec, Timers timers, long seed, Consumer<F> everybody) {
        this.kind = kind;
        this.codec = codec;
        this.timers = timers;
        this.everybody = everybody;
        this.random = new SplittableRandom(seed);
        this.senses = senses(kind);
        for (Template report : kind.reports()) {
            reportFields.put(report, Shape.of(report).fields());
        }
        kind.properties().values().forEach(p -> p.speeds()
                .ifPresent(speeds -> driven.computeIfAbsent(speeds.by(), _ -> new ArrayList<>()).add(p)));
        this.motions = new Motions(timers, (moved, told) -> {
            put(moved);
            if (told) {
                report(moved.keySet());
            }
        });
        this.values = asNew(kind);
    }

    /** What the properties are now. A snapshot; may be called from any thread. */
    Map<String, Value> values() {
        return values;
    }

    /** Messages so far that the kind has no words for, or whose values it does not take. */
    long notUnderstood() {
        return notUnderstood;
    }

    /** From now on, says no to sets and commands, or does nothing where its kind has no word for no. */
    void refusing(boolean on) {
        refusing = on;
    }

    /** What the device says to one who has just connected. */
    Optional<F> greeting() {
        return kind.greeting().flatMap(t -> encode(t, fields(Map.of())));
    }

    /** A frame that was no message at all. */
    void malformed() {
        notUnderstood++;
    }

    void received(F message, Peer<F> from) {
        motions.settle();
        Map<String, Value> shaped = null;
        for (Sense sense : senses) {
            Map<String, Value> wire = codec.match(sense.template, message).orElse(null);
            if (wire != null) {
                Optional<Map<String, Value>> site = accept(sense.meaning, wire);
                if (site.isPresent()) {
                    act(sense, wire, site.get(), message, from);
                    return;
                }
                shaped = shaped == null ? wire : shaped;
            }
        }
        notUnderstood++;
        refuse(from, shaped == null ? Map.of() : shaped);
    }

    /**
     * Somebody changes properties at the device itself. At once: the hand at the knob is the movement.
     *
     * @param changed names and values of the kind, as {@link #complaint} finds them
     */
    void change(Map<String, Value> changed) {
        motions.settle();
        supersede(changed.keySet());
        put(changed);
        Set<String> told = new LinkedHashSet<>(changed.keySet());
        told.addAll(follow(changed.keySet()));
        report(told);
    }

    /** What is wrong with such a change, or empty. */
    static Optional<String> complaint(Kind kind, Map<String, Value> changed) {
        for (Map.Entry<String, Value> e : changed.entrySet()) {
            Property property = kind.properties().get(e.getKey());
            if (property == null) {
                return Optional.of("the kind " + kind.name() + " has no property " + e.getKey());
            }
            if (!property.type().accepts(e.getValue())) {
                return Optional.of("the property " + e.getKey() + " cannot be " + e.getValue());
            }
        }
        return Optional.empty();
    }

    /** The power goes: what was on its way stays where it is. */
    void stop() {
        motions.settle();
        motions.stop();
        moving.values().forEach(c -> c.timer.cancel());
        moving.clear();
        lastNumbered.clear();
    }

    /** Switched on as when new. */
    void restart() {
        stop();
        values = asNew(kind);
    }

    /** Forgets a peer that has gone. */
    void forget(Peer<F> peer) {
        lastNumbered.remove(peer);
    }

    // --- understanding ---

    /** One message the device listens for. */
    private record Sense(Template template, Meaning meaning, int fixed) {}

    private sealed interface Meaning {
        record Sets(Property property) implements Meaning {}

        record Moves(Property property) implements Meaning {}

        record Does(Command command) implements Meaning {}

        record Asks(Property property) implements Meaning {}

        record Beats() implements Meaning {}
    }

    /** A message with a sequence number, to know it again when it is repeated because our answer was lost. */
    private record Numbered(Template template, Map<String, Value> wire) {}

    /**
     * The most specific first, so that {@code NAME ?} is a question and not a name; of equals, first sets, then commands,
     * questions, the heartbeat.
     */
    private static List<Sense> senses(Kind kind) {
        List<Sense> all = new ArrayList<>();
        for (Property p : kind.properties().values()) {
            p.set().ifPresent(t -> all.add(sense(t, new Meaning.Sets(p))));
        }
        for (Property p : kind.properties().values()) {
            p.move().ifPresent(move -> all.add(sense(move.send(), new Meaning.Moves(p))));
        }
        for (Command c : kind.commands().values()) {
            all.add(sense(c.send(), new Meaning.Does(c)));
        }
        for (Property p : kind.properties().values()) {
            p.ask().ifPresent(t -> all.add(sense(t, new Meaning.Asks(p))));
        }
        kind.heartbeat().ifPresent(h -> all.add(sense(h.send(), new Meaning.Beats())));
        all.sort(Comparator.comparingInt((Sense s) -> -s.fixed));
        return List.copyOf(all);
    }

    private static Sense sense(Template template, Meaning meaning) {
        return new Sense(template, meaning, Shape.of(template).fixed());
    }

    /** The site values in the message by the names of properties or arguments, or empty if one is not what it can be. */
    private Optional<Map<String, Value>> accept(Meaning meaning, Map<String, Value> wire) {
        Map<String, PropertyType> arguments = switch (meaning) {
            case Meaning.Does(Command c) -> c.arguments();
            case Meaning.Moves(Property p) -> Map.of(OVER, p.move().orElseThrow().type());
            case Meaning.Sets _,Meaning.Asks _,Meaning.Beats _ -> Map.of();
        };
        Optional<Property> own = switch (meaning) {
            case Meaning.Sets(Property p) -> Optional.of(p);
            case Meaning.Moves(Property p) -> Optional.of(p);
            case Meaning.Does _,Meaning.Asks _,Meaning.Beats _ -> Optional.empty();
        };
        Map<String, Value> site = new LinkedHashMap<>();
        for (Map.Entry<String, Value> e : wire.entrySet()) {
            String name = own.isPresent() && e.getKey().equals(VALUE) ? own.get().name() : e.getKey();
            PropertyType type = arguments.get(name);
            if (type == null && kind.properties().containsKey(name)) {
                type = kind.properties().get(name).type();
            }
            if (type != null) {
                Optional<Value> value = type.fromWire(e.getValue());
                if (value.isEmpty()) {
                    return Optional.empty();
                }
                site.put(name, value.get());
            }
        }
        boolean complete = own.isEmpty() || site.containsKey(own.get().name());
        complete &= !(meaning instanceof Meaning.Moves) || site.containsKey(OVER);
        return complete ? Optional.of(site) : Optional.empty();
    }

    // --- acting ---

    private void act(Sense sense, Map<String, Value> wire, Map<String, Value> site, F message, Peer<F> from) {
        switch (sense.meaning) {
            case Meaning.Sets(Property p) -> {
                // What is already so needs no time; saying it again gives the sender certainty.
                boolean there = p.type().same(site.get(p.name()), values.get(p.name()));
                obey(sense, wire, from, () -> unsettled(p, site), there ? Duration.ZERO : p.takes(),
                        Duration.ZERO);
            }
            case Meaning.Moves(Property p) -> {
                Duration over = site.remove(OVER) instanceof Value.Num(double units)
                        ? p.move().orElseThrow().time(units)
                        : Duration.ZERO;
                obey(sense, wire, from, () -> site, Duration.ZERO, over);
            }
            case Meaning.Does(Command c) -> obey(sense, wire, from, () -> targets(c, site), c.takes(), Duration.ZERO);
            case Meaning.Asks _ -> answer(sense, wire, message, from);
            case Meaning.Beats _ -> beat(wire, from);
        }
    }

    /** The values that are set, and something else for what they unsettle. */
    private Map<String, Value> unsettled(Property set, Map<String, Value> site) {
        Map<String, Value> targets = new LinkedHashMap<>(site);
        if (set.type().same(site.get(set.name()), values.get(set.name()))) {
            return targets; // a speed of 0 moves nothing that stands
        }
        Set<String> reckoned = new HashSet<>();
        driven.getOrDefault(set.name(), List.of()).forEach(p -> reckoned.add(p.name()));
        for (String name : set.unsettles()) {
            if (reckoned.contains(name)) {
                continue; // its table says where it goes
            }
            targets.computeIfAbsent(name,
                    other -> RandomValue.other(kind.properties().get(other).type(), values.get(other), random));
        }
        return targets;
    }

    /** @param over for what moves from place to place: how long it may take; zero, as fast as it goes */
    private void obey(Sense sense, Map<String, Value> wire, Peer<F> from, Supplier<Map<String, Value>> targets,
            Duration takes, Duration over) {
        if (refusing) {
            refuse(from, wire);
        } else if (repeated(sense.template, wire, from)) {
            acknowledge(from, wire); // done already; only our answer was lost
        } else {
            Set<String> now = begin(targets.get(), takes, over);
            acknowledge(from, wire);
            report(now);
        }
    }

    private boolean repeated(Template template, Map<String, Value> wire, Peer<F> from) {
        if (!wire.containsKey(SEQUENCE)) {
            return false;
        }
        Numbered numbered = new Numbered(template, Map.copyOf(wire));
        boolean repeated = numbered.equals(lastNumbered.put(from, numbered));
        if (lastNumbered.size() > PEERS_REMEMBERED) {
            lastNumbered.remove(lastNumbered.keySet().iterator().next());
        }
        return repeated;
    }

    /** Where a command leads, seen from the values at its start. */
    private Map<String, Value> targets(Command command, Map<String, Value> arguments) {
        Map<String, Value> before = values;
        Map<String, Value> targets = new LinkedHashMap<>();
        command.effect().forEach((name, effect) -> {
            Property property = kind.properties().get(name);
            if (property != null) {
                Value value = switch (effect) {
                    case Effect.Becomes(Value v) -> v;
                    case Effect.Opposite _ -> before.get(name) instanceof Value.Flag(boolean on) ? Value.of(!on) : null;
                    case Effect.FromArgument(String argument) -> arguments.get(argument);
                    case Effect.FromProperty(String other) -> before.get(other);
                    case Effect.Unknown _ when stays(name, command) -> null;
                    case Effect.Unknown _ -> RandomValue.other(property.type(), before.get(name), random);
                };
                if (value != null && property.type().accepts(value)) {
                    targets.put(name, value);
                }
            }
        });
        return targets;
    }

    /**
     * Whether a command leaves a property alone that it may unsettle: it sets what unsettles the property, a speed for
     * instance, and each of these is so already. To stop what stands moves nothing; to stop what is on its way does.
     */
    private boolean stays(String name, Command command) {
        boolean sets = false;
        for (Map.Entry<String, Effect> other : command.effect().entrySet()) {
            Property cause = kind.properties().get(other.getKey());
            if (cause != null && cause.unsettles().contains(name)) {
                if (!(other.getValue() instanceof Effect.Becomes(Value v)
                        && cause.type().same(v, values.get(cause.name())))) {
                    return false;
                }
                sets = true;
            }
        }
        return sets && !moving.containsKey(name);
    }

    /** Properties on their way together. */
    private static final class Change {
        private final Map<String, Value> targets;
        private Timers.Alarm timer = () -> {};

        Change(Map<String, Value> targets) {
            this.targets = targets;
        }
    }

    /** Starts a change in place of those in progress for the same properties. Gives what has changed already. */
    private Set<String> begin(Map<String, Value> targets, Duration takes, Duration over) {
        supersede(targets.keySet());
        if (takes.isZero() || targets.isEmpty()) {
            return atOnce(targets, over);
        }
        Change change = new Change(new LinkedHashMap<>(targets));
        change.targets.keySet().forEach(name -> moving.put(name, change));
        change.timer = timers.after(takes.toNanos(), () -> arrive(change));
        return Set.of();
    }

    /** What moves, begins to; the rest is so. */
    private Set<String> atOnce(Map<String, Value> targets, Duration over) {
        Map<String, Value> now = new LinkedHashMap<>(targets);
        Set<String> changed = new LinkedHashSet<>();
        targets.forEach((name, target) -> {
            if (setsOut(kind.properties().get(name), target, over)) {
                now.remove(name);
                changed.addAll(rest(name));
            }
        });
        put(now);
        changed.addAll(now.keySet());
        changed.addAll(follow(now.keySet()));
        return changed;
    }

    /** Whether the property is on its way to the target, by a move or as fast as it goes. */
    private boolean setsOut(Property property, Value target, Duration over) {
        if (!(target instanceof Value.Num(double to)
                && values.get(property.name()) instanceof Value.Num(double standing)) || to == standing) {
            return false;
        }
        if (over.isPositive()) {
            motions.take(property, standing, to, over);
        } else {
            double rate = property.speeds().map(speeds -> greatest(speeds, to > standing)).orElse(0.0);
            if (rate == 0) {
                return false;
            }
            motions.go(property, standing, to, rate);
        }
        return true;
    }

    private double greatest(Speeds speeds, boolean up) {
        return kind.properties().get(speeds.by()).type().range().map(range -> Math.abs(speeds.fastest(up, range)))
                .orElse(0.0);
    }

    /** What is on its way to a place is driven by its speed no longer, which is 0 then. */
    private Set<String> rest(String moving) {
        Optional<String> speed = kind.properties().get(moving).speeds().map(Speeds::by)
                .filter(by -> !Value.of(0).equals(values.get(by)));
        speed.ifPresent(by -> put(Map.of(by, Value.of(0))));
        return speed.map(Set::of).orElse(Set.of());
    }

    /** Speeds among what has changed take effect. Gives what has come to a stop. */
    private Set<String> follow(Set<String> changed) {
        Set<String> stopped = new LinkedHashSet<>();
        driven.forEach((speed, moved) -> {
            for (Property p : moved) {
                if ((changed.contains(speed) || changed.contains(p.name()))
                        && values.get(speed) instanceof Value.Num(double asked)
                        && values.get(p.name()) instanceof Value.Num(double standing)) {
                    boolean moving = motions.moves(p.name());
                    motions.drive(p, motions.at(p.name(), standing), p.speeds().orElseThrow().perSecond(asked));
                    if (moving && !motions.moves(p.name())) {
                        stopped.add(p.name());
                    }
                }
            }
        });
        return stopped;
    }

    private void supersede(Collection<String> names) {
        for (String name : names) {
            motions.cancel(name);
            Change change = moving.remove(name);
            if (change != null) {
                change.targets.remove(name);
                if (change.targets.isEmpty()) {
                    change.timer.cancel();
                }
            }
        }
    }

    private void arrive(Change change) {
        moving.keySet().removeAll(change.targets.keySet());
        put(change.targets);
        Set<String> told = new LinkedHashSet<>(change.targets.keySet());
        told.addAll(follow(change.targets.keySet()));
        report(told);
    }

    private void put(Map<String, Value> changed) {
        if (!changed.isEmpty()) {
            Map<String, Value> next = new LinkedHashMap<>(values);
            next.putAll(changed);
            values = Collections.unmodifiableMap(next);
        }
    }

    private static Map<String, Value> asNew(Kind kind) {
        Map<String, Value> initial = new LinkedHashMap<>();
        kind.properties().forEach((name, p) -> initial.put(name, p.initial()));
        return Collections.unmodifiableMap(initial);
    }

    // --- speaking ---

    /** Answers for every property that is asked with these very words; an answer that tells several, only once. */
    private void answer(Sense asked, Map<String, Value> wire, F message, Peer<F> from) {
        Set<Template> said = new LinkedHashSet<>();
        Set<ByteBuffer> words = new HashSet<>();
        boolean answered = false;
        for (Sense sense : senses) {
            if (sense.meaning instanceof Meaning.Asks(Property p)
                    && (sense == asked
                            || sense.fixed == asked.fixed && codec.match(sense.template, message).isPresent())) {
                Optional<Template> own = p.answer().or(p::report);
                if (own.isPresent()) {
                    Optional<F> answer = encode(own.get(), fields(p, wire));
                    answer.filter(m -> words.add(ByteBuffer.wrap(codec.format(m)))).ifPresent(from::say);
                    answered |= answer.isPresent();
                } else {
                    Optional<Template> shared = sharedReport(p.name());
                    answered |= shared.isPresent()
                            && (!said.add(shared.get()) || say(from, shared.get(), fields(wire)));
                }
            }
        }
        if (!answered) {
            notUnderstood++;
            refuse(from, wire);
        }
    }

    /** Where the kind leaves open what comes back, anything the device has words for keeps the link alive. */
    private void beat(Map<String, Value> wire, Peer<F> from) {
        Optional<Template> reply = kind.heartbeat().flatMap(h -> h.reply());
        if (reply.isPresent()) {
            say(from, reply.get(), fields(wire));
        } else if (!acknowledge(from, wire)) {
            for (Property p : kind.properties().values()) {
                boolean said = p.report().isPresent()
                        ? say(from, p.report().get(), fields(p, wire))
                        : sharedReport(p.name()).filter(t -> say(from, t, fields(wire))).isPresent();
                if (said) {
                    return;
                }
            }
        }
    }

    /** With the first form of "done" that can be said of this message. */
    private boolean acknowledge(Peer<F> from, Map<String, Value> wire) {
        for (Template ok : kind.answers().ok()) {
            if (say(from, ok, fields(wire))) {
                return true;
            }
        }
        return false;
    }

    private void refuse(Peer<F> from, Map<String, Value> wire) {
        for (Answers.Refusal refusal : kind.answers().refused()) {
            if (say(from, refusal.message(), fields(wire))) {
                return;
            }
        }
    }

    /** In the kind's order, so that the same seed and messages give the same evening. */
    private void report(Collection<String> changed) {
        Set<Template> shared = new LinkedHashSet<>();
        for (Property p : kind.properties().values()) {
            if (changed.contains(p.name())) {
                p.report().ifPresentOrElse(own -> encode(own, fields(p, Map.of())).ifPresent(everybody),
                        () -> sharedReport(p.name()).ifPresent(shared::add));
            }
        }
        for (Template template : shared) {
            encode(template, fields(Map.of())).ifPresent(everybody);
        }
    }

    private Optional<Template> sharedReport(String property) {
        return reportFields.entrySet().stream().filter(e -> e.getValue().contains(property)).map(Map.Entry::getKey)
                .findFirst();
    }

    private boolean say(Peer<F> to, Template template, Map<String, Value> fields) {
        Optional<F> message = encode(template, fields);
        message.ifPresent(to::say);
        return message.isPresent();
    }

    /** Empty if the template has a field that nothing fills, or a value that does not fit: a device stays silent then. */
    private Optional<F> encode(Template template, Map<String, Value> fields) {
        try {
            return Optional.of(codec.encode(template, fields));
        } catch (IllegalArgumentException e) {
            return Optional.empty();
        }
    }

    /** Everything a message of the device could name: its properties as they are, over them what it has just been told. */
    private Map<String, Value> fields(Map<String, Value> wire) {
        Map<String, Value> fields = new HashMap<>();
        fields.put(SEQUENCE, Value.of(0));
        fields.putAll(wire);
        values.forEach((name, value) -> fields.put(name, kind.properties().get(name).type().toWire(value)));
        return fields;
    }

    private Map<String, Value> fields(Property property, Map<String, Value> wire) {
        Map<String, Value> fields = fields(wire);
        fields.put(VALUE, fields.get(property.name()));
        return fields;
    }
}
