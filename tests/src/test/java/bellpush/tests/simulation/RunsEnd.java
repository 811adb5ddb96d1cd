package bellpush.tests.simulation;

import bellpush.config.model.Site;
import bellpush.runtime.core.Effect;
import bellpush.runtime.core.Event;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.LongSupplier;

/**
 * Every macro that has started ends in the log, once, takes no step after that, and does not outlive its limit; a press that waits to
 * run one once more does not wait for ever. Macros in one lane never interleave: once another run has taken a step in it, the one before
 * takes none.
 */
final class RunsEnd implements Invariant {
    /** Timers of the core may be a little late beside one another. */
    private static final long SLACK_NANOS = 1_000_000;

    private static final class Going {
        final String macro;
        final List<String> lanes;
        final long limit;
        final long startedAt;
        final Set<String> past = new HashSet<>();
        boolean waits;
        long since;

        Going(String macro, List<String> lanes, long limit, long now) {
            this.macro = macro;
            this.lanes = lanes;
            this.limit = limit;
            startedAt = now;
            since = now;
        }
    }

    private final LongSupplier clock;
    private final Map<String, List<String>> lanesOf = new HashMap<>();
    private final Map<String, Long> limitOf = new HashMap<>();
    /** Nobody waits for lanes longer than all others that there may be take together. */
    private final long waitMax;
    private final Map<Long, Going> going = new LinkedHashMap<>();
    private final Map<String, Long> inLane = new HashMap<>();
    /** Presses that wait to run a macro once more, with how many of each. */
    private final Map<String, Integer> queued = new HashMap<>();
    private long nextDeadline = Long.MAX_VALUE;
    private long loggedAt = Long.MIN_VALUE;
    private long runs;

    /** @param clock the time of the evening; the core's own is behind it while it takes edges that come late */
    RunsEnd(Site site, LongSupplier clock) {
        this.clock = clock;
        MacroLimits limits = new MacroLimits(site);
        site.macros().keySet().forEach(macro -> {
            lanesOf.put(macro, List.copyOf(limits.lanes(macro)));
            limitOf.put(macro, limits.runNanos(macro));
        });
        waitMax = limitOf.values().stream().mapToLong(l -> l).max().orElse(0) * site.limits().runs();
    }

    /** Runs that were started so far. */
    long runs() {
        return runs;
    }

    boolean areGoing() {
        return !going.isEmpty();
    }

    @Override
    public void begins(Machine machine) {
        going.clear();
        inLane.clear();
        queued.clear();
        nextDeadline = Long.MAX_VALUE;
    }

    @Override
    public void stalled(long now, long nanos) {
        // What was due meanwhile comes at once when the program goes on, and every wait may begin anew once.
        going.values().forEach(run -> run.since += nanos);
        nextDeadline = 0;
    }

    @Override
    public void effect(Effect effect, long now) {
        if (effect instanceof Effect.Record line) {
            event(line.event(), clock.getAsLong());
        }
    }

    private void event(Event event, long now) {
        if (event.at() < loggedAt) {
            throw new Broken("log", "an event of " + event.at() + " comes after one of " + loggedAt);
        }
        loggedAt = event.at();
        switch (event.what()) {
            case "run" -> started(event, now);
            case "waits" -> run(event).waits = true;
            case "step" -> stepped(event, now);
            case "say" -> run(event);
            case "queued" -> queued.merge(asked(event), 1, Integer::sum);
            case "ignored" -> {
                if (((String) event.details().get("why")).startsWith("it waited")) {
                    comes(event);
                }
            }
            case "refused" -> comes(event);
            case "done", "stopped" -> ended(event);
            case "failed" -> {
                if (!event.details().containsKey("control")) { // else a message of it failed after it was over
                    ended(event);
                }
            }
            default -> {
            }
        }
    }

    private static String asked(Event event) {
        return event.press() + " " + event.details().get("macro");
    }

    /** What was queued runs, or the log says why not. */
    private void comes(Event event) {
        queued.computeIfPresent(asked(event), (_, times) -> times == 1 ? null : times - 1);
    }

    private void started(Event event, long now) {
        comes(event);
        String macro = (String) event.details().get("macro");
        Going run = new Going(macro, lanesOf.get(macro), limitOf.get(macro), now);
        if (going.putIfAbsent((Long) event.details().get("run"), run) != null) {
            throw new Broken("runs", "two runs have the number " + event.details().get("run"));
        }
        runs++;
        nextDeadline = Math.min(nextDeadline, deadline(run));
    }

    private Going run(Event event) {
        Going run = going.get((Long) event.details().get("run"));
        if (run == null) {
            throw new Broken("runs", "\"" + event.what() + "\" of a run that is not going: " + event.details());
        }
        return run;
    }

    private void stepped(Event event, long now) {
        Going run = run(event);
        if (run.waits) {
            run.waits = false;
            run.since = now;
            nextDeadline = Math.min(nextDeadline, deadline(run));
        }
        Long mine = (Long) event.details().get("run");
        for (String lane : run.lanes) {
            Long other = inLane.put(lane, mine);
            if (other != null && !other.equals(mine)) {
                Going left = going.get(other);
                if (left != null) {
                    left.past.add(lane);
                }
                if (run.past.contains(lane)) {
                    throw new Broken("lanes", run.macro + " takes a step in the lane " + lane + " after "
                            + (left == null ? "another" : left.macro) + " has: " + event.details());
                }
            }
        }
    }

    private void ended(Event event) {
        Going run = run(event);
        if (!run.macro.equals(event.details().get("macro"))) {
            throw new Broken("runs", "a run of " + run.macro + " ends as " + event.details());
        }
        going.remove((Long) event.details().get("run"));
    }

    private long deadline(Going run) {
        return run.since + SLACK_NANOS + (run.waits ? waitMax : run.limit);
    }

    @Override
    public void after(long coreNow) {
        long now = clock.getAsLong();
        if (now < nextDeadline) {
            return;
        }
        nextDeadline = Long.MAX_VALUE;
        for (Going run : going.values()) {
            if (now > deadline(run)) {
                throw new Broken("limits", run.macro + " was started " + (now - run.startedAt) / 1_000_000
                        + " ms ago and is not over; " + (run.waits
                                ? "it still waits for its lanes"
                                : "its limit is " + run.limit / 1_000_000 + " ms"));
            }
            nextDeadline = Math.min(nextDeadline, deadline(run));
        }
    }

    @Override
    public void calm(long now) {
        if (!going.isEmpty()) {
            throw new Broken("runs", "not in the log as ended: " + going.values().stream().map(r -> r.macro).toList());
        }
        if (!queued.isEmpty()) {
            throw new Broken("runs", "presses wait to run a macro once more, and nothing runs: " + queued.keySet());
        }
    }
}
