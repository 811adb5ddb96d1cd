package bellpush.runtime.core;

import bellpush.config.model.Command;
import bellpush.config.model.Device;
import bellpush.config.model.LinkState;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Site;
import bellpush.config.model.Value;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/** What is held about every property, and which press last changed it. */
final class Beliefs {
    /** For how long a report still goes back to the press that sent the value. */
    private static final long CAUSE_LASTS_NANOS = 10_000_000_000L;

    /**
     * The press and the request that last changed a property.
     *
     * @param expected what it is to become, where that is known
     * @param arriving until then the device may be on its way there
     * @param arrived  whether it has reported that; any other value is not this press's doing
     */
    private record Cause(String press, long request, long until, Optional<Value> expected, long arriving,
            boolean arrived) {
        Cause there() {
            return new Cause(press, request, until, expected, arriving, true);
        }
    }

    private final Turn turn;
    private final Site site;
    private final Elsewhere elsewhere;
    private final Map<PropertyRef, Belief> beliefs = new HashMap<>();
    /** What was sent last, whatever has become of the link since. */
    private final Map<PropertyRef, Value> lastSent = new HashMap<>();
    private final Map<PropertyRef, Cause> causes = new HashMap<>();
    private final Map<String, LinkState> links = new LinkedHashMap<>();

    /** @param elsewhere asked for what no input has told */
    Beliefs(Turn turn, Site site, Elsewhere elsewhere) {
        this.turn = turn;
        this.site = site;
        this.elsewhere = elsewhere;
        site.devices().keySet().forEach(device -> links.put(device, LinkState.DOWN));
    }

    Belief of(PropertyRef property) {
        return beliefs.getOrDefault(property, Belief.NOTHING);
    }

    /**
     * What a property is, as far as can be known: what is believed, else, of one that its device never tells, what was sent
     * last. That outlives a lost link, since most gear keeps its settings, and there is nothing better to go by.
     */
    Optional<Value> atBest(PropertyRef property) {
        Optional<Value> believed = of(property).value();
        return believed.isPresent() || site.property(property).reported()
                ? believed
                : Optional.ofNullable(lastSent.get(property));
    }

    /** The same for whoever decides by it: what is not held is asked for elsewhere, and held from then on. */
    Belief asked(PropertyRef property) {
        Belief held = of(property);
        if (held.basis() != Belief.Basis.UNKNOWN) {
            return held;
        }
        Optional<Belief> heard = elsewhere.heard(property);
        heard.ifPresent(belief -> beliefs.put(property, belief));
        return heard.orElse(held);
    }

    LinkState link(String device) {
        return links.getOrDefault(device, LinkState.DOWN);
    }

    void link(String device, LinkState state) {
        LinkState before = links.put(device, state);
        if (state == LinkState.DOWN || state == LinkState.UP && before != LinkState.UP) {
            // While nothing was heard it may have been switched off and on, or been changed by hand: what was believed
            // before cannot be relied on, and it is about to be asked.
            beliefs.keySet().removeIf(ref -> ref.device().equals(device));
            causes.keySet().removeIf(ref -> ref.device().equals(device));
        }
    }

    /** A value has just been sent. */
    void sent(PropertyRef property, Value value, long request) {
        boolean there = of(property).value().filter(value::equals).isPresent();
        long takes = site.property(property).takes().toNanos();
        assume(property, Optional.of(value), request, takes);
        if (there) {
            return;
        }
        site.property(property).unsettles()
                .forEach(other -> assume(new PropertyRef(property.device(), other), Optional.empty(), request,
                        takes));
    }

    /** A command has just been sent: its declared effects, worked out from the values before it. */
    void sent(String device, Command command, Map<String, Value> arguments, long request) {
        Map<PropertyRef, Optional<Value>> after = new LinkedHashMap<>();
        command.effect().forEach((name, effect) -> {
            PropertyRef ref = new PropertyRef(device, name);
            after.put(ref, switch (effect) {
                case Command.Effect.Becomes(Value value) -> Optional.of(value);
                case Command.Effect.Opposite() -> of(ref).value()
                        .map(v -> Value.of(!(v instanceof Value.Flag(boolean on) && on)));
                case Command.Effect.FromArgument(String argument) -> Optional.ofNullable(arguments.get(argument));
                case Command.Effect.FromProperty(String other) -> of(new PropertyRef(device, other)).value();
                case Command.Effect.Unknown() -> Optional.empty();
            });
        });
        after.forEach((ref, value) -> assume(ref, value, request, command.takes().toNanos()));
    }

