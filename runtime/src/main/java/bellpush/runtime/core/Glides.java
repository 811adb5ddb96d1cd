package bellpush.runtime.core;

import bellpush.config.model.LinkState;
import bellpush.config.model.Property;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Site;
import bellpush.config.model.Step;
import bellpush.config.model.Value;
import java.time.Duration;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * Glides of macros: properties on their way to their targets, each in its own way ({@link GlideAxis}), all arriving at the
 * same moment. What ends a glide on the way leaves no speed behind; a value stays where it is. Whoever else sets one of the
 * properties, or the speed that moves it, has it from then on. Where a property is must be known, unless its device finds
 * the way by itself.
 */
final class Glides {
    /** Repeats of a standstill come within this time, and must not end what takes a speed's rest to the exact target. */
    private static final long LANDING_NANOS = 2_000_000_000L;

    /** Where glides' messages go, and what they ask of the rest of the core. */
    interface Gear {
        /** @param over how long the device has for it; zero for at once */
        void send(Run.Sender from, PropertyRef property, Value value, Duration over, String control);

        /** The same value once more, for which nobody is to be told anything; not sent any more if the run is stopped. */
        void again(long run, PropertyRef property, Value value);

        /** Brings a speed to 0, whatever it takes. */
        void halt(PropertyRef speed);

        /** A command without arguments, which ends a move of the device's own. The run that began the move may be over. */
        void stop(String device, String command);

        /** Asks a little later where the property is, if its device can be asked. */
        void ask(PropertyRef property);

        LinkState link(String device);

        Belief belief(PropertyRef property);

        /** The least time between two values, as far as it is not for the gear to say. */
        Duration step();

        /** The glide has failed, and is over. */
        void failed(Run.Sender from, String why);
    }

    /** What became of the wish to glide. */
    sealed interface Start {
        /** @param endsAt monotonic, in nanoseconds; may be later than asked for */
        record Going(long endsAt) implements Start {}

        record Cannot(String why) implements Start {}

        /** One of its first messages could not be sent, and the run has been told. */
        record Over() implements Start {}
    }

    /** One step of a run that is on its way. */
    private static final class Glide {
        final Run.Sender from;
        final long endsAt;
        final List<GlideAxis> axes = new ArrayList<>();

        Glide(Run.Sender from, long endsAt) {
            this.from = from;
            this.endsAt = endsAt;
        }
    }

    /** Where a property has been left on the way, by reckoning. */
    private record Left(double at, long since, PropertyRef speed) {}

    /** A target that was sent after a speed was stopped. */
    private record Landing(long run, PropertyRef speed, PropertyRef property, Value target, long until) {}

    private final Turn turn;
    private final Site site;
    private final Gear gear;
    private final List<Glide> glides = new ArrayList<>();
    private final Map<PropertyRef, Left> left = new HashMap<>();
    private final List<Landing> landings = new ArrayList<>();
    private long lastAxis;

    Glides(Turn turn, Site site, Gear gear) {
        this.turn = turn;
        this.site = site;
        this.gear = gear;
    }

    /** Whether a property is on its way at this moment. */
    boolean moves(PropertyRef property) {
        return glides.stream().flatMap(glide -> glide.axes.stream()).anyMatch(axis -> axis.property.equals(property));
    }

    /** Whether this is one of the many values between start and end. */
    static boolean streams(String control) {
        return control.startsWith(GlideAxis.STREAM);
    }

    /**
     * Begins a step.
     *
     * @param due     where its strand stands on its own timeline
     * @param targets what the step's values have come to
     */
    Start start(Run.Sender from, long due, Step.Glide step, Map<PropertyRef, Value> targets) {
        GlidePlan plan = new GlidePlan(site, gear, step, targets, this::whereNow);
        if (plan.cannot().isPresent()) {
            return new Start.Cannot(plan.cannot().get());
        }
        plan.longer().ifPresent(why -> turn.record("note", "run", from.run().id, "text", why));
        Glide glide = new Glide(from, due + plan.over().toNanos());
        for (GlidePlan.Way way : plan.ways()) {
            GlideAxis axis = new GlideAxis(++lastAxis, way, step.ease(), due, glide.endsAt,
                    site.property(way.property()).takes());
            takeFromOthers(axis);
            glide.axes.add(axis);
            turn.record("glide", "run", from.run().id, "property", way.property().toString(), "to",
                    way.target().toString(),
                    "by", way.by().word(), "overMs", plan.over().toMillis());
        }
        glides.add(glide);
        for (GlideAxis axis : List.copyOf(glide.axes)) {
            if (!glide.axes.contains(axis)) {
                continue; // it has failed with another
            }
            if (axis.by == GlidePlan.By.MOVE) {
                gear.send(from, axis.property, axis.target, plan.over(), axis.control);
            } else if (axis.by == GlidePlan.By.SPEEDS) {
                next(glide, axis);
            }
            if (glide.axes.contains(axis)) {
                axis.timer = turn.start(axis.nextAt(turn.now()), new Wake.GlideDue(axis.id));
            }
        }
        return glides.contains(glide) ? new Start.Going(glide.endsAt) : new Start.Over();
    }

