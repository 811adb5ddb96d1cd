package bellpush.runtime.core;

import bellpush.config.model.Command;
import bellpush.config.model.Device;
import bellpush.config.model.Kind;
import bellpush.config.model.LinkState;
import bellpush.drivers.spi.Outcome;
import bellpush.drivers.spi.Request;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.Iterator;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.BiConsumer;
import java.util.function.Consumer;
import java.util.function.Predicate;

/**
 * What waits to be sent to one device, at the pace that its kind can stand. Messages leave in the order in which they were
 * asked for, with one exception each way: a newer value takes the place of an older one of the same property that no
 * command stands behind, and messages may overtake a knob's value that is waiting for its property's own pace. What is
 * urgent, a command or a standstill, waits for the device's pace only, and for nothing else; what waits and would undo it
 * never leaves.
 */
final class Outbox {
    /**
     * One message on its way, and what it is for.
     *
     * @param run      0 for controls and asks
     * @param fromKnob whether others may overtake it, as a value that a hand still changes
     * @param control  the fader or axis that it comes from, or empty text
     */
    record Parcel(String device, Request request, String press, long run, boolean fromKnob, String control) {}

    private final Turn turn;
    private final Device device;
    private final int waitingMax;
    private final Consumer<Parcel> departs;
    private final BiConsumer<Parcel, Outcome> ends;
    private final List<Parcel> waiting = new ArrayList<>();
    private final Map<String, Long> propertyFreeAt = new HashMap<>();
    private long freeAt = Long.MIN_VALUE;
    private long timer;
    private long timerDueAt;

    /**
     * @param departs called when a message leaves now
     * @param ends    called when a message will never leave
     */
    Outbox(Turn turn, Device device, int waitingMax, Consumer<Parcel> departs, BiConsumer<Parcel, Outcome> ends) {
        this.turn = turn;
        this.device = device;
        this.waitingMax = waitingMax;
        this.departs = departs;
        this.ends = ends;
    }

    /** Sends at once where the pace allows, else as soon as it does. */
    void send(Parcel parcel, LinkState link) {
        if (link == LinkState.DOWN) {
            ends.accept(parcel, new Outcome.Failed("the link to " + device.name() + " is down"));
            return;
        }
        if (urgent(parcel.request())) {
            goAhead(parcel);
            return;
        }
        if (!replaceOlder(parcel)) {
            if (waiting.size() >= waitingMax) {
                ends.accept(parcel, new Outcome.Failed(waitingMax + " messages are already waiting for " + device.name()
                        + " (limit waitingSends)"));
                return;
            }
            waiting.add(parcel);
        }
        pump();
    }

    /**
     * A move that waits behind a stop would start what has just been stopped. A stop that waits already keeps its place, or stops that
     * are told again and again would never let the last of them leave.
     */
    private void goAhead(Parcel parcel) {
        Set<String> stopped = changed(parcel.request());
        List<Parcel> lost = new ArrayList<>();
        int urgent = 0;
        int kept = -1;
        for (Iterator<Parcel> each = waiting.iterator(); each.hasNext();) {
            Parcel other = each.next();
            if (urgent(other.request()) && !olderOf(parcel.request(), other.request())) {
                urgent++;
            } else if (changed(other.request()).stream().anyMatch(stopped::contains)) {
                kept = kept < 0 && urgent(other.request()) ? urgent : kept;
                each.remove();
                lost.add(other);
            }
        }
        if (urgent < waitingMax) {
            waiting.add(kept < 0 ? urgent : kept, parcel);
        } else {
            ends.accept(parcel, new Outcome.Failed(urgent + " urgent messages are already waiting for " + device.name()
                    + " (limit waitingSends)"));
        }
        pump();
        lost.forEach(other -> ends.accept(other, olderOf(parcel.request(), other.request())
                ? new Outcome.Replaced()
                : new Outcome.Failed((parcel.request() instanceof Request.DoCommand act
                        ? act.command()
                        : "a standstill of " + String.join(", ", stopped)) + " went ahead of it")));
    }

    private static boolean olderOf(Request newer, Request older) {
        return newer instanceof Request.SetProperty a && older instanceof Request.SetProperty b
                && a.property().equals(b.property());
    }