    private void assume(PropertyRef property, Optional<Value> value, long request, long takes) {
        if (value.isPresent()) {
            beliefs.put(property, new Belief(Belief.Basis.ASSUMED, value, turn.now()));
            lastSent.put(property, value.get());
        } else {
            beliefs.remove(property);
            lastSent.remove(property);
        }
        causes.put(property, new Cause(turn.press(), request, turn.now() + CAUSE_LASTS_NANOS + takes, value,
                turn.now() + takes, false));
    }

    /**
     * The device said no: what it last reported still stands, as far as we had not changed it since. The same value may have been sent
     * once more meanwhile, and that message may yet be obeyed.
     */
    void takeBack(PropertyRef property, long request, Belief before) {
        Cause cause = causes.get(property);
        if (of(property).basis() == Belief.Basis.ASSUMED && cause != null && cause.request == request) {
            before.value().ifPresentOrElse(value -> lastSent.put(property, value), () -> lastSent.remove(property));
            if (before.basis() == Belief.Basis.REPORTED) {
                beliefs.put(property, before);
            } else {
                beliefs.remove(property);
            }
        }
    }

    /** It cannot be told any more whether the device has the value. */
    void doubt(PropertyRef property) {
        if (of(property).basis() == Belief.Basis.ASSUMED) {
            beliefs.remove(property);
        }
    }

    /**
     * A device has told values. An answer to a question that was put before the property was last changed says nothing about
     * what it is now: it is passed over, and the names of such properties are returned.
     *
     * @param request the question that this answers, or 0
     */
    List<String> reported(String device, Map<String, Value> values, long request) {
        List<String> outdated = new ArrayList<>();
        values.forEach((name, value) -> {
            PropertyRef ref = new PropertyRef(device, name);
            Cause cause = causes.get(ref);
            if (request != 0 && cause != null && request < cause.request && of(ref).basis() != Belief.Basis.REPORTED) {
                outdated.add(name);
            } else {
                beliefs.put(ref, new Belief(Belief.Basis.REPORTED, Optional.of(value), turn.now()));
                if (cause != null && cause.expected.filter(to -> same(ref, to, value)).isPresent()) {
                    causes.put(ref, cause.there());
                }
            }
        });
        return outdated;
    }

    /** The press that a report of these properties goes back to, or empty. */
    String cause(String device, Map<String, Value> values) {
        for (Map.Entry<String, Value> each : values.entrySet()) {
            Cause cause = causes.get(new PropertyRef(device, each.getKey()));
            if (cause != null && explains(cause, new PropertyRef(device, each.getKey()), each.getValue())) {
                return cause.press;
            }
        }
        return "";
    }

    /**
     * Whether a value that is about to be taken as reported was brought about by somebody else: the device had reported another
     * before, and nothing that was sent from here explains the change.
     */
    boolean changedElsewhere(PropertyRef property, Value value) {
        Belief before = of(property);
        Cause cause = causes.get(property);
        return before.basis() == Belief.Basis.REPORTED && !same(property, before.value().orElseThrow(), value)
                && (cause == null || !explains(cause, property, value));
    }

    private boolean explains(Cause cause, PropertyRef property, Value value) {
        return turn.now() <= cause.until && (!cause.arrived || turn.now() <= cause.arriving
                || cause.expected.filter(to -> same(property, to, value)).isPresent());
    }

    private boolean same(PropertyRef property, Value a, Value b) {
        return site.property(property).type().same(a, b);
    }

    /** The believed values of a device, for commands whose message carries them. */
    Map<String, Value> present(Device device) {
        Map<String, Value> present = new HashMap<>();
        for (String name : device.kind().properties().keySet()) {
            of(new PropertyRef(device.name(), name)).value().ifPresent(v -> present.put(name, v));
        }
        return present;
    }
}
