package bellpush.runtime.core;

import bellpush.config.model.LinkState;
import bellpush.config.model.Property;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Site;
import bellpush.config.model.Speeds;
import bellpush.config.model.Step;
import bellpush.config.model.Value;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;
import java.util.stream.Stream;

/**
 * How each property of a glide will go, and for how long: by its device's own move where there is one that may last so long,
 * else by speeds where their table is known, else value by value. A speed is never asked for more than its table has: a
 * glide that would need it takes longer, for all of its properties, so that they still arrive together.
 */
final class GlidePlan {
    /** Where a kind says nothing of a property's pace. Common practice, no source. */
    private static final Duration PACE = Duration.ofMillis(20);
    /** More often than this nobody sees or hears a difference. Common practice, no source. */
    private static final Duration LEAST_PACE = Duration.ofMillis(10);

    /** How a property gets there. */
    enum By {
        MOVE("its device's own move"), SPEEDS("speeds"), VALUES("values");

        private final String word;

        By(String word) {
            this.word = word;
        }

        String word() {
            return word;
        }
    }

    /**
     * One property's way.
     *
     * @param from  where it is; of no meaning for a move, whose device knows by itself
     * @param speed the property that is its speed, and what it can be; present for speeds only
     */
    record Way(PropertyRef property, PropertyType type, By by, double from, Value target, Duration pace,
            Optional<Drive> speed) {}

    /** @param type what values the speed takes */
    record Drive(PropertyRef property, PropertyType type, Speeds table) {
        /** The fastest towards greater or smaller values, in units per second; its sign says which. */
        double fastest(boolean up) {
            return type.range().map(range -> table.fastest(up, range)).orElse(0.0);
        }
    }

    private final Site site;
    private final Glides.Gear gear;
    private final Step.Glide step;
    private final Map<PropertyRef, Value> targets;
    private final Function<PropertyRef, Optional<Double>> whereNow;
    private final List<Way> ways = new ArrayList<>();
    private Duration over;
    private Optional<String> longer = Optional.empty();
    private Optional<String> cannot = Optional.empty();

    /** @param targets what the step's values have come to */
    GlidePlan(Site site, Glides.Gear gear, Step.Glide step, Map<PropertyRef, Value> targets,
            Function<PropertyRef, Optional<Double>> whereNow) {
        this.site = site;
        this.gear = gear;
        this.step = step;
        this.targets = targets;
        this.whereNow = whereNow;
        over = step.over();
        plan();
        while (cannot.isEmpty() && stretch()) {
            plan(); // a device's own move may be too short for it now
        }
    }

    /** Why nothing of it can begin. */
    Optional<String> cannot() {
        return cannot;
    }

    List<Way> ways() {
        return ways;
    }

    Duration over() {
        return over;
    }

    /** Why it takes longer than was asked for. */
    Optional<String> longer() {
        return longer;
    }

    private void plan() {
        ways.clear();
        Map<String, Integer> perDevice = new HashMap<>();
        targets.keySet().forEach(property -> perDevice.merge(property.device(), 1, Integer::sum));
        for (Map.Entry<PropertyRef, Value> one : targets.entrySet()) {
            way(one.getKey(), one.getValue(), perDevice.get(one.getKey().device()));
            if (cannot.isPresent()) {
                return;
            }
        }
    }

    private void way(PropertyRef ref, Value target, int together) {
        Property property = site.property(ref);
        LinkState link = gear.link(ref.device());
        if (link == LinkState.DOWN) {
            cannot = Optional.of("the link to " + ref.device() + " is down");
            return;
        }
        if (property.move().filter(move -> over.compareTo(move.longest()) <= 0).isPresent()) {
            ways.add(new Way(ref, property.type(), By.MOVE, 0, target, over, Optional.empty()));
            return;
        }
        if (property.set().isEmpty()) {
            cannot = Optional.of("the device's own move of " + ref + " cannot last " + over.toMillis() + " ms");
            return;
        }
        Optional<Double> from = whereNow.apply(ref);
        if (from.isEmpty()) {
            cannot = Optional.of(ref + " is not known, so there is no way from where it is to " + target);
            return;
        }
        Optional<Drive> drive = property.speeds().map(table -> {
            PropertyRef speed = new PropertyRef(ref.device(), table.by());
            return new Drive(speed, site.property(speed).type(), table);
        });
        if (drive.isPresent() && link != LinkState.UP) {
            cannot = Optional.of("the link to " + ref.device() + " is " + link.word()
                    + ", and what moves by speeds must be able to be stopped");
            return;
        }
        ways.add(new Way(ref, property.type(), drive.isPresent() ? By.SPEEDS : By.VALUES, from.get(), target,
                pace(drive.map(d -> site.property(d.property())).orElse(property),
                        site.devices().get(ref.device()).kind().fastest(), together),
                drive));
    }

    /** So many messages go to the device at each of its steps. */
    private Duration pace(Property sent, Duration deviceFastest, int together) {
        Duration own = sent.fastest().isZero() ? PACE : sent.fastest();
        return Stream.of(own, deviceFastest.multipliedBy(together), LEAST_PACE, gear.step())
                .max(Comparator.naturalOrder()).orElseThrow();
    }

    /** Whether the time had to be made longer. */
    private boolean stretch() {
        Duration needed = over;
        for (Way way : ways) {
            if (way.speed().isPresent() && way.target() instanceof Value.Num(double to) && to != way.from()) {
                double fastest = Math.abs(way.speed().get().fastest(to > way.from()));
                if (fastest == 0) {
                    cannot = Optional.of(way.property() + " cannot go from " + Rounded.tidy(way.from()) + " to " + to
                            + ": its speeds go the other way only");
                    return false;
                }
                double seconds = Math.abs(to - way.from()) * step.ease().steepest() / fastest;
                Duration least = Duration.ofNanos((long) Math.ceil(seconds * 1e9));
                if (least.compareTo(needed) > 0) {
                    needed = least;
                    longer = Optional.of(way.property() + " cannot go faster than "
                            + Rounded.tidy(fastest) + " per second, so the glide takes " + needed.toMillis()
                            + " ms in place of " + step.over().toMillis());
                }
            }
        }
        boolean stretched = needed.compareTo(over) > 0;
        over = needed;
        return stretched;
    }
}
