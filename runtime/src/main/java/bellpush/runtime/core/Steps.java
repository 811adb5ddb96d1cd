package bellpush.runtime.core;

import bellpush.config.model.Condition;
import bellpush.config.model.LinkState;
import bellpush.config.model.Macro;
import bellpush.config.model.Operand;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Site;
import bellpush.config.model.Step;
import bellpush.config.model.Step.Otherwise;
import bellpush.config.model.Value;
import bellpush.runtime.core.Strand.Frame;
import bellpush.runtime.core.Strand.Waiting;
import java.util.ArrayList;
import java.util.IdentityHashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/** Moves the strands of runs from step to step, and decides what becomes of a run when a step fails. */
final class Steps {
    /** What it leaves to {@link Runs}. */
    interface House {
        /** The run has no steps left. */
        void finished(Run run);

        /** The run asks for others to be stopped. */
        void stop(Run run, List<String> families);
    }

    private final Turn turn;
    private final Site site;
    private final Runs.Gear gear;
    private final House house;
    private final Operands operands;
    /** The words of each step, made once: steps are many and the same. */
    private final Map<Step, String> stepWords = new IdentityHashMap<>();
    private final Map<Step, String> stepPlaces = new IdentityHashMap<>();
    private Judge judge;

    Steps(Turn turn, Site site, Runs.Gear gear, House house) {
        this.turn = turn;
        this.site = site;
        this.gear = gear;
        this.house = house;
        this.operands = new Operands(site, gear::belief);
    }

    /** The judge looks at runs too, so it comes after them. */
    void judgedBy(Judge newJudge) {
        judge = newJudge;
    }

    // --- moving on

    /** The run has its lanes now. */
    void begin(Run run) {
        run.main().due = Math.max(run.main().due, turn.now());
        enter(run.main(), Frame.of(run.macro));
        go(run.main());
    }

    /**
     * What the run was doing is given up, and these macros are run, one after the other, before it ends.
     *
     * @param tidies may be empty
     */
    void giveUp(Run run, List<Macro> tidies) {
        run.stage++;
        clear(run);
        gear.halt(run); // the tidying up may take its time
        run.main().due = turn.now();
        tidies.reversed().forEach(macro -> enter(run.main(), Frame.inPlace(macro)));
        go(run.main());
    }

    /** Runs steps until every strand has to wait for something, or the last step is done. */
    private void go(Strand strand) {
        Run run = strand.run;
        if (run.moving) {
            return; // whoever moves it comes to this strand as well
        }
        run.moving = true;
        for (Strand ready = strand; ready != null; ready = firstReady(run)) {
            advance(ready);
        }
        run.moving = false;
        if (run.phase == Run.Phase.STEPS && run.main().over) {
            house.finished(run);
        }
    }

    /** A strand that has ended lets the one go on whose branch it was; one that has failed may have moved another. */
    private static Strand firstReady(Run run) {
        return run.phase != Run.Phase.STEPS
                ? null
                : run.strands.stream().filter(Strand::ready).findFirst().orElse(null);
    }

    private void advance(Strand strand) {
        Run run = strand.run;
        turn.blame(run.press);
        while (run.phase == Run.Phase.STEPS && strand.ready()) {
            Frame frame = strand.frames.peek();
            if (frame == null) {
                done(strand);
            } else if (frame.next == frame.steps.size()) {
                leave(strand);
            } else if (++run.steps > site.limits().stepsPerPress()) {
                clear(run);
                run.failure = "more than " + site.limits().stepsPerPress() + " steps (limit stepsPerPress)";
            } else {
                step(strand, frame, frame.steps.get(frame.next++));
            }
        }
    }

    private void done(Strand strand) {
        strand.over = true;
        Strand parent = strand.parent;
        if (parent == null) {
            return;
        }
        strand.run.strands.remove(strand);
        parent.due = Math.max(parent.due, strand.due);
        if (parent.waiting instanceof Waiting.ForBranches(List<Strand> branches)
                && branches.stream().allMatch(branch -> branch.over)) {
            parent.waiting = null;
        }
    }

