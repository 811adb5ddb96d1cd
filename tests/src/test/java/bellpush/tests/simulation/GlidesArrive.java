package bellpush.tests.simulation;

import bellpush.config.model.Property;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Site;
import bellpush.config.model.Value;
import bellpush.drivers.spi.Outcome;
import bellpush.drivers.spi.Request;
import bellpush.runtime.core.Effect;
import bellpush.runtime.core.Event;
import bellpush.runtime.core.Input;
import java.util.HashMap;
import java.util.Map;
import java.util.Optional;

/**
 * A glide that nothing ends on its way ends with its exact target, soon after its time, and nothing else is sent after that; and where
 * the network loses nothing, the device is there once all is calm. What ends it sooner has to say so in the log.
 */
final class GlidesArrive implements Invariant {
    /** What waits for the paces of kind and property before it. */
    private static final long SLACK_NANOS = 2_000_000_000L;
    /** A macro that has fallen behind its own times makes up for it: its glides end sooner than the log's time for them. */
    private static final long BEHIND_NANOS = 10_000_000_000L;

    private static final class Going {
        final long run;
        final Value target;
        final long sinceNanos;
        final long untilNanos;
        boolean there;

        Going(long run, Value target, long since, long until) {
            this.run = run;
            this.target = target;
            sinceNanos = since;
            untilNanos = until;
        }
    }

    private final Site site;
    private final Map<String, Gear> gear;
    private final boolean sure;
    private final Map<PropertyRef, Going> going = new HashMap<>();
    /** Where a glide has ended and nothing has touched it since, and when. */
    private final Map<PropertyRef, Going> arrived = new HashMap<>();
    private final Map<Long, PropertyRef> sent = new HashMap<>();
    /** What the present input has led to. */
    private final Map<PropertyRef, Value> sentNow = new HashMap<>();
    private long nextLook = Long.MAX_VALUE;
    private long arrivals;
    private long stalledAt = Long.MIN_VALUE;

    /** @param sure whether the network loses nothing and keeps the order */
    GlidesArrive(Site site, Map<String, Gear> gear, boolean sure) {
        this.site = site;
        this.gear = gear;
        this.sure = sure;
    }

    /** Glides that have come to their end undisturbed. */
    long arrivals() {
        return arrivals;
    }

    @Override
    public void begins(Machine machine) {
        going.clear();
        arrived.clear();
        sent.clear();
    }

    @Override
    public void stalled(long now, long nanos) {
        going.clear();
        stalledAt = now;
    }

    @Override
    public void before(Input input) {
        sentNow.clear();
        switch (input) {
            case Input.LinkChanged change -> {
                going.keySet().removeIf(ref -> ref.device().equals(change.device()));
                arrived.keySet().removeIf(ref -> ref.device().equals(change.device()));
            }
            case Input.Finished end -> {
                PropertyRef ref = sent.remove(end.request());
                if (ref != null && (end.outcome() instanceof Outcome.Failed || end.outcome() instanceof Outcome.Refused
                        || end.outcome() instanceof Outcome.Replaced)) {
                    going.remove(ref);
                    arrived.remove(ref);
                }
            }
            case Input.Ending _ -> {
                going.clear();
                arrived.clear();
            }
            default -> {
            }
        }
    }

    @Override
    public void effect(Effect effect, long now) {
        switch (effect) {
            case Effect.Send(String device, Request.SetProperty set) ->
                set(new PropertyRef(device, set.property()), set, now);
            case Effect.Send(String device, Request.DoCommand act) ->
                site.devices().get(device).kind().commands().get(act.command()).effect().keySet()
                        .forEach(name -> touched(new PropertyRef(device, name), now));
            case Effect.Record(Event event) -> event(event, now);
            default -> {
            }
        }
    }

    private void set(PropertyRef ref, Request.SetProperty set, long now) {
        sent.put(set.id(), ref);
        sentNow.put(ref, set.value());
        Going glide = going.get(ref);
        Going before = arrived.get(ref);
        if (before != null && !before.target.equals(set.value())) {
            arrived.remove(ref);
        }
        if (glide != null && glide.target.equals(set.value())) {
            glide.there = true;
        } else if (glide != null && glide.there) {
            glide.there = false;
            if (now >= glide.untilNanos) {
                going.remove(ref); // it was there, and somebody else has it now
            }
        }
        if (!set.value().equals(Value.of(0)) || set.over().isPositive()) {
            unsettled(ref, now);
        }
    }

