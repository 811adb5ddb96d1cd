package bellpush.runtime.core;

import bellpush.config.model.LinkState;
import bellpush.config.model.Macro;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Site;
import bellpush.config.model.Step;
import bellpush.config.model.Step.Otherwise;
import bellpush.config.model.Value;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;

/** All runs of macros: starting them, their lanes, one taking over from another, stopping them, and their promises. */
final class Runs {
    /** Through this, and nothing else, runs see and move what is outside. */
    interface Gear {
        void set(Run.Sender from, PropertyRef property, Value value);

        void command(Run.Sender from, String device, String command, Map<String, Value> arguments);

        /**
         * Begins a glide; the strand that sends it waits until it ends.
         *
         * @param due     where the strand stands on its own timeline
         * @param targets what the step's values have come to
         */
        Glides.Start glide(Run.Sender from, long due, Step.Glide step, Map<PropertyRef, Value> targets);

        /** Whatever of the strand still glides, stands. */
        void stopGlides(Strand strand);

        LinkState link(String device);

        Belief belief(PropertyRef property);

        /** Whether something that changes the property still waits to be sent, so that what is believed is about to change. */
        boolean leaving(PropertyRef property);

        /** A run has failed, or was taken over from or stopped: a speed that it has left behind is brought to a standstill. */
        void halt(Run run);

        /** What of a run still waits to be sent is not sent any more. */
        void drop(Run run);

        /** Every speed axis is brought to a standstill. */
        void haltAll();
    }

    /** A press that asked for the same macro again while it ran ({@code again: queue}). */
    private record Repeat(String macro, String press, String control) {}

    private final Turn turn;
    private final Site site;
    private final Gear gear;
    private final Steps steps;
    private final Failures failures;
    private final Map<String, Reach> reaches = new HashMap<>();
    private final Map<Long, Run> runs = new LinkedHashMap<>();
    /** By family. */
    private final Map<String, Deque<Repeat>> repeats = new HashMap<>();
    private Judge judge;
    private long lastRun;

    Runs(Turn turn, Site site, Gear gear) {
        this.turn = turn;
        this.site = site;
        this.gear = gear;
        this.steps = new Steps(turn, site, gear, new Steps.House() {
            @Override
            public void finished(Run run) {
                Runs.this.finished(run);
            }

            @Override
            public void stop(Run run, List<String> families) {
                Runs.this.stop(run, families);
            }
        });
        this.failures = new Failures(turn, site.panel().signs().failedFor().toNanos());
        site.macros().keySet().forEach(name -> reaches.put(name, Reach.of(site, name)));
    }

    /** The judge looks at runs too, so it comes after them. */
    void judgedBy(Judge newJudge) {
        judge = newJudge;
        steps.judgedBy(newJudge);
    }

    List<String> running() {
        return runs.values().stream().filter(Run::active).map(run -> run.macro.name()).distinct().toList();
    }

    /** @param family the name of its file */
    boolean isRunning(String family) {
        return runs.values().stream().anyMatch(run -> run.active() && run.macro.family().equals(family));
    }

    /** Whether an active run was started by this control. */
    boolean isRunningFor(String control) {
        for (Run run : runs.values()) { // every lamp asks after every input
            if (run.active() && run.control.equals(control)) {
                return true;
            }
        }
        return false;
    }

    /** Whether a run that this control started has done its steps, and the gear has yet to report what it promised. */
    boolean awaitsPromiseFor(String control) {
        for (Run run : runs.values()) {
            if (run.phase == Run.Phase.PROMISE && run.control.equals(control)) {
                return true;
            }
        }
        return false;
    }

    /** @param family the name of its file */
    boolean hasFailed(String family) {
        return failures.has(family);
    }

    /** Whether the last run that this control started of some macro has failed, and the sign of it is still due. */
    boolean hasFailedFor(String control) {
        return failures.hasFor(control);
    }