    /** What another glide moved until now goes on from where it is; one that is there already drives nothing, so that stands. */
    private void takeFromOthers(GlideAxis axis) {
        Optional<PropertyRef> drives = axis.isThere() ? Optional.empty() : axis.speed;
        endOthers(axis.control, axis.property, drives);
        drives.ifPresent(speed -> endOthers(axis.control, speed, drives));
    }

    /** When the run's own timeline comes to the end of a glide, this has to come first. Whatever is due to arrive, arrives. */
    void arrive() {
        for (Glide glide : List.copyOf(glides)) {
            if (glide.endsAt <= turn.now() && glides.remove(glide)) {
                String press = turn.press();
                turn.blame(glide.from.run().press);
                for (GlideAxis axis : List.copyOf(glide.axes)) {
                    if (glide.axes.remove(axis)) {
                        land(glide.from, axis);
                    }
                }
                turn.blame(press);
            }
        }
    }

    private void land(Run.Sender from, GlideAxis axis) {
        turn.stop(axis.timer);
        left.remove(axis.property);
        if (axis.by == GlidePlan.By.MOVE) {
            return; // its device was told the target at the start
        }
        if (axis.drove) {
            gear.halt(axis.speed.orElseThrow());
        }
        gear.send(from, axis.property, axis.target, Duration.ZERO, "");
        if (axis.drove) {
            landings.add(new Landing(from.run().id, axis.speed.orElseThrow(), axis.property, axis.target,
                    turn.now() + LANDING_NANOS));
        }
    }

    /** An axis' next value, or its end, is due. */
    void due(long id) {
        arrive();
        for (Glide glide : List.copyOf(glides)) {
            for (GlideAxis axis : List.copyOf(glide.axes)) {
                if (axis.id == id && glide.axes.contains(axis)) {
                    axis.timer = 0;
                    String press = turn.press();
                    turn.blame(glide.from.run().press);
                    next(glide, axis);
                    if (glide.axes.contains(axis)) {
                        axis.timer = turn.start(axis.nextAt(turn.now()), new Wake.GlideDue(axis.id));
                    }
                    turn.blame(press);
                }
            }
        }
    }

    private void next(Glide glide, GlideAxis axis) {
        switch (axis.by) {
            case MOVE -> {
            }
            case SPEEDS -> {
                if (axis.isThere()) {
                    return;
                }
                axis.drove = true;
                gear.send(glide.from, axis.speed.orElseThrow(), axis.nextSpeed(turn.now()), Duration.ZERO,
                        axis.control);
            }
            case VALUES -> axis.nextValue(turn.now())
                    .ifPresent(value -> gear.send(glide.from, axis.property, value, Duration.ZERO, axis.control));
        }
    }

    /** A value of a glide leaves now, which may be later than it was due. */
    void departed(String control, Value value) {
        glides.stream().flatMap(glide -> glide.axes.stream())
                .filter(axis -> axis.control.equals(control))
                .forEach(axis -> axis.left(turn.now(), value));
    }

    /** Whether a report shows that somebody at the device has taken hold of what is on its way. */
    boolean takenAtDevice(PropertyRef property, Value told) {
        return glides.stream().flatMap(glide -> glide.axes.stream())
                .anyMatch(axis -> axis.taken(turn.now(), property, told));
    }

    /** Somebody at the device has it from now on. A speed is stopped all the same, in case that the report was older than it seemed. */
    void giveUp(PropertyRef property) {
        for (Glide glide : List.copyOf(glides)) {
            for (GlideAxis axis : List.copyOf(glide.axes)) {
                if (axis.touches(property) && glide.axes.remove(axis)) {
                    turn.record("note", "run", glide.from.run().id, "text",
                            "the glide of " + axis.property + " ends, since somebody moves it at the device");
                    leave(axis);
                    if (axis.drove) {
                        gear.halt(axis.speed.orElseThrow());
                    }
                }
            }
        }
    }

    /**
     * A message of a glide was refused or lost.
     *
     * @return whether that is settled here: it was one of many, or the run has failed over it
     */
    boolean failed(String control, String why) {
        for (Glide glide : List.copyOf(glides)) {
            if (glide.axes.stream().anyMatch(axis -> axis.control.equals(control))) {
                abandon(glide);
                gear.failed(glide.from, why);
                return true;
            }
        }
        return streams(control);
    }

    /** The strand fails, ends or is stopped: whatever of it is on its way stands. */
    void stop(Strand strand) {
        List.copyOf(glides).stream().filter(glide -> glide.from.strand() == strand).forEach(this::abandon);
    }

    private void abandon(Glide glide) {
        if (!glides.remove(glide)) {
            return;
        }
        List<GlideAxis> axes = List.copyOf(glide.axes);
        glide.axes.clear();
        boolean before = glide.from.run().halting;
        glide.from.run().halting = true;
        axes.forEach(axis -> endOnTheWay(glide, axis));
        glide.from.run().halting = before;
    }

