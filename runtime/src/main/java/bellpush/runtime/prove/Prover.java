package bellpush.runtime.prove;

import bellpush.config.model.Lamp;
import bellpush.config.model.Macro;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Site;
import bellpush.config.model.Source;
import bellpush.config.model.Step;
import bellpush.runtime.core.Words;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.BiConsumer;
import java.util.stream.Collectors;

/** Proves what a site promises, or tells how it is broken. */
public final class Prover {
    private Prover() {}

    /**
     * What was found, and how far it was looked.
     *
     * @param findings by file and line
     * @param macros   how many macros were gone through to the end
     * @param ways     different ways through them; each stands for all values that it did not need to know
     * @param states   states of the core and its gear that were come through
     * @param bounds   of what nothing is claimed
     */
    public record Proof(List<Finding> findings, int macros, long ways, long states, List<Bound> bounds) {
        /** Whether everything was gone through to the end. */
        public boolean complete() {
            return bounds.isEmpty();
        }
    }

    /**
     * Something that was not gone through to the end.
     *
     * @param of  the macro, or the lamp
     * @param why which bound was hit
     */
    public record Bound(String of, Source at, String why) {}

    public static Proof prove(Site site, Limits limits) {
        return prove(site, limits, (_, _) -> {});
    }

    /** @param progress told how many macros are done, of how many; by any thread */
    public static Proof prove(Site site, Limits limits, BiConsumer<Integer, Integer> progress) {
        AtomicInteger done = new AtomicInteger();
        Survey survey = new Survey(site);
        List<Finding> findings = new ArrayList<>();
        List<Bound> bounds = new ArrayList<>();
        Set<String> unproved = new HashSet<>();
        List<MacroProof> proofs = new ArrayList<>();
        try (Crew crew = new Crew()) {
            List<MacroProof.Tail> tails = crew
                    .all(survey.gestures.keySet(), name -> MacroProof.tails(survey, name, limits))
                    .stream().flatMap(List::stream).toList();
            Set<String> ended = site.macros().values().stream().flatMap(macro -> survey.endedBy(macro).stream())
                    .collect(Collectors.toCollection(TreeSet::new));
            Map<String, Set<MacroProof.Moment>> midst = new HashMap<>();
            crew.all(ended, name -> Map.entry(name, MacroProof.moments(survey, name, limits)))
                    .forEach(one -> midst.put(one.getKey(), one.getValue()));
            proofs.addAll(crew.all(site.macros().values(), macro -> {
                MacroProof proof = new MacroProof(survey, macro, limits);
                proof.prove(tails, midst);
                progress.accept(done.incrementAndGet(), site.macros().size());
                return proof;
            }));
        }
        Coverage coverage = new Coverage();
        long ways = 0;
        long states = 0;
        int macros = 0;
        for (MacroProof proof : proofs) {
            findings.addAll(proof.findings());
            coverage.add(proof.coverage);
            ways += proof.trials;
            states += proof.states;
            if (proof.bound.isPresent()) {
                bounds.add(new Bound(proof.macro.name(), proof.macro.at(), proof.bound.get()));
                unproved.add(proof.macro.name());
            } else {
                macros++;
            }
        }
        findings.addAll(Crossings.of(survey));
        for (Macro macro : site.macros().values()) {
            findings.addAll(Waits.of(site, macro));
            findings.addAll(Remembered.of(site, macro));
            findings.addAll(Repeats.of(macro));
            findings.addAll(LostPresses.of(survey, macro));
            if (findings.stream().noneMatch(f -> f.of().equals(macro.name()) && f.what() == Finding.What.UNKEPT)) {
                findings.addAll(idle(survey, macro));
            }
            boolean gone = survey.gestures.keySet().stream()
                    .anyMatch(name -> survey.reached(name).contains(macro.name()) && unproved.contains(name));
            if (!gone && !unproved.contains(macro.name())) {
                findings.addAll(dead(survey, macro, coverage));
            }
            if (macro.promise().isEmpty()) {
                findings.add(new Finding(Finding.What.NO_PROMISE, macro.name(), macro.at(),
                        macro.name() + " promises nothing.", "So nobody can tell whether it has done what it is for.",
                        "Give it a \"promise\": what is so when it is done.", 0, 0, List.of()));
            }
        }
        for (Lamp lamp : site.panel().lamps().values()) {
            LampProof proof = new LampProof(survey, lamp, limits.trials());
            findings.addAll(proof.findings());
            ways += proof.ways;
            if (proof.bound) {
                bounds.add(new Bound("the lamp " + lamp.name(), lamp.at(),
                        "more than " + limits.trials() + " states of what it shows"));
            }
        }
        return new Proof(Alike.together(findings, survey::family), macros, ways, states, bounds);
    }

    /** A promise that has nothing to do with what the macro does. */
    static List<Finding> idle(Survey survey, Macro macro) {
        Set<PropertyRef> promised = macro.promise().map(promise -> Parts.of(survey.site, promise).reads)
                .orElse(Set.of());
        boolean idle = !promised.isEmpty() && promised.stream().noneMatch(survey.changes(macro.name())::contains);
        return !idle
                ? List.of()
                : List.of(new Finding(Finding.What.UNKEPT, macro.name(), macro.at(),
                        macro.name() + " changes nothing of what it promises.",
                        "What it promises holds, or does not, whether it is run or not.",
                        "Promise what its steps lead to, or add the step that is missing.", 0, 0, List.of()));
    }

    static List<Finding> dead(Survey survey, Macro macro, Coverage coverage) {
        List<Finding> findings = new ArrayList<>();
        for (Step step : survey.parts.get(macro.name()).steps) {
            if (step instanceof Step.Until && coverage.neverHolds(step)) {
                findings.add(new Finding(Finding.What.NEVER_HOLDS, macro.name(), step.at(),
                        "This never comes to hold: " + Words.of(step) + ".",
                        "It always waits for all of its time, and then goes the way of its else.",
                        "Set what it waits for before it, allow the device more time, or remove it.", 1, 0, List.of())
                        .about(Words.of(step)));
            } else if (!coverage.ran(step)) {
                findings.add(new Finding(Finding.What.DEAD_STEP, macro.name(), step.at(),
                        "This step never runs: " + Words.of(step) + ".",
                        "Whatever is pressed and whatever the gear stands at, " + macro.name() + " does not come here.",
                        "Look at what comes before it; if it is not needed, remove it.", 0, 0, List.of())
                        .about(Words.of(step)));
                break; // the ones after it never run either
            }
        }
        return findings;
    }
}
