package bellpush.runtime.core;

import bellpush.config.model.Condition;
import bellpush.config.model.LinkState;
import bellpush.config.model.Macro;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Site;
import bellpush.config.model.Step;
import bellpush.config.model.Step.Otherwise;
import bellpush.config.model.Value;
import java.time.Duration;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.IdentityHashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeSet;

/** All runs of macros: starting them, moving them from step to step, their lanes, failures and promises. */
final class Runs {
    /** What runs need done outside. */
    interface Gear {
        void set(Run run, PropertyRef property, Value value);

        void command(Run run, Step.Do step);

        /** It has failed; nothing of it comes any more. */
        void failed(Run run);

        LinkState link(String device);

        Belief belief(PropertyRef property);
    }

    private record Failure(String control, long timer) {}

    /** A press that asked for the same macro again while it ran ({@code again: queue}). */
    private record Repeat(String macro, String press, String control) {}

    private final Turn turn;
    private final Site site;
    private final Gear gear;
    private final Map<String, Reach> reaches = new HashMap<>();
    private final Map<Long, Run> runs = new LinkedHashMap<>();
    private final Map<String, Repeat> repeats = new HashMap<>();
    private final Map<String, Failure> failures = new HashMap<>();
    /** The words of each step, made once: steps are many and the same. */
    private final Map<Step, String> stepWords = new IdentityHashMap<>();
    private final Map<Step, String> stepPlaces = new IdentityHashMap<>();
    private Judge judge;
    private long lastRun;

    Runs(Turn turn, Site site, Gear gear) {
        this.turn = turn;
        this.site = site;
        this.gear = gear;
        site.macros().keySet().forEach(name -> reaches.put(name, Reach.of(site, name)));
    }

    /** The judge looks at runs too, so it comes after them. */
    void judgedBy(Judge newJudge) {
        judge = newJudge;
    }

    List<String> running() {
        return runs.values().stream().filter(Run::active).map(run -> run.macro.name()).distinct().toList();
    }