    private boolean urgent(Request request) {
        return switch (request) {
            case Request.DoCommand act -> command(act).urgent();
            case Request.SetProperty set -> set.urgent();
            case Request.AskProperty _ -> false;
        };
    }

    private Command command(Request.DoCommand act) {
        return device.kind().commands().get(act.command());
    }

    private Set<String> changed(Request request) {
        return switch (request) {
            case Request.SetProperty set -> Set.of(set.property());
            case Request.DoCommand act -> command(act).effect().keySet();
            case Request.AskProperty _ -> Set.of();
        };
    }

    private boolean replaceOlder(Parcel parcel) {
        if (parcel.request() instanceof Request.AskProperty ask && waiting.stream().anyMatch(
                other -> other.request() instanceof Request.AskProperty(_, String same)
                        && same.equals(ask.property()))) {
            ends.accept(parcel, new Outcome.Replaced());
            return true;
        }
        if (!(parcel.request() instanceof Request.SetProperty set)) {
            return false;
        }
        for (int i = waiting.size() - 1; i >= 0; i--) {
            switch (waiting.get(i).request()) {
                case Request.DoCommand _ -> {
                    return false;
                }
                case Request.SetProperty older when older.property().equals(set.property()) -> {
                    ends.accept(waiting.set(i, parcel), new Outcome.Replaced());
                    return true;
                }
                case Request.SetProperty _,Request.AskProperty _ -> {
                }
            }
        }
        return false;
    }

    /** Lets everything leave whose time has come; sets a timer for the next. */
    void pump() {
        long next = Long.MAX_VALUE;
        for (Iterator<Parcel> each = waiting.iterator(); each.hasNext();) {
            Parcel parcel = each.next();
            long due = Math.max(freeAt, propertyFreeAt(parcel));
            if (due <= turn.now()) {
                each.remove();
                leave(parcel);
            } else {
                next = Math.min(next, due);
                if (!parcel.fromKnob() || freeAt > turn.now()) {
                    break;
                }
            }
        }
        arm(next);
    }

    private long propertyFreeAt(Parcel parcel) {
        return parcel.request() instanceof Request.SetProperty set && !set.urgent()
                ? propertyFreeAt.getOrDefault(set.property(), Long.MIN_VALUE)
                : Long.MIN_VALUE;
    }

    private void leave(Parcel parcel) {
        Kind kind = device.kind();
        freeAt = turn.now() + kind.fastest().toNanos();
        if (parcel.request() instanceof Request.SetProperty set) {
            propertyFreeAt.put(set.property(),
                    turn.now() + kind.properties().get(set.property()).fastest().toNanos());
        }
        departs.accept(parcel);
    }

    private void arm(long dueAt) {
        if (timer != 0 && (dueAt == Long.MAX_VALUE || dueAt != timerDueAt)) {
            turn.stop(timer);
            timer = 0;
        }
        if (timer == 0 && dueAt != Long.MAX_VALUE) {
            timer = turn.start(dueAt, new Wake.OutboxDue(device.name()));
            timerDueAt = dueAt;
        }
    }

    /** Whether something that changes the property waits here. */
    boolean holds(String property) {
        return !waiting.isEmpty()
                && waiting.stream().anyMatch(parcel -> changed(parcel.request()).contains(property));
    }

    /** Takes out what waits here of a run, and returns it. */
    List<Parcel> drop(long run) {
        return drop(parcel -> parcel.run() == run);
    }

    /** The same, but only what sets one property. */
    List<Parcel> drop(long run, String property) {
        return drop(parcel -> parcel.run() == run && parcel.request() instanceof Request.SetProperty set
                && set.property().equals(property));
    }

    private List<Parcel> drop(Predicate<Parcel> which) {
        List<Parcel> dropped = waiting.stream().filter(which).toList();
        if (!dropped.isEmpty()) {
            waiting.removeAll(dropped);
            pump();
        }
        return dropped;
    }

    void timerFired() {
        timer = 0;
        pump();
    }

    /** The link has gone: nothing of what waits can be sent any more, and nothing old may be sent to a device that comes back. */
    void fail(String why) {
        List<Parcel> lost = List.copyOf(waiting);
        waiting.clear();
        arm(Long.MAX_VALUE);
        lost.forEach(parcel -> ends.accept(parcel, new Outcome.Failed(why)));
    }
}
