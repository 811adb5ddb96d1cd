package bellpush.tests.simulation;

import bellpush.config.model.LinkState;
import bellpush.config.model.Property;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Site;
import bellpush.config.model.Value;
import bellpush.drivers.spi.Request;
import bellpush.runtime.core.Effect;
import bellpush.runtime.core.Event;
import bellpush.runtime.core.Input;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.LongSupplier;

/**
 * Once a run was stopped, taken over or pressed again, nothing of it leaves any more but what brings things to a stand; a speed that it
 * had set, or a run that failed, is brought to 0; and what stops everything brings every axis to 0. Which message is whose is told by
 * the press in the log, where that press has started one run only.
 */
final class StoppedIsStopped implements Invariant {
    private static final Value STANDSTILL = Value.of(0);
    /** A standstill waits for the pace of its kind only, behind other standstills. */
    private static final long SOON_NANOS = 200_000_000L;

    private record Driven(String press, Value speed) {}

    private final Site site;
    private final LongSupplier clock;
    private final Set<PropertyRef> speeds = new HashSet<>();
    private final Set<PropertyRef> ofSticks = new HashSet<>();
    private final Map<String, LinkState> links = new HashMap<>();
    private final Map<PropertyRef, Value> lastSent = new HashMap<>();
    /** Of the present input: whether a message said what had been said before. */
    private final Map<Long, Boolean> repeats = new HashMap<>();
    private final Map<Long, Effect.Send> sentNow = new HashMap<>();
    private final Map<String, Integer> runsOf = new HashMap<>();
    private final Map<Long, String> pressOf = new HashMap<>();
    private final Set<Long> tidying = new HashSet<>();
    /** By press, why nothing may leave any more. */
    private final Map<String, String> silent = new HashMap<>();
    private final Map<PropertyRef, Driven> driven = new HashMap<>();
    private final Map<PropertyRef, Long> toStand = new HashMap<>();
    private boolean ending;

    /** @param clock the time of the evening; the core's own is behind it while it takes edges that come late */
    StoppedIsStopped(Site site, LongSupplier clock) {
        this.site = site;
        this.clock = clock;
        site.panel().joysticks().values()
                .forEach(stick -> stick.axes().values().forEach(axis -> ofSticks.add(axis.drives())));
        speeds.addAll(ofSticks);
        site.devices().values().forEach(device -> device.kind().properties().values().forEach(property -> property
                .speeds().ifPresent(table -> speeds.add(new PropertyRef(device.name(), table.by())))));
    }

    @Override
    public void begins(Machine machine) {
        links.clear();
        lastSent.clear();
        runsOf.clear();
        pressOf.clear();
        tidying.clear();
        silent.clear();
        driven.clear();
        toStand.clear();
        ending = false;
    }

    @Override
    public void stalled(long now, long nanos) {
        toStand.clear();
    }

    @Override
    public void before(Input input) {
        repeats.clear();
        sentNow.clear();
        ending |= input instanceof Input.Ending;
        if (input instanceof Input.LinkChanged change) {
            links.put(change.device(), change.state());
            driven.keySet().removeIf(ref -> ref.device().equals(change.device()));
            toStand.keySet().removeIf(ref -> ref.device().equals(change.device()));
        }
    }

    @Override
    public void effect(Effect effect, long now) {
        switch (effect) {
            case Effect.Send send -> sent(send);
            case Effect.Record line when !ending -> event(line.event(), clock.getAsLong());
            default -> {
            }
        }
    }

    private void sent(Effect.Send send) {
        sentNow.put(send.request().id(), send);
        switch (send.request()) {
            case Request.SetProperty set -> {
                PropertyRef ref = new PropertyRef(send.device(), set.property());
                repeats.put(set.id(), set.value().equals(lastSent.put(ref, set.value())));
                driven.remove(ref);
                toStand.remove(ref);
            }
            case Request.DoCommand act -> site.devices().get(send.device()).kind().commands().get(act.command())
                    .effect().keySet().forEach(name -> {
                        PropertyRef ref = new PropertyRef(send.device(), name);
                        lastSent.remove(ref);
                        driven.remove(ref);
                        toStand.remove(ref);
                    });
            case Request.AskProperty _ -> {
            }
        }
    }