    boolean isRunning(String macro) {
        return runs.values().stream().anyMatch(run -> run.active() && run.macro.name().equals(macro));
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

    boolean hasFailed(String macro) {
        return failures.containsKey(macro);
    }

    /** Whether the last run that this control started of some macro has failed, and the sign of it is still due. */
    boolean hasFailedFor(String control) {
        for (Failure failure : failures.values()) {
            if (failure.control.equals(control)) {
                return true;
            }
        }
        return false;
    }

    /** Starts a macro for the present press. */
    void start(String name, String control) {
        Macro macro = site.macros().get(name);
        forgetFailure(name);
        List<Run> same = runs.values().stream().filter(r -> r.active() && r.macro.name().equals(name)).toList();
        if (!same.isEmpty()) {
            switch (macro.again()) {
                case IGNORE -> {
                    turn.record("ignored", "macro", name, "why", "it is running already");
                    return;
                }
                case QUEUE -> {
                    if (repeats.putIfAbsent(name, new Repeat(name, turn.press(), control)) == null) {
                        turn.record("queued", "macro", name);
                    } else {
                        turn.record("ignored", "macro", name, "why", "one more run is waiting already");
                    }
                    return;
                }
                case RESTART -> same.forEach(run -> end(run, "stopped", "pressed again"));
            }
        }
        if (runs.values().stream().filter(Run::active).count() >= site.limits().runs()) {
            turn.record("refused", "macro", name,
                    "why", site.limits().runs() + " macros are running or waiting already (limit runs)");
            rememberFailure(name, control);
            return;
        }
        Run run = new Run(++lastRun, macro, reaches.get(name), turn.press(), control, turn.now());
        runs.put(run.id, run);
        turn.record("run", "macro", name, "run", run.id, "control", control);
        enter(run);
    }

    private void dropPromisesTouchedBy(Run newcomer) {
        for (Run run : List.copyOf(runs.values())) {
            if (run.phase == Run.Phase.PROMISE) {
                TreeSet<PropertyRef> promised = new TreeSet<>();
                run.macro.promise().ifPresent(p -> Reach.properties(p, promised));
                if (promised.stream().anyMatch(newcomer.reach.changes()::contains)) {
                    turn.stop(run.timer);
                    end(run, "done", "its promise was not waited for, since " + newcomer.macro.name() + " has started");
                }
            }
        }
    }

    /** Takes the lanes, or waits for them. Whoever waits longer goes first. */
    private void enter(Run run) {
        Optional<Run> inTheWay = runs.values().stream().takeWhile(other -> other != run)
                .filter(other -> other.active() && other.usesLaneOf(run)).findFirst();
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
        run.due = Math.max(run.due, turn.now());
        advance(run);
    }

    /** Runs steps until one has to be waited for, or the last is done. */
    private void advance(Run run) {
        turn.blame(run.press);
        while (run.phase == Run.Phase.STEPS && run.timer == 0 && run.awaited == null) {
            Run.Frame frame = run.frames.peek();
            if (frame == null) {
                finish(run);
            } else if (frame.next == frame.steps.size()) {
                run.frames.pop();
            } else if (++run.steps > site.limits().stepsPerPress()) {
                run.frames.clear();
                run.failure = "more than " + site.limits().stepsPerPress() + " steps (limit stepsPerPress)";
                finish(run);
            } else {
                step(run, frame, frame.steps.get(frame.next++));
            }
        }
    }

    private void step(Run run, Run.Frame frame, Step step) {
        if (!(step instanceof Step.Say)) {
            turn.record("step", "run", run.id, "step", stepWords.computeIfAbsent(step, Words::of), "at",
                    stepPlaces.computeIfAbsent(step, s -> s.at().toString()));
        }
        switch (step) {
            case Step.Set(Map<PropertyRef, Value> values, _) -> {
                for (Map.Entry<PropertyRef, Value> each : values.entrySet()) {
                    if (run.phase != Run.Phase.STEPS || run.frames.peek() != frame) {
                        break; // an earlier one of them failed the macro
                    }
                    set(run, each.getKey(), each.getValue());
                }
            }
            case Step.Do act -> {
                if (linkIsThere(run, act.device())) {
                    gear.command(run, act);
                }
            }
            case Step.Wait(Duration time, _) -> {
                run.due += time.toNanos();
                if (run.due > turn.now()) {
                    run.timer = turn.start(run.due, new Wake.RunDue(run.id));
                }
            }
            case Step.Until until -> {
                if (judge.forCertain(until.condition()) != Verdict.YES) {
                    run.awaited = new Run.Awaited(until.condition(), until);
                    run.timer = turn.start(run.due + until.within().toNanos(), new Wake.RunDue(run.id));
                }
            }
            case Step.If(Condition condition, var then, var otherwise, _) -> {
                Verdict verdict = judge.asBelieved(condition);
                if (verdict == Verdict.UNSURE) {
                    turn.record("note", "run", run.id, "text",
                            "cannot tell whether " + Words.of(condition) + "; taken as not");
                }
                run.frames.push(new Run.Frame(frame.macro, verdict == Verdict.YES ? then : otherwise));
            }
            case Step.Remember(PropertyRef ref, _) -> gear.belief(ref).value().ifPresentOrElse(
                    value -> run.remembered.put(ref, value),
                    () -> fail(run, ref + " is not known, so it cannot be remembered"));
            case Step.Restore(PropertyRef ref, _) -> {
                Value value = run.remembered.get(ref);
                if (value == null) {
                    fail(run, ref + " was not remembered in this run, so it cannot be restored");
                } else {
                    set(run, ref, value);
                }
            }
            case Step.Run(String macro, _) -> {
                Macro inner = site.macros().get(macro);
                run.frames.push(new Run.Frame(inner, inner.steps()));
            }
            case Step.Say(String text, var at) -> turn.record("say", "run", run.id, "text", text, "at", at.toString());
        }
    }

    private void set(Run run, PropertyRef ref, Value value) {
        if (linkIsThere(run, ref.device())) {
            gear.set(run, ref, value);
        }
    }

    private boolean linkIsThere(Run run, String device) {
        if (gear.link(device) != LinkState.DOWN) {
            return true;
        }
        fail(run, "the link to " + device + " is down");
        return false;
    }

    /** A timer of this run has fired. */
    void due(long id) {
        Run run = runs.get(id);
        if (run == null) {
            return;
        }
        turn.blame(run.press);
        run.timer = 0;
        if (run.phase == Run.Phase.PROMISE) {
            promiseOver(run);
            return;
        }
        if (run.awaited != null) {
            Step.Until step = run.awaited.step();
            run.awaited = null;
            run.due += step.within().toNanos();
            Optional<String> why = judge.missing(step.condition())
                    .map(m -> m + " after " + step.within().toMillis() + " ms");
            if (why.isPresent()) {
                missed(run, step, why.get());
            }
        }
        advance(run);
    }

    private void missed(Run run, Step.Until step, String why) {
        switch (step.otherwise()) {
            case Otherwise.Stop() -> fail(run, why);
            case Otherwise.GoOn() -> turn.record("note", "run", run.id, "text", why + "; going on as the step says");
            case Otherwise.Instead(String macro) -> instead(run, why, macro);
        }
    }

    /** A message of this run could not be delivered, or the device said no. The run may be over by then. */
    void sendFailed(long id, String control, String macro, String why) {
        Run run = runs.get(id);
        if (run != null && run.phase == Run.Phase.STEPS) {
            fail(run, why);
            advance(run);
        } else if (run != null && run.phase == Run.Phase.PROMISE) {
            run.failure = why;
            turn.stop(run.timer);
            end(run, "failed", why);
        } else {
            turn.record("failed", "macro", macro, "run", id, "control", control, "why", why);
            rememberFailure(macro, control);
        }
    }

    private void fail(Run run, String why) {
        if (run.failure != null) {
            turn.record("note", "run", run.id, "text", "the fallback failed as well: " + why);
            run.frames.clear();
            stopWaiting(run);
            return;
        }
        // The macro whose step failed decides first, then whoever ran it, out to the macro that was started.
        while (!run.frames.isEmpty()) {
            Macro macro = run.frames.peek().macro;
            switch (macro.onFailure()) {
                case Otherwise.GoOn() -> {
                    turn.record("note", "run", run.id, "text", why + "; going on as " + macro.name() + " says");
                    return;
                }
                case Otherwise.Instead(String fallback) -> {
                    instead(run, why, fallback);
                    return;
                }
                case Otherwise.Stop() -> {
                    while (!run.frames.isEmpty() && run.frames.peek().macro == macro) {
                        run.frames.pop();
                    }
                }
            }
        }
        run.failure = why;
        stopWaiting(run);
    }

    private void instead(Run run, String why, String macro) {
        if (run.failure != null) {
            fail(run, why);
            return;
        }
        run.failure = why;
        run.frames.clear();
        stopWaiting(run);
        turn.record("note", "run", run.id, "text", why + "; running " + macro + " instead");
        Macro inner = site.macros().get(macro);
        run.frames.push(new Run.Frame(inner, inner.steps()));
    }

    private void stopWaiting(Run run) {
        turn.stop(run.timer);
        run.timer = 0;
        run.awaited = null;
    }

    private void finish(Run run) {
        if (run.failure != null) {
            end(run, "failed", run.failure);
            return;
        }
        if (run.macro.promise().isEmpty() || judge.forCertain(run.macro.promise().get()) == Verdict.YES) {
            end(run, "done", "");
            return;
        }
        run.phase = Run.Phase.PROMISE;
        run.timer = turn.start(Math.max(run.due, turn.now()) + run.macro.promiseWithin().toNanos(),
                new Wake.RunDue(run.id));
        lanesFree();
    }

    private void promiseOver(Run run) {
        Optional<String> missing = judge.missing(run.macro.promise().orElseThrow());
        if (missing.isPresent()) {
            run.failure = "promise not kept: " + missing.get();
            end(run, "failed", run.failure);
        } else {
            end(run, "done", "");
        }
    }

    private void end(Run run, String how, String why) {
        boolean heldLanes = run.phase == Run.Phase.STEPS || run.phase == Run.Phase.WAITING_FOR_LANE;
        stopWaiting(run);
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
            rememberFailure(run.macro.name(), run.control);
            gear.failed(run); // before others get its lanes, and may set what it has left
        }
        if (heldLanes) {
            lanesFree();
        }
        if (!how.equals("stopped") && repeats.get(run.macro.name()) instanceof Repeat repeat
                && !isRunning(repeat.macro)) {
            repeats.remove(repeat.macro);
            String press = turn.press();
            turn.blame(repeat.press);
            start(repeat.macro, repeat.control);
            turn.blame(press);
        }
    }