    private void enter(Strand strand, Frame frame) {
        strand.frames.push(frame);
        if (!frame.whole) {
            return;
        }
        frame.limitAt = turn.now() + frame.macro.within().toNanos();
        if (frame.limitAt < soonestLimit(strand)) {
            frame.limitTimer = turn.start(frame.limitAt, new Wake.MacroOver(strand.run.id));
        }
    }

    private static long soonestLimit(Strand strand) {
        long soonest = Long.MAX_VALUE;
        for (Strand each = strand; each != null; each = each.parent) {
            for (Frame frame : each.frames) {
                soonest = frame.limitTimer == 0 ? soonest : Math.min(soonest, frame.limitAt);
            }
        }
        return soonest;
    }

    private Frame leave(Strand strand) {
        Frame frame = strand.frames.pop();
        turn.stop(frame.limitTimer);
        return frame;
    }

    // --- the steps

    private void step(Strand strand, Frame frame, Step written) {
        Run run = strand.run;
        frame.guard = written instanceof Step.Guarded(_, Otherwise otherwise) ? otherwise : null;
        Step step = written instanceof Step.Guarded(Step inner, _) ? inner : written;
        if (!(step instanceof Step.Say)) {
            turn.record("step", "run", run.id, "step", stepWords.computeIfAbsent(step, Words::of), "at",
                    stepPlaces.computeIfAbsent(step, s -> s.at().toString()));
        }
        switch (step) {
            case Step.Set _,Step.Do _,Step.Remember _,Step.Glide _ -> whenLeft(strand, step);
            case Step.Wait(var time, _) -> {
                strand.due += time.toNanos();
                if (strand.due > turn.now()) {
                    wake(strand, strand.due);
                }
            }
            case Step.Until until -> {
                if (judge.forCertain(until.condition()) != Verdict.YES) {
                    strand.waiting = new Waiting.ForCondition(until);
                    wake(strand, strand.due + until.within().toNanos());
                }
            }
            case Step.If(Condition condition, var then, var otherwise, _) -> {
                Verdict verdict = judge.asBelieved(condition);
                if (verdict == Verdict.UNSURE) {
                    turn.record("note", "run", run.id, "text",
                            "cannot tell whether " + Words.of(condition) + "; taken as not");
                }
                enter(strand, Frame.part(frame.macro, verdict == Verdict.YES ? then : otherwise));
            }
            case Step.Restore(PropertyRef ref, _) -> {
                Value value = run.remembered.get(ref);
                if (value == null) {
                    fail(strand, ref + " was not remembered in this run, so it cannot be restored", frame.guard);
                } else {
                    set(sender(strand, false), ref, value);
                }
            }
            case Step.Run(String macro, _) -> enter(strand, Frame.of(site.macros().get(macro)));
            case Step.Together(var branches, _) -> together(strand, frame, branches);
            case Step.Stop(var families, _) -> house.stop(run, families);
            case Step.Say(String text, var at) -> turn.record("say", "run", run.id, "text", text, "at", at.toString());
            case Step.Guarded _ -> throw new IllegalStateException("a guard within a guard");
        }
    }

    private void wake(Strand strand, long at) {
        strand.timer = turn.start(at, new Wake.StrandDue(strand.run.id, strand.number));
    }

    private Run.Sender sender(Strand strand, boolean confirmed) {
        Frame frame = strand.frames.peek();
        return new Run.Sender(strand.run, strand, frame.macro, frame.guard, confirmed, strand.run.stage);
    }

    private void together(Strand strand, Frame frame, List<List<Step>> branches) {
        List<Strand> started = new ArrayList<>();
        for (List<Step> steps : branches) {
            Strand branch = new Strand(strand.run, ++strand.run.lastStrand, strand, strand.due);
            branch.frames.push(Frame.part(frame.macro, steps));
            started.add(branch);
        }
        strand.run.strands.addAll(started);
        strand.waiting = new Waiting.ForBranches(started);
        started.forEach(this::advance);
    }