    /** Starts a macro for the present press. */
    void start(String name, String control) {
        Macro macro = site.macros().get(name);
        failures.forget(macro.family());
        // One that only tidies up before another takes over is stopped already, and must come to the end of that.
        List<Run> same = runs.values().stream().filter(run -> run.active() && run.takenOver == null
                && run.macro.family().equals(macro.family())).toList();
        if (!same.isEmpty()) {
            switch (macro.again()) {
                case IGNORE -> {
                    turn.record("ignored", "macro", name, "why", "it is running already");
                    return;
                }
                case QUEUE -> {
                    queue(macro, control);
                    return;
                }
                case RESTART -> {
                    same.forEach(gear::drop);
                    same.forEach(run -> end(run, "stopped", "pressed again"));
                }
            }
        }
        Reach reach = reaches.get(name);
        // A press that stops everything is for when too much goes on.
        if (!reach.stops() && runs.values().stream().filter(Run::active).count() >= site.limits().runs()) {
            turn.record("refused", "macro", name,
                    "why", site.limits().runs() + " macros are running or waiting already (limit runs)");
            failures.remember(macro.family(), control);
            return;
        }
        Run run = new Run(++lastRun, macro, reach, turn.press(), control, turn.now());
        runs.put(run.id, run);
        turn.record("run", "macro", name, "run", run.id, "control", control);
        if (macro.takesOver()) {
            takeOver(run);
        }
        if (run.phase == Run.Phase.WAITING_FOR_LANE) { // else what was taken over has let it in already
            enter(run);
        }
    }

    private void queue(Macro macro, String control) {
        Deque<Repeat> waiting = repeats.computeIfAbsent(macro.family(), _ -> new ArrayDeque<>());
        if (waiting.size() < macro.repeatsMax()) {
            waiting.add(new Repeat(macro.name(), turn.press(), control));
            turn.record("queued", "macro", macro.name());
        } else {
            turn.record("ignored", "macro", macro.name(), "why", waiting.size() == 1
                    ? "one more run is waiting already"
                    : waiting.size() + " more runs are waiting already");
        }
    }

    private void dropPromisesTouchedBy(Run newcomer) {
        for (Run run : List.copyOf(runs.values())) {
            if (run.phase == Run.Phase.PROMISE) {
                TreeSet<PropertyRef> promised = new TreeSet<>();
                run.macro.promise().ifPresent(p -> Reach.properties(p, promised));
                if (promised.stream().anyMatch(newcomer.reach.changes()::contains)) {
                    end(run, "done", "its promise was not waited for, since " + newcomer.macro.name() + " has started");
                }
            }
        }
    }

    // --- lanes

    /** Takes the lanes, or waits for them. Whoever waits longer goes first. */
    private void enter(Run run) {
        Optional<Run> inTheWay = inTheWayOf(run);
        if (inTheWay.isPresent()) {
            turn.recordFor(run.press, "waits", "macro", run.macro.name(), "run", run.id, "for",
                    inTheWay.get().macro.name());
            return;
        }
        // Now, not when it was asked for: what it waited for may have come to its promise meanwhile.
        dropPromisesTouchedBy(run);
        if (run.phase != Run.Phase.WAITING_FOR_LANE) {
            return; // a repeat that waited for such a promise has come and gone, and this run got its lanes behind it
        }
        run.phase = Run.Phase.STEPS;
        steps.begin(run);
    }

    private Optional<Run> inTheWayOf(Run run) {
        return runs.values().stream().takeWhile(other -> other != run)
                .filter(other -> other.active() && other.usesLaneOf(run)).findFirst();
    }

    private void lanesFree() {
        for (Run run : List.copyOf(runs.values())) {
            if (run.phase == Run.Phase.WAITING_FOR_LANE && inTheWayOf(run).isEmpty()) {
                String press = turn.press();
                enter(run);
                turn.blame(press);
            }
        }
    }

