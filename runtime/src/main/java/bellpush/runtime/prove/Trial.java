package bellpush.runtime.prove;

import bellpush.config.model.Command;
import bellpush.config.model.Condition;
import bellpush.config.model.LinkState;
import bellpush.config.model.Property;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Step;
import bellpush.config.model.Value;
import bellpush.drivers.spi.Request;
import bellpush.runtime.core.Belief;
import bellpush.runtime.core.Core;
import bellpush.runtime.core.Effect;
import bellpush.runtime.core.Event;
import bellpush.runtime.core.Input;
import bellpush.runtime.core.Verdict;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.PriorityQueue;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.function.BiConsumer;

/** One way through some presses: the core itself in virtual time, with a {@link World} in place of gear. */
final class Trial {
    /** More inputs than any chain needs that ends; reached, nothing is proved of the macro. */
    static final int INPUTS_MAX = 20_000;
    private static final long SECOND = 1_000_000_000L;
    /** Longer than signs of failure stay out, so that one press does not see the end of the one before. */
    private static final long BETWEEN_PRESSES = 30 * SECOND;

    /** A message that waits longer than this for its device's pace is not waited for. */
    private static final long LONGEST_PACE = 5 * SECOND;

    /** The trial is given up; what it would have shown is not known. */
    static final class TooLong extends RuntimeException {
        private static final long serialVersionUID = 1L;

        TooLong(String why) {
            super(why, null, false, false);
        }
    }

    private record Timer(long at, long id) implements Comparable<Timer> {
        @Override
        public int compareTo(Timer other) {
            int byTime = Long.compare(at, other.at);
            return byTime != 0 ? byTime : Long.compare(id, other.id);
        }
    }

    /** How a run of a macro ended. */
    record Ending(String how, String why) {
        boolean done() {
            return how.equals("done");
        }
    }

    /** Something that was sent at a moment at which it should not have been. {@code event} is how many events were told before. */
    record Slip(Finding.What what, PropertyRef property, long request) {}

    private static final Ending NOT_RUN = new Ending("ignored", "it did not run");

    final World world;
    final List<Event> events = new ArrayList<>();
    final List<Slip> slips = new ArrayList<>();
    private final Slice slice;
    private final Choices choices;
    private final Core core;
    private final PriorityQueue<Timer> timers = new PriorityQueue<>();
    private final Map<Long, Long> timerDue = new HashMap<>();
    private final Map<Long, String> open = new LinkedHashMap<>();
    private final Map<String, Ending> endings = new HashMap<>();
    private long now = SECOND;
    private BiConsumer<String, Request> onSend = (_, _) -> {};
    private int inputs;
    /** States of the core that no trial before has come through. */
    int newStates;

    Trial(Slice slice, Choices choices, Map<PropertyRef, Value> assumedBefore, Trouble trouble) {
        this.slice = slice;
        this.choices = choices;
        world = new World(slice, choices, assumedBefore, trouble);
        core = new Core(slice.site(), world);
        accept(new Input.Started(now));
        slice.site().devices().keySet().forEach(device -> {
            LinkState state = trouble.down(device) ? LinkState.DOWN : LinkState.UP;
            world.link(device, state);
            if (state == LinkState.UP) {
                accept(new Input.LinkChanged(now, device, state, ""));
            }
        });
        events.clear();
        newStates = 0;
    }

    /** Presses, and waits until everything is quiet again. */
    Ending press(String macro) {
        accept(new Input.Asked(now, macro));
        long quietUntil = now + LONGEST_PACE;
        while (!open.isEmpty() || world.nextAt() != Long.MAX_VALUE || nextTimer() <= quietUntil) {
            boolean running = !open.isEmpty();
            step();
            // What waits for its device's pace when the last step is done still leaves.
            quietUntil = running ? now + LONGEST_PACE : quietUntil;
        }
        return endings.getOrDefault(macro, NOT_RUN);
    }

    /** Presses, and waits only until the steps are done: what was sent may still be on its way. */
    void pressAndGoOn(String macro) {
        accept(new Input.Asked(now, macro));
        while (!core.running().isEmpty()) {
            step();
        }
        // A hand is not as fast as a machine: what takes no time has happened before the next press.
        long next = now + SECOND / 100;
        while (Math.min(world.nextAt(), nextTimer()) <= next) {
            step();
        }
        now = next;
    }

    /** Presses, and looks again after everything that happens until the steps are done. */
    void press(String macro, Runnable look) {
        accept(new Input.Asked(now, macro));
        while (!core.running().isEmpty()) {
            look.run();
            step();
        }
    }