    private void endOnTheWay(Glide glide, GlideAxis axis) {
        turn.record("note", "run", glide.from.run().id, "text", "the glide of " + axis.property + " ends on the way");
        leave(axis);
        if (axis.drove) {
            gear.halt(axis.speed.orElseThrow());
        }
        Property property = site.property(axis.property);
        if (axis.by == GlidePlan.By.MOVE) {
            property.move().flatMap(move -> move.stop())
                    .ifPresent(command -> gear.stop(axis.property.device(), command));
        }
        gear.ask(axis.property);
    }

    private void leave(GlideAxis axis) {
        turn.stop(axis.timer);
        axis.timer = 0;
        if (axis.drove) {
            left.put(axis.property, new Left(axis.at(turn.now()), turn.now(), axis.speed.orElseThrow()));
        }
    }

    void link(String device, LinkState state) {
        left.keySet().removeIf(property -> property.device().equals(device));
        landings.removeIf(landing -> landing.property.device().equals(device));
        for (Glide glide : List.copyOf(glides)) {
            boolean lost = glide.axes.stream().anyMatch(axis -> axis.property.device().equals(device)
                    && (state == LinkState.DOWN || state == LinkState.STALE && axis.by == GlidePlan.By.SPEEDS));
            if (lost && glides.contains(glide)) {
                abandon(glide);
                gear.failed(glide.from, "the link to " + device + " is " + state.word());
            }
        }
    }

    /**
     * Something has set a property: what was on its way to somewhere else is so no longer.
     *
     * @param control the glide itself, or another control, or empty text
     */
    void setElsewhere(String control, PropertyRef property) {
        landings.removeIf(landing -> landing.speed.equals(property) || landing.property.equals(property));
        endOthers(control, property, Optional.empty());
        if (!streams(control)) {
            left.entrySet()
                    .removeIf(one -> one.getKey().equals(property) || one.getValue().speed.equals(property));
        }
    }

    /** @param goesOn a speed that the newcomer drives itself, and that therefore needs no stop */
    private void endOthers(String control, PropertyRef property, Optional<PropertyRef> goesOn) {
        for (Glide glide : List.copyOf(glides)) {
            for (GlideAxis axis : List.copyOf(glide.axes)) {
                if (!axis.control.equals(control) && axis.touches(property) && glide.axes.remove(axis)) {
                    turn.record("note", "run", glide.from.run().id, "text",
                            "the glide of " + axis.property + " ends, since something else sets " + property);
                    leave(axis);
                    boolean stands = axis.speed.filter(property::equals).isPresent() || axis.speed.equals(goesOn);
                    if (axis.drove && !stands) {
                        gear.halt(axis.speed.orElseThrow());
                    }
                }
            }
        }
    }

    /** A speed is being brought to 0 by what looks after speeds: it was lost, or has to be told again. */
    void halting(PropertyRef speed) {
        for (Glide glide : List.copyOf(glides)) {
            for (GlideAxis axis : List.copyOf(glide.axes)) {
                if (axis.speed.filter(speed::equals).isPresent() && axis.drove && glide.axes.remove(axis)) {
                    turn.record("note", "run", glide.from.run().id, "text",
                            "the glide of " + axis.property + " ends, since " + speed + " is stopped");
                    leave(axis);
                }
            }
        }
    }

    /** A standstill is on its way. It ends the last small way to the target too, so the target is sent after it. */
    void halted(PropertyRef speed) {
        landings.removeIf(landing -> landing.until < turn.now());
        for (Landing landing : List.copyOf(landings)) { // one that cannot be sent is taken out
            if (landing.speed.equals(speed)) {
                gear.again(landing.run, landing.property, landing.target);
            }
        }
    }

    /** The run was stopped: its standstills may have to be told again, and nothing else of it. */
    void forget(long run) {
        landings.removeIf(landing -> landing.run == run);
    }

    /** Everything is to stand, wherever it was going: gives the properties that were on their last small way, each with its run. */
    Map<PropertyRef, Long> forgetAll() {
        Map<PropertyRef, Long> forgotten = new LinkedHashMap<>();
        landings.forEach(landing -> forgotten.put(landing.property, landing.run));
        landings.clear();
        return forgotten;
    }

    /** What was sent there is in doubt, so it is not sent again. */
    void inDoubt(PropertyRef property) {
        landings.removeIf(landing -> landing.property.equals(property));
    }

    /** The show ends. Speeds are stopped by those who look after them. */
    void end() {
        glides.forEach(glide -> glide.axes.forEach(axis -> turn.stop(axis.timer)));
        glides.clear();
        landings.clear();
    }

    /** Where a number property is, as far as is known; on its way, by reckoning. */
    private Optional<Double> whereNow(PropertyRef property) {
        Optional<GlideAxis> moving = glides.stream().flatMap(glide -> glide.axes.stream())
                .filter(axis -> axis.property.equals(property) && axis.drove).findFirst();
        if (moving.isPresent()) {
            return moving.map(axis -> axis.at(turn.now()));
        }
        Belief belief = gear.belief(property);
        Left where = left.get(property);
        if (where != null && (belief.value().isEmpty() || belief.since() < where.since)) {
            return Optional.of(where.at);
        }
        return belief.value().map(value -> value instanceof Value.Num(double n) ? n : null);
    }
}