    /** What a step looks up must not be about to change: what was sent before it has left first. */
    private void whenLeft(Strand strand, Step step) {
        Set<PropertyRef> sources = switch (step) {
            case Step.Set set -> Operands.sources(set.values());
            case Step.Do act -> Operands.sources(act.arguments().values());
            case Step.Remember(PropertyRef ref, _) -> Set.of(ref);
            case Step.Glide glide -> Operands.sources(glide.values());
            default -> Set.of();
        };
        if (sources.stream().anyMatch(gear::leaving)) {
            strand.waiting = new Waiting.ForDepartures(sources, step);
        } else {
            perform(strand, step);
        }
    }

    private void perform(Strand strand, Step step) {
        switch (step) {
            case Step.Set set -> set(strand, set);
            case Step.Do act -> act(strand, act);
            case Step.Glide glide -> glide(strand, glide);
            case Step.Remember(PropertyRef ref, _) -> gear.belief(ref).value().ifPresentOrElse(
                    value -> strand.run.remembered.put(ref, value),
                    () -> fail(strand, ref + " is not known, so it cannot be remembered", strand.frames.peek().guard));
            default -> throw new IllegalStateException("looks nothing up: " + step);
        }
    }

    private void set(Strand strand, Step.Set step) {
        lookedUp(strand, step.values()).ifPresent(values -> {
            if (sendAll(strand, values, step.confirm().isPresent()) && step.confirm().isPresent()) {
                awaitReports(strand, new Waiting.ForReports(values, step.confirm().get(), 1));
            }
        });
    }

    /** What the operands come to; empty where one of them is not known, and the step has failed. */
    private Optional<Map<PropertyRef, Value>> lookedUp(Strand strand, Map<PropertyRef, Operand> written) {
        Map<PropertyRef, Value> values = new LinkedHashMap<>();
        for (Map.Entry<PropertyRef, Operand> each : written.entrySet()) {
            Operands.Found found = operands.of(each.getKey(), each.getValue());
            if (found.value() == null) {
                fail(strand, found.why(), strand.frames.peek().guard);
                return Optional.empty();
            }
            values.put(each.getKey(), found.value());
        }
        return Optional.of(values);
    }

    private void glide(Strand strand, Step.Glide step) {
        lookedUp(strand, step.values()).ifPresent(targets -> {
            Waiting.ForGlide waiting = new Waiting.ForGlide(sender(strand, false));
            strand.waiting = waiting;
            switch (gear.glide(waiting.from(), strand.due, step, targets)) {
                case Glides.Start.Going(long endsAt) -> {
                    if (strand.waiting == waiting) { // else it has failed already
                        strand.due = endsAt;
                        wake(strand, endsAt);
                    }
                }
                case Glides.Start.Cannot(String why) -> {
                    strand.waiting = null;
                    fail(strand, why, strand.frames.peek().guard);
                }
                case Glides.Start.Over() -> {
                }
            }
        });
    }

    /** Whether the strand still is where it was: one of them may have failed the macro. */
    private boolean sendAll(Strand strand, Map<PropertyRef, Value> values, boolean confirmed) {
        Frame frame = strand.frames.peek();
        int stage = strand.run.stage;
        Run.Sender sender = sender(strand, confirmed);
        for (Map.Entry<PropertyRef, Value> each : values.entrySet()) {
            boolean sent = set(sender, each.getKey(), each.getValue());
            if (strand.over || strand.frames.peek() != frame || strand.run.stage != stage
                    || strand.run.phase != Run.Phase.STEPS || confirmed && !sent) {
                return false;
            }
        }
        return true;
    }

    private boolean set(Run.Sender sender, PropertyRef ref, Value value) {
        if (!linkIsThere(sender.strand(), ref.device())) {
            return false;
        }
        gear.set(sender, ref, value);
        return true;
    }