    /** Presses, and waits for some of the steps only: until which, is a choice. */
    void pressAndBreakOff(String macro) {
        accept(new Input.Asked(now, macro));
        while (!core.running().isEmpty() && choices.pick(2) == 0) {
            step();
        }
        now++; // two presses are two moments
    }

    /** What is still to be sent; time goes by for it. */
    Set<PropertyRef> later() {
        Set<PropertyRef> later = new TreeSet<>();
        onSend = (device, request) -> later.addAll(world.changed(device, request));
        rest();
        return later;
    }

    /** Time goes by, and signs of failure go out. */
    void rest() {
        long until = now + BETWEEN_PRESSES;
        while (Math.min(world.nextAt(), nextTimer()) <= until) {
            step();
        }
        now = until;
    }

    /** Somebody may change one of these properties at a device. Returns whether anybody has. */
    boolean hand(List<PropertyRef> refs) {
        Optional<PropertyRef> changed = world.hand(refs);
        changed.ifPresent(ref -> {
            events.add(new Event(now, "hand", "", Map.of("property", ref, "value", world.value(ref))));
            if (slice.site().property(ref).reported()) {
                accept(new Input.Reported(now, ref.device(), Map.of(ref.property(), world.value(ref)), 0));
                events.removeIf(e -> e.what().equals("report") && e.at() == now);
            }
        });
        return changed.isPresent();
    }

    /** Whether a condition holds: what devices tell as the core holds it, and what they never tell as it truly is. */
    boolean holds(Condition condition) {
        return world.holds(condition, rest -> core.judge(rest) == Verdict.YES);
    }

    /** What the core assumes of a property that its device never tells. */
    Optional<Value> assumed(PropertyRef ref) {
        return core.belief(ref).value();
    }

    long now() {
        return now;
    }

    private void step() {
        if (inputs > INPUTS_MAX) {
            throw new TooLong("more than " + INPUTS_MAX + " inputs");
        }
        long timer = nextTimer();
        long arrival = world.nextAt();
        if (timer == Long.MAX_VALUE && arrival == Long.MAX_VALUE) {
            throw new TooLong("it waits for nothing");
        }
        // A timer that is due at the moment at which a device is there has been faster: reports take time to arrive.
        if (timer <= arrival) {
            Timer due = timers.poll();
            timerDue.remove(due.id);
            now = Math.max(now, due.at);
            accept(new Input.Due(now, due.id));
        } else {
            now = Math.max(now, arrival);
            World.Arrived arrived = world.arrive();
            accept(new Input.Reported(now, arrived.device(), arrived.told(), 0));
        }
    }

    private long nextTimer() {
        while (!timers.isEmpty() && !timerDue.containsKey(timers.peek().id)) {
            timers.poll();
        }
        return timers.isEmpty() ? Long.MAX_VALUE : timers.peek().at;
    }

    private void accept(Input input) {
        inputs++;
        if (choices.onNewGround()) {
            newStates++;
        }
        core.accept(input, this::carryOut);
    }

    private void carryOut(Effect effect) {
        switch (effect) {
            case Effect.Send(String device, Request request) -> send(device, request);
            case Effect.StartTimer(long id, long at) -> {
                timers.add(new Timer(at, id));
                timerDue.put(id, at);
            }
            case Effect.StopTimer(long id) -> timerDue.remove(id);
            case Effect.Record(Event event) -> {
                events.add(event);
                noteEnd(event);
            }
            case Effect.ShowLamp _ -> {
            }
        }
    }

    private void send(String device, Request request) {
        if (request instanceof Request.AskProperty) {
            return;
        }
        onSend.accept(device, request);
        look(device, request);
        // The core works out what follows from what it holds, so it has to hold it.
        world.decides(device, request).forEach(ref -> core.judge(
                new Condition.Is(ref, new Condition.Test.Equal(Value.of(true)))));
        boolean asHeld = request instanceof Request.SetProperty set && core
                .belief(new PropertyRef(device, set.property())).value().filter(set.value()::equals).isPresent();
        world.receive(now, device, request, asHeld);
    }