    /** Stops the runs that hold or wait for the newcomer's lanes. Those that tidy up first keep their lanes until they have. */
    private void takeOver(Run newcomer) {
        String press = turn.press();
        List<Run> others = runs.values().stream()
                .filter(other -> other != newcomer && other.active() && other.usesLaneOf(newcomer)).toList();
        others.forEach(run -> dropRepeats(run.macro.family(), newcomer));
        // Of what tidies up already everything leaves.
        others.stream().filter(run -> run.takenOver == null).forEach(gear::drop);
        // Those that wait first, the last of them first, or they would begin when the others end.
        others.reversed().stream().filter(run -> run.phase == Run.Phase.WAITING_FOR_LANE)
                .forEach(run -> end(run, "stopped", "taken over by " + newcomer.macro.name()));
        for (Run run : others) {
            if (run.phase == Run.Phase.STEPS && run.takenOver == null) {
                List<Macro> tidies = tidies(run);
                run.takenOver = newcomer.macro.name();
                gear.drop(run); // it may have begun while those before it ended
                if (!tidies.isEmpty()) {
                    turn.recordFor(run.press, "note", "run", run.id, "text", "taken over by " + run.takenOver
                            + "; running " + String.join(", ", tidies.stream().map(Macro::name).toList()) + " first");
                }
                steps.giveUp(run, tidies);
            }
        }
        turn.blame(press);
    }

    /** What tidies up after all the macros that a run is in, the inner ones first. */
    private List<Macro> tidies(Run run) {
        Set<String> names = new LinkedHashSet<>();
        for (Strand strand : run.strands.reversed()) {
            strand.frames.forEach(frame -> frame.macro.onTakeover().ifPresent(names::add));
        }
        return names.stream().map(site.macros()::get).toList();
    }

    private void dropRepeats(String family, Run by) {
        Deque<Repeat> waiting = repeats.remove(family);
        if (waiting != null) {
            waiting.forEach(repeat -> turn.recordFor(repeat.press, "ignored", "macro", repeat.macro, "why",
                    "it waited to run once more, and was stopped by " + by.macro.name()));
        }
    }

    /** @param families empty: all */
    private void stop(Run by, List<String> families) {
        String press = turn.press();
        String why = "stopped by " + by.macro.name();
        List<Run> others = runs.values().stream()
                .filter(run -> run != by && (families.isEmpty() || families.contains(run.macro.family()))).toList();
        for (String family : List.copyOf(new TreeSet<>(repeats.keySet()))) {
            if (families.isEmpty() || families.contains(family)) {
                dropRepeats(family, by);
            }
        }
        others.forEach(gear::drop);
        // Those that wait first, the last of them first, or they would begin when the others end.
        for (Run.Phase phase : List.of(Run.Phase.WAITING_FOR_LANE, Run.Phase.STEPS, Run.Phase.PROMISE)) {
            others.reversed().stream().filter(run -> run.phase == phase).forEach(run -> {
                run.takenOver = by.macro.name();
                gear.drop(run); // it may have begun while those before it ended
                end(run, "stopped", why);
            });
        }
        if (families.isEmpty()) {
            turn.blame(by.press);
            gear.haltAll();
        }
        turn.blame(press);
    }

    // --- ends

    private void finished(Run run) {
        if (run.takenOver != null) {
            end(run, run.failure == null ? "stopped" : "failed",
                    (run.failure == null ? "" : run.failure + "; ") + "taken over by " + run.takenOver);
            return;
        }
        if (run.failure != null) {
            end(run, "failed", run.failure);
            return;
        }
        if (run.macro.promise().isEmpty() || judge.forCertain(run.macro.promise().get()) == Verdict.YES) {
            end(run, "done", "");
            return;
        }
        run.phase = Run.Phase.PROMISE;
        run.promiseTimer = turn.start(
                Math.max(run.main().due, turn.now()) + run.macro.promiseWithin().toNanos(),
                new Wake.PromiseOver(run.id));
        lanesFree();
    }