    private void act(Strand strand, Step.Do act) {
        Map<String, PropertyType> types = site.devices().get(act.device()).kind().commands().get(act.command())
                .arguments();
        Map<String, Value> arguments = new LinkedHashMap<>();
        for (Map.Entry<String, Operand> each : act.arguments().entrySet()) {
            Operands.Found found = operands.of("the argument " + each.getKey(), types.get(each.getKey()),
                    each.getValue());
            if (found.value() == null) {
                fail(strand, found.why(), strand.frames.peek().guard);
                return;
            }
            arguments.put(each.getKey(), found.value());
        }
        if (linkIsThere(strand, act.device())) {
            gear.command(sender(strand, false), act.device(), act.command(), arguments);
        }
    }

    private boolean linkIsThere(Strand strand, String device) {
        if (gear.link(device) != LinkState.DOWN) {
            return true;
        }
        fail(strand, "the link to " + device + " is down", strand.frames.peek().guard);
        return false;
    }

    // --- what strands wait for

    private void awaitReports(Strand strand, Waiting.ForReports waiting) {
        if (!missing(waiting).isEmpty()) {
            strand.waiting = waiting;
            wake(strand, strand.due + waiting.confirm().within().toNanos());
        }
    }

    /** What has not been reported since it was sent. What has not even left cannot have been. */
    private Map<PropertyRef, Value> missing(Waiting.ForReports waiting) {
        Map<PropertyRef, Value> missing = new LinkedHashMap<>();
        waiting.values().forEach((ref, value) -> {
            if (gear.leaving(ref) || judge.forCertain(is(ref, value)) != Verdict.YES) {
                missing.put(ref, value);
            }
        });
        return missing;
    }

    private static Condition is(PropertyRef ref, Value value) {
        return new Condition.Is(ref, new Condition.Test.Equal(value));
    }

    /** A timer of this strand has fired. */
    void due(Run run, int number) {
        Optional<Strand> found = run.strands.stream().filter(strand -> strand.number == number).findFirst();
        if (run.phase != Run.Phase.STEPS || found.isEmpty()) {
            return;
        }
        Strand strand = found.get();
        turn.blame(run.press);
        strand.timer = 0;
        Waiting over = strand.waiting;
        strand.waiting = null;
        if (over instanceof Waiting.ForCondition(Step.Until step)) {
            strand.due += step.within().toNanos();
            judge.missing(step.condition()).map(m -> m + " after " + step.within().toMillis() + " ms")
                    .ifPresent(why -> missed(strand, step, why));
        } else if (over instanceof Waiting.ForReports reports) {
            strand.due += reports.confirm().within().toNanos();
            Map<PropertyRef, Value> missing = missing(reports);
            if (!missing.isEmpty()) {
                notReported(strand, reports, missing);
            }
        }
        go(strand);
    }

    private void missed(Strand strand, Step.Until step, String why) {
        switch (step.otherwise()) {
            case Otherwise.Stop() -> fail(strand, why, null);
            case Otherwise.GoOn() ->
                turn.record("note", "run", strand.run.id, "text", why + "; going on as the step says");
            case Otherwise.Instead(String macro) -> fail(strand, why, step.otherwise());
        }
    }

    private void notReported(Strand strand, Waiting.ForReports reports, Map<PropertyRef, Value> missing) {
        String why = String.join("; ", missing.entrySet().stream()
                .map(each -> judge.missing(is(each.getKey(), each.getValue()))
                        .orElse(each.getKey() + " " + each.getValue() + " has not left yet"))
                .toList());
        if (reports.sent() >= reports.confirm().times()) {
            fail(strand, why + " after it was sent " + times(reports.sent()), strand.frames.peek().guard);
            return;
        }
        turn.record("note", "run", strand.run.id, "text",
                why + "; sent again, " + (reports.sent() + 1) + " of " + times(reports.confirm().times()));
        if (sendAll(strand, missing, true)) {
            awaitReports(strand, new Waiting.ForReports(reports.values(), reports.confirm(), reports.sent() + 1));
        }
    }