    /** Whether this is a moment to send it. */
    private void look(String device, Request request) {
        switch (request) {
            case Request.SetProperty(long id, String name, Value value, _, _) -> {
                PropertyRef ref = new PropertyRef(device, name);
                steady(ref, Optional.of(value), id);
                if (world.commanded(ref, now)) {
                    slips.add(new Slip(Finding.What.TOO_EARLY, ref, id));
                }
            }
            case Request.DoCommand act -> world.command(device, act).effect().forEach((name, effect) -> {
                PropertyRef ref = new PropertyRef(device, name);
                boolean lookedAt = !world.open(ref) && (slice.site().property(ref).reported()
                        || core.belief(ref).value().isPresent());
                if (effect instanceof Command.Effect.Opposite && !lookedAt) {
                    slips.add(new Slip(Finding.What.TOGGLE, ref, act.id()));
                }
                if (restsOn(device, name, effect).filter(from -> world.commanded(from, now)).isPresent()) {
                    slips.add(new Slip(Finding.What.TOO_EARLY, ref, act.id()));
                }
                steady(ref, effect instanceof Command.Effect.Becomes(Value value)
                        ? Optional.of(value)
                        : Optional.empty(), act.id());
            });
            case Request.AskProperty _ -> {
            }
        }
    }

    /** What decides where the effect leads to; on its way, nobody can tell which of its values counts. */
    private static Optional<PropertyRef> restsOn(String device, String name, Command.Effect effect) {
        return switch (effect) {
            case Command.Effect.Opposite() -> Optional.of(new PropertyRef(device, name));
            case Command.Effect.FromProperty(String other) -> Optional.of(new PropertyRef(device, other));
            default -> Optional.empty();
        };
    }

    private void steady(PropertyRef ref, Optional<Value> to, long request) {
        Property property = slice.site().property(ref);
        if (property.steadyWhile().isEmpty() || to.filter(value -> world.isAlready(ref, value)).isPresent()) {
            return;
        }
        if (core.judge(Parts.on(ref.device(), property.steadyWhile().get())) != Verdict.NO) {
            slips.add(new Slip(Finding.What.UNSTEADY, ref, request));
        }
    }

    private void noteEnd(Event event) {
        switch (event.what()) {
            case "run" -> open.put((Long) event.details().get("run"), (String) event.details().get("macro"));
            case "done", "failed", "stopped" -> {
                Long run = (Long) event.details().get("run");
                open.remove(run);
                endings.put((String) event.details().get("macro"),
                        new Ending(event.what(), (String) event.details().getOrDefault("why", "")));
            }
            case "refused", "ignored" -> endings.putIfAbsent((String) event.details().get("macro"),
                    new Ending(event.what(), (String) event.details().getOrDefault("why", "")));
            default -> {
            }
        }
    }

    /** Places of the steps that were run, in order. */
    List<String> steps() {
        return events.stream().filter(e -> e.what().equals("step") || e.what().equals("say"))
                .map(e -> (String) e.details().get("at")).toList();
    }

    /** The step at which a run failed for this reason; a fallback may have run steps since. */
    Optional<Step> failedAt(String why) {
        Step last = null;
        for (Event event : events) {
            if (event.what().equals("step")) {
                last = stepAt((String) event.details().get("at"));
            } else if (String.valueOf(event.details().get("text")).startsWith(why)
                    || why.equals(event.details().get("why"))) {
                break;
            }
        }
        return Optional.ofNullable(last);
    }

    Step stepAt(String place) {
        return slice.stepsByPlace().get(place);
    }

    /** The last step before the request that changes the property. */
    Optional<Step> cause(PropertyRef ref, long request) {
        Step last = null;
        for (Event event : events) {
            if (event.what().equals("step")) {
                Step step = slice.stepsByPlace().get(event.details().get("at"));
                if (step != null && Parts.changed(slice.site(), step).contains(ref)) {
                    last = step;
                }
            } else if (event.what().equals("send") && event.details().get("request").equals(request)) {
                break;
            }
        }
        return Optional.ofNullable(last);
    }

    /** All that is not as it was found, or was looked at, in words that differ where it makes a difference. */
    Map<PropertyRef, String> state() {
        Map<PropertyRef, String> state = world.state(now);
        state.replaceAll((ref, words) -> {
            Belief belief = core.belief(ref);
            return words + belief.value().map(value -> " " + belief.basis() + value).orElse("");
        });
        return state;
    }

    List<World.Moving> onTheWay() {
        return world.onTheWay(now, ref -> core.belief(ref).value());
    }

    /** Begins with these on their way from a press before. */
    void begin(List<World.Moving> moving) {
        world.begin(now, moving);
    }

    /** What is on its way, for telling endings apart. */
    Set<PropertyRef> moving() {
        return new TreeSet<>(world.moving());
    }
}