    private void event(Event event, long now) {
        switch (event.what()) {
            case "run" -> {
                runsOf.merge(event.press(), 1, Integer::sum);
                silent.remove(event.press());
                pressOf.put((Long) event.details().get("run"), event.press());
            }
            case "note" -> {
                String text = (String) event.details().get("text");
                if (text.startsWith("taken over by")) {
                    tidying.add((Long) event.details().get("run"));
                }
            }
            case "step" -> {
                if (((String) event.details().get("step")).startsWith("stop everything")) {
                    everythingIsStopped(now);
                }
            }
            case "send" -> told(event);
            case "done", "stopped" -> ended(event, now);
            case "failed" -> {
                if (!event.details().containsKey("control")) {
                    ended(event, now);
                }
            }
            default -> {
            }
        }
    }

    private boolean one(String press) {
        return runsOf.getOrDefault(press, 0) == 1;
    }

    private void told(Event event) {
        Effect.Send send = sentNow.get((Long) event.details().get("request"));
        if (send == null) {
            return;
        }
        String press = event.press();
        String why = silent.get(press);
        switch (send.request()) {
            case Request.SetProperty set -> {
                if (why != null && !set.value().equals(STANDSTILL) && !repeats.get(set.id())) {
                    throw new Broken("stopped", "a run was " + why + ", and still sends " + send);
                }
                PropertyRef ref = new PropertyRef(send.device(), set.property());
                if (one(press) && speeds.contains(ref) && !set.value().equals(STANDSTILL)
                        && set.value().equals(lastSent.get(ref))) {
                    driven.put(ref, new Driven(press, set.value()));
                }
            }
            case Request.DoCommand act -> {
                boolean ends = site.devices().get(send.device()).kind().properties().values().stream()
                        .map(Property::move).flatMap(move -> move.stream()).flatMap(move -> move.stop().stream())
                        .anyMatch(act.command()::equals);
                if (why != null && !ends) {
                    throw new Broken("stopped", "a run was " + why + ", and still sends " + send);
                }
            }
            case Request.AskProperty _ -> {
            }
        }
    }

    private void ended(Event event, long now) {
        Long run = (Long) event.details().get("run");
        String press = pressOf.remove(run);
        boolean tidied = tidying.remove(run);
        if (event.what().equals("done") || press == null || !one(press)) {
            return;
        }
        if (event.what().equals("stopped") && !tidied) {
            silent.put(press, "stopped, " + event.details().get("why") + ",");
        }
        List<PropertyRef> left = new ArrayList<>();
        driven.forEach((ref, by) -> {
            if (by.press.equals(press)) {
                left.add(ref);
            }
        });
        left.forEach(ref -> mustStand(ref, now));
    }

    private void everythingIsStopped(long now) {
        ofSticks.forEach(ref -> {
            boolean stands = sentNow.values().stream().anyMatch(send -> send.device().equals(ref.device())
                    && send.request() instanceof Request.SetProperty set && set.property().equals(ref.property()));
            if (!stands) {
                mustStand(ref, now);
            }
        });
    }

    private void mustStand(PropertyRef ref, long now) {
        if (links.getOrDefault(ref.device(), LinkState.DOWN) != LinkState.DOWN && !STANDSTILL.equals(lastSent.get(ref))
                || driven.containsKey(ref)) {
            toStand.putIfAbsent(ref, now + SOON_NANOS);
        }
    }

    @Override
    public void after(long coreNow) {
        long now = clock.getAsLong();
        toStand.forEach((ref, until) -> {
            if (now > until && !ending) {
                throw new Broken("left", ref + " was to be brought to 0 with what had set it, and was last sent "
                        + lastSent.get(ref));
            }
        });
    }
}