    private void end(Run run, String how, String why) {
        boolean heldLanes = run.active();
        steps.clear(run);
        turn.stop(run.promiseTimer);
        run.phase = Run.Phase.ENDED;
        runs.remove(run.id);
        long tookMicros = (turn.now() - run.startedAt) / 1_000;
        if (why.isEmpty()) {
            turn.recordFor(run.press, how, "macro", run.macro.name(), "run", run.id, "tookMs", tookMicros / 1_000.0);
        } else {
            turn.recordFor(run.press, how, "macro", run.macro.name(), "run", run.id, "tookMs", tookMicros / 1_000.0,
                    "why", why);
        }
        if (run.failure != null) {
            failures.remember(run.macro.family(), run.control);
        }
        if (run.failure != null || how.equals("stopped")) {
            run.halting = true;
            gear.halt(run); // before others get its lanes, and may set what it has left
            run.halting = false;
        }
        if (heldLanes) {
            lanesFree();
        }
        Deque<Repeat> waiting = repeats.get(run.macro.family());
        if (!how.equals("stopped") && waiting != null && !isRunning(run.macro.family())) {
            Repeat repeat = waiting.remove();
            if (waiting.isEmpty()) {
                repeats.remove(run.macro.family());
            }
            String press = turn.press();
            turn.blame(repeat.press);
            start(repeat.macro, repeat.control);
            turn.blame(press);
        }
    }

    /** The show ends: no run takes a step any more, and each of them ends in the log. */
    void endAll(String why) {
        repeats.clear();
        for (Run run : List.copyOf(runs.values())) {
            steps.clear(run);
            turn.stop(run.promiseTimer);
            run.phase = Run.Phase.ENDED;
            runs.remove(run.id);
            turn.recordFor(run.press, "stopped", "macro", run.macro.name(), "run", run.id, "tookMs",
                    (turn.now() - run.startedAt) / 1_000 / 1_000.0, "why", why);
        }
    }

    // --- what happens to runs

    /** A timer of a strand has fired. The run may be over by then. */
    void due(long id, int strand) {
        Run run = runs.get(id);
        if (run != null) {
            steps.due(run, strand);
        }
    }

    /** A macro of the run may have taken all of its time. */
    void limitReached(long id) {
        Run run = runs.get(id);
        if (run != null && run.phase == Run.Phase.STEPS) {
            steps.limitReached(run);
        }
    }

    void promiseOver(long id) {
        Run run = runs.get(id);
        if (run == null || run.phase != Run.Phase.PROMISE) {
            return;
        }
        turn.blame(run.press);
        Optional<String> missing = judge.missing(run.macro.promise().orElseThrow());
        if (missing.isPresent()) {
            run.failure = "promise not kept: " + missing.get();
            end(run, "failed", run.failure);
        } else {
            end(run, "done", "");
        }
    }

    /** A message of a run could not be delivered, or the device said no. The run may be over by then. */
    void sendFailed(Run.Sender sender, String why) {
        Run run = sender.run();
        Otherwise says = sender.guard() != null ? sender.guard() : sender.macro().onFailure();
        if (run.halting) {
            turn.recordFor(run.press, "note", "run", run.id, "text", why);
        } else if (run.phase == Run.Phase.STEPS) {
            steps.sendFailed(sender, why);
        } else if (says instanceof Otherwise.GoOn || sender.confirmed() || run.takenOver != null
                || sender.stage() != run.stage) {
            turn.recordFor(run.press, "note", "run", run.id, "text", why);
        } else if (run.phase == Run.Phase.PROMISE) {
            run.failure = why;
            end(run, "failed", why);
        } else {
            turn.record("failed", "macro", run.macro.name(), "run", run.id, "control", run.control, "why", why);
            failures.remember(run.macro.family(), run.control);
        }
    }

    void failureShown(String family) {
        failures.shown(family);
    }

    /** Beliefs, links or runs may have changed: whoever waits for a condition looks again. Returns whether anybody moved. */
    boolean lookAgain() {
        if (runs.isEmpty()) {
            return false;
        }
        boolean moved = false;
        for (Run run : new ArrayList<>(runs.values())) {
            if (run.phase == Run.Phase.STEPS) {
                moved |= steps.lookAgain(run);
            } else if (run.phase == Run.Phase.PROMISE
                    && judge.forCertain(run.macro.promise().orElseThrow()) == Verdict.YES) {
                moved = true;
                end(run, "done", "");
            }
        }
        return moved;
    }
}