    /** A speed moves it away again. */
    private void unsettled(PropertyRef speed, long now) {
        for (Property property : site.devices().get(speed.device()).kind().properties().values()) {
            if (property.name().equals(speed.property())) {
                property.unsettles().forEach(other -> leaves(new PropertyRef(speed.device(), other), now));
            }
        }
    }

    private void touched(PropertyRef ref, long now) {
        leaves(ref, now);
        unsettled(ref, now);
    }

    /** It was there, though nobody has looked yet. */
    private void leaves(PropertyRef ref, long now) {
        arrived.remove(ref);
        going.computeIfPresent(ref, (_, glide) -> glide.there && now >= glide.untilNanos ? null : glide);
    }

    private void event(Event event, long now) {
        switch (event.what()) {
            case "glide" -> {
                PropertyRef ref = ref((String) event.details().get("property"));
                long until = now + ((Number) event.details().get("overMs")).longValue() * 1_000_000;
                Value target = value(ref, (String) event.details().get("to"));
                Going glide = new Going((Long) event.details().get("run"), target, now, until);
                going.remove(ref);
                if (stalledAt < now - BEHIND_NANOS) {
                    going.put(ref, glide);
                }
                arrived.remove(ref);
                // what was sent to begin it is handed out before the log tells of it
                glide.there = event.details().get("by").equals("its device's own move")
                        && target.equals(sentNow.get(ref));
                nextLook = Math.min(nextLook, until + SLACK_NANOS);
            }
            case "note" -> {
                String text = (String) event.details().get("text");
                if (text.startsWith("the glide of ")) {
                    PropertyRef ref = ref(text.substring("the glide of ".length(), text.indexOf(" ends")));
                    going.computeIfPresent(ref,
                            (_, glide) -> event.details().get("run").equals(glide.run) ? null : glide);
                }
            }
            // the macro's next step may set it before the target has left
            case "replaced" -> going.values().removeIf(glide -> !glide.there && now >= glide.untilNanos);
            // a message of it that is not sent any more has its own words in the log
            case "unsent" -> ends(event);
            case "stopped", "failed" -> {
                if (event.details().get("run") instanceof Long run) {
                    going.values().removeIf(glide -> glide.run == run);
                }
            }
            default -> {
            }
        }
    }

    private void ends(Event event) {
        String why = (String) event.details().get("why");
        going.keySet().removeIf(ref -> why.contains(" set " + ref.property() + " to ") && why.contains(ref.device()));
    }

    private static PropertyRef ref(String written) {
        int dot = written.indexOf('.');
        return new PropertyRef(written.substring(0, dot), written.substring(dot + 1));
    }

    private Value value(PropertyRef ref, String written) {
        return Optional.of(written).map(Double::valueOf).map(Value::of).orElseThrow();
    }

    @Override
    public void after(long now) {
        if (now < nextLook) {
            return;
        }
        nextLook = Long.MAX_VALUE;
        for (Map.Entry<PropertyRef, Going> each : Map.copyOf(going).entrySet()) {
            Going glide = each.getValue();
            if (now < glide.untilNanos + SLACK_NANOS) {
                nextLook = Math.min(nextLook, glide.untilNanos + SLACK_NANOS);
                continue;
            }
            going.remove(each.getKey());
            if (!glide.there) {
                throw new Broken("glides", each.getKey() + " was to glide to " + glide.target
                        + ", nothing has ended that, and this is not the last that it was sent");
            }
            arrivals++;
            arrived.put(each.getKey(), glide);
        }
    }

    @Override
    public void calm(long now) {
        nextLook = 0;
        after(now);
        if (!sure) {
            return;
        }
        arrived.forEach((ref, glide) -> {
            Gear at = gear.get(ref.device());
            Value there = RandomValues.overTheWire(site.property(ref).type(), glide.target);
            boolean undisturbed = at.troubleAt() < glide.sinceNanos
                    && at.disturbedAt(ref.property()) < glide.sinceNanos;
            if (undisturbed && !site.property(ref).type().same(at.truth(ref.property()), there)) {
                throw new Broken("glides", ref + " has glided to " + glide.target + " undisturbed, and is "
                        + at.truth(ref.property()));
            }
        });
    }
}
