package bellpush.drivers.sim;

import bellpush.config.model.Rehearsal.Fault;
import bellpush.drivers.link.Timers;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.List;
import java.util.SplittableRandom;
import java.util.random.RandomGenerator;

/**
 * The way messages take to and from a simulated device, with the faults that lie on it: lost, late, or not at all. Late
 * messages keep their order, and only so many wait; beyond that the newest is lost.
 */
final class Line<F> {
    static final int WAITING_MAX = 1_024;

    private final Timers timers;
    private final RandomGenerator random;
    private final Deque<Late<F>> late = new ArrayDeque<>();
    private Timers.Alarm timer = () -> {};
    private double drops;
    private long delayNanos;
    private boolean silent;

    private record Late<F>(Peer<F> to, F message, long dueNanos) {}

    Line(Timers timers, long seed) {
        this.timers = timers;
        this.random = new SplittableRandom(seed);
    }

    /** The fault from now on; those that are none of the line's make it a good line. */
    void fault(Fault fault) {
        drops = fault instanceof Fault.Drops(double share) ? share : 0;
        delayNanos = fault instanceof Fault.Slow(var by) ? by.toNanos() : 0;
        silent = switch (fault) {
            case Fault.Deaf _,Fault.Off _,Fault.Restarts _ -> true;
            default -> false;
        };
        timer.cancel();
        if (silent) {
            late.clear();
        } else if (!late.isEmpty()) {
            hurry();
            wake();
        }
    }

    /** What waits on a line that has become quicker is not later than it would be now. */
    private void hurry() {
        long latest = timers.nanoTime() + delayNanos;
        List<Late<F>> waiting = List.copyOf(late);
        late.clear();
        for (Late<F> each : waiting) {
            late.add(each.dueNanos - latest > 0 ? new Late<>(each.to, each.message, latest) : each);
        }
    }

    /** Whether the next message to the device arrives. */
    boolean arrives() {
        return !silent && !lost();
    }

    /** A message from the device to one peer. */
    void carry(F message, Peer<F> to) {
        if (silent || lost() || late.size() >= WAITING_MAX) {
            return;
        }
        if (delayNanos == 0 && late.isEmpty()) {
            to.say(message);
            return;
        }
        long due = timers.nanoTime() + delayNanos;
        late.add(new Late<>(to, message,
                late.isEmpty() || due - late.getLast().dueNanos > 0 ? due : late.getLast().dueNanos));
        if (late.size() == 1) {
            wake();
        }
    }

    private boolean lost() {
        return drops > 0 && random.nextDouble() < drops;
    }

    private void wake() {
        timer = timers.after(Math.max(0, late.getFirst().dueNanos - timers.nanoTime()), this::deliver);
    }

    private void deliver() {
        while (!late.isEmpty() && late.getFirst().dueNanos - timers.nanoTime() <= 0) {
            Late<F> first = late.removeFirst();
            first.to.say(first.message);
        }
        if (!late.isEmpty()) {
            wake();
        }
    }
}