    /** The show ends: no run takes a step any more, and each of them ends in the log. */
    void end(String why) {
        repeats.clear();
        for (Run run : List.copyOf(runs.values())) {
            stopWaiting(run);
            run.phase = Run.Phase.ENDED;
            runs.remove(run.id);
            turn.recordFor(run.press, "stopped", "macro", run.macro.name(), "run", run.id, "tookMs",
                    (turn.now() - run.startedAt) / 1_000 / 1_000.0, "why", why);
        }
    }

    private void lanesFree() {
        for (Run run : List.copyOf(runs.values())) {
            if (run.phase == Run.Phase.WAITING_FOR_LANE) {
                String press = turn.press();
                enterQuietly(run);
                turn.blame(press);
            }
        }
    }

    private void enterQuietly(Run run) {
        boolean free = runs.values().stream().takeWhile(other -> other != run)
                .noneMatch(other -> other.active() && other.usesLaneOf(run));
        if (free) {
            enter(run);
        }
    }

    /** Beliefs, links or runs may have changed: whoever waits for a condition looks again. Returns whether anybody moved. */
    boolean lookAgain() {
        if (runs.isEmpty()) {
            return false;
        }
        boolean moved = false;
        for (Run run : new ArrayList<>(runs.values())) {
            if (run.phase == Run.Phase.STEPS && run.awaited != null
                    && judge.forCertain(run.awaited.condition()) == Verdict.YES) {
                moved = true;
                String press = turn.press();
                turn.blame(run.press);
                turn.record("met", "run", run.id, "condition", Words.of(run.awaited.condition()));
                stopWaiting(run);
                run.due = Math.max(run.due, turn.now());
                advance(run);
                turn.blame(press);
            } else if (run.phase == Run.Phase.PROMISE
                    && judge.forCertain(run.macro.promise().orElseThrow()) == Verdict.YES) {
                moved = true;
                end(run, "done", "");
            }
        }
        return moved;
    }

    private void rememberFailure(String macro, String control) {
        forgetFailure(macro);
        long until = turn.now() + site.panel().signs().failedFor().toNanos();
        failures.put(macro, new Failure(control, turn.start(until, new Wake.FailureShown(macro))));
    }

    private void forgetFailure(String macro) {
        Failure old = failures.remove(macro);
        if (old != null) {
            turn.stop(old.timer);
        }
    }

    void failureShown(String macro) {
        failures.remove(macro);
    }
}
