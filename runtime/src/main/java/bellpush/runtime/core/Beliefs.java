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

    /** The press and the request that last changed a property. */
    private record Cause(String press, long request, long until) {}

    private final Turn turn;
    private final Site site;
    private final Map<PropertyRef, Belief> beliefs = new HashMap<>();
    private final Map<PropertyRef, Cause> causes = new HashMap<>();
    private final Map<String, LinkState> links = new LinkedHashMap<>();

    Beliefs(Turn turn, Site site) {
        this.turn = turn;
        this.site = site;
        site.devices().keySet().forEach(device -> links.put(device, LinkState.DOWN));
    }

    Belief of(PropertyRef property) {
        return beliefs.getOrDefault(property, Belief.NOTHING);
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
        assume(property, Optional.of(value), request);
        if (there) {
            return;
        }
        site.property(property).unsettles()
                .forEach(other -> assume(new PropertyRef(property.device(), other), Optional.empty(), request));
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
        after.forEach((ref, value) -> assume(ref, value, request));
    }

    private void assume(PropertyRef property, Optional<Value> value, long request) {
        if (value.isPresent()) {
            beliefs.put(property, new Belief(Belief.Basis.ASSUMED, value, turn.now()));
        } else {
            beliefs.remove(property);
        }
        causes.put(property, new Cause(turn.press(), request, turn.now() + CAUSE_LASTS_NANOS));
    }

    /**
     * The device said no: what it last reported still stands, as far as we had not changed it since. The same value may have been sent
     * once more meanwhile, and that message may yet be obeyed.
     */
    void takeBack(PropertyRef property, long request, Belief before) {
        Cause cause = causes.get(property);
        if (of(property).basis() == Belief.Basis.ASSUMED && cause != null && cause.request == request) {
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
            }
        });
        return outdated;
    }

    /** The press that a report of these properties goes back to, or empty. */
    String cause(String device, Map<String, Value> values) {
        for (String name : values.keySet()) {
            Cause cause = causes.get(new PropertyRef(device, name));
            if (cause != null && turn.now() <= cause.until) {
                return cause.press;
            }
        }
        return "";
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