    private static String times(int times) {
        return times == 1 ? "once" : times + " times";
    }

    /** Beliefs, links or runs may have changed: whoever waits for that looks again. Returns whether anybody moved. */
    boolean lookAgain(Run run) {
        boolean moved = false;
        for (Strand strand : List.copyOf(run.strands)) {
            if (strand.over || run.phase != Run.Phase.STEPS || !met(strand)) {
                continue;
            }
            moved = true;
            String press = turn.press();
            turn.blame(run.press);
            Waiting over = strand.waiting;
            rest(strand);
            strand.due = Math.max(strand.due, turn.now());
            switch (over) {
                case Waiting.ForCondition(Step.Until step) ->
                    turn.record("met", "run", run.id, "condition", Words.of(step.condition()));
                case Waiting.ForReports(var values, _, _) -> turn.record("met", "run", run.id, "condition",
                        String.join(" and ", values.entrySet().stream().map(e -> Words.of(is(e.getKey(), e.getValue())))
                                .toList()));
                case Waiting.ForDepartures(_, Step step) -> perform(strand, step);
                case Waiting.ForBranches _,Waiting.ForGlide _ -> {
                }
            }
            go(strand);
            turn.blame(press);
        }
        return moved;
    }

    private boolean met(Strand strand) {
        return switch (strand.waiting) {
            case null -> false;
            case Waiting.ForCondition(Step.Until step) -> judge.forCertain(step.condition()) == Verdict.YES;
            case Waiting.ForReports reports -> missing(reports).isEmpty();
            case Waiting.ForDepartures(Set<PropertyRef> of, _) -> of.stream().noneMatch(gear::leaving);
            case Waiting.ForBranches _,Waiting.ForGlide _ -> false;
        };
    }

    /** Ends whatever the strand waits for. */
    private void rest(Strand strand) {
        if (strand.waiting instanceof Waiting.ForBranches(List<Strand> branches)) {
            branches.forEach(this::drop);
        }
        boolean glides = strand.waiting instanceof Waiting.ForGlide;
        turn.stop(strand.timer);
        strand.timer = 0;
        strand.waiting = null;
        if (glides) {
            gear.stopGlides(strand);
        }
    }

    private void drop(Strand branch) {
        if (!branch.over) {
            branch.over = true;
            rest(branch);
            while (!branch.frames.isEmpty()) {
                leave(branch);
            }
            branch.run.strands.remove(branch);
        }
    }

    /** Nothing of what the run was doing goes on. */
    void clear(Run run) {
        rest(run.main());
        while (!run.main().frames.isEmpty()) {
            leave(run.main());
        }
    }

    // --- failing

    /** A message of this run could not be delivered, or the device said no. The run is in its steps. */
    void sendFailed(Run.Sender sender, String why) {
        Run run = sender.run();
        if (sender.confirmed() || sender.stage() != run.stage) {
            turn.recordFor(run.press, "note", "run", run.id, "text", why);
            return; // the step sees to it itself; or it belongs to what was given up
        }
        Strand strand = sender.strand();
        while (strand.over && strand.parent != null) {
            strand = strand.parent;
        }
        boolean stillInIt = strand.frames.stream().anyMatch(frame -> frame.macro == sender.macro());
        Otherwise says = sender.guard() != null
                ? sender.guard()
                : stillInIt && guardedAround(strand, sender.macro())
                        ? new Otherwise.Stop()
                        : sender.macro().onFailure();
        if (says instanceof Otherwise.GoOn) {
            turn.record("note", "run", run.id, "text", why + "; going on as " + who(sender.guard(), sender.macro()));
            if (strand.waiting instanceof Waiting.ForGlide(Run.Sender from) && from == sender) {
                behind(strand); // it glides no more, so there is nothing left to wait for
            }
        } else if (stillInIt) {
            while (strand.frames.peek().macro != sender.macro()) {
                rest(strand);
                leave(strand);
            }
            rest(strand);
            fail(strand, why, sender.guard());
        } else if (says instanceof Otherwise.Instead) {
            fail(strand, why, says);
        } else {
            fail(strand, why, null);
        }
        go(strand);
    }

    private static String who(Otherwise guard, Macro macro) {
        return (guard == null ? macro.name() : "the step") + " says";
    }

    /**
     * The step that failed decides first, if it has a say; then its macro, then whoever ran that, out to the macro that was
     * started.
     *
     * @param own what the step says, or null
     */
    private void fail(Strand strand, String why, Otherwise own) {
        Run run = strand.run;
        Otherwise guard = own;
        boolean left = false;
        while (!strand.frames.isEmpty()) {
            Macro macro = strand.frames.peek().macro;
            Otherwise says = guard != null
                    ? guard
                    : guardedAround(strand, macro) ? new Otherwise.Stop() : macro.onFailure();
            if (says instanceof Otherwise.GoOn) {
                turn.record("note", "run", run.id, "text", why + "; going on as " + who(guard, macro));
                if (left) {
                    behind(strand);
                }
                return;
            }
            if (says instanceof Otherwise.Instead(String fallback) && run.failure == null && run.takenOver == null) {
                instead(strand, why, fallback);
                return;
            }
            left = true;
            Frame last;
            do {
                last = leave(strand);
            } while (!last.whole && !strand.frames.isEmpty());
            if (last.inPlace) {
                turn.record("note", "run", run.id, "text",
                        (run.takenOver == null ? "the fallback failed as well: " : "tidying up failed: ") + why);
                behind(strand);
                return;
            }
            guard = strand.frames.isEmpty() ? null : strand.frames.peek().guard;
        }
        behind(strand);
        if (strand.parent == null) {
            run.failure = why;
            return;
        }
        Strand parent = strand.parent;
        parent.due = Math.max(parent.due, strand.due);
        rest(parent); // with the other branches
        fail(parent, why, parent.frames.peek().guard);
    }

    /** Whether a {@code together} of this macro, of which the strand is a branch, has a say before the macro has. */
    private static boolean guardedAround(Strand strand, Macro macro) {
        for (Strand parent = strand.parent; parent != null; parent = parent.parent) {
            Frame frame = parent.frames.peek();
            if (frame.macro != macro) {
                return false;
            }
            if (frame.guard != null) {
                return true;
            }
        }
        return false;
    }

    /** What was waited for in there is not waited for any more, and no time of it is left to be waited for. */
    private void behind(Strand strand) {
        rest(strand);
        strand.due = Math.min(strand.due, turn.now());
    }

    private void instead(Strand strand, String why, String fallback) {
        Run run = strand.run;
        run.failure = why;
        run.stage++;
        long due = Math.min(strand.due, turn.now());
        clear(run);
        run.main().due = due;
        turn.record("note", "run", run.id, "text", why + "; running " + fallback + " instead");
        enter(run.main(), Frame.inPlace(site.macros().get(fallback)));
    }

    /** A macro of the run may have taken all of its time: the outermost of them fails, whatever it says of its steps. */
    void limitReached(Run run) {
        turn.blame(run.press);
        for (Strand strand : List.copyOf(run.strands)) {
            for (Frame frame : List.copyOf(strand.frames).reversed()) {
                if (frame.limitTimer != 0 && frame.limitAt <= turn.now()) {
                    frame.limitTimer = 0;
                    rest(strand);
                    while (strand.frames.peek() != frame) {
                        leave(strand);
                    }
                    fail(strand, frame.macro.name() + " took longer than " + Words.of(frame.macro.within())
                            + " (within)",
                            frame.macro.onFailure() instanceof Otherwise.Instead instead
                                    ? instead
                                    : new Otherwise.Stop());
                    go(strand);
                    return;
                }
            }
        }
    }
}
