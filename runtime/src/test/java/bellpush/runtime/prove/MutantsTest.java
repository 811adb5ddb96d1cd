package bellpush.runtime.prove;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.load.Loaded;
import bellpush.config.load.SiteLoader;
import bellpush.config.model.Macro;
import bellpush.config.model.Site;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.ConcurrentHashMap;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Single mistakes in the village hall, which is proved without them: how many of them an admin is told. */
class MutantsTest {
    private static final int SAMPLE = Integer.getInteger("bellpush.prove.mutants", 520);
    private static final long SEED = 4;
    /** Of so many, one is given to the whole checker as well, which must come to the same. */
    private static final int WHOLE_EVERY = 100;
    private static final Set<String> DRIVERS = Set.of("tcp", "udp", "osc");

    private enum Fate {
        REFUSED, CAUGHT, SAME, SAME_BUT_FOR_TIMES, SAME_AS_DECLARED, SAME_WHILE_WELL, ESCAPED
    }

    /** @param why it escapes, if it does */
    private record Tried(Mutants.Mutant mutant, Fate fate, String why) {}

    @TempDir
    Path folder;

    private final Site hall = DemoIsProvedTest.hall();
    private final Survey survey = new Survey(hall);
    private final Map<String, List<MacroProof.Tail>> tails = new ConcurrentHashMap<>();
    private final Map<String, Set<MacroProof.Moment>> moments = new ConcurrentHashMap<>();
    private BlockingQueue<Copies> copies;

    @Test
    void nearlyEveryMistakeIsToldOrMakesNoDifference() throws Exception {
        copies = new ArrayBlockingQueue<>(4);
        for (int i = 0; i < 4; i++) {
            copies.add(new Copies(folder.resolve("copy" + i)));
        }
        List<Mutants.Mutant> mutants = new ArrayList<>(Mutants.of(Copies.HALL, hall));
        int possible = mutants.size();
        Collections.shuffle(mutants, new Random(SEED));
        List<Mutants.Mutant> sample = mutants.subList(0, Math.min(SAMPLE, possible));
        List<Tried> tried;
        try (Crew crew = new Crew()) {
            crew.all(survey.gestures.keySet(),
                    name -> tails.put(name, MacroProof.tails(survey, name, Limits.DEFAULT)));
            tried = crew.all(sample, this::tryOut);
        }
        Map<Fate, Integer> counts = new EnumMap<>(Fate.class);
        tried.forEach(t -> counts.merge(t.fate, 1, Integer::sum));
        double share = 100.0 * (tried.size() - counts.getOrDefault(Fate.ESCAPED, 0)) / tried.size();
        System.out.printf("Mutants: %d of %d possible: %s, %.1f %% told or without a difference%n", tried.size(),
                possible, counts, share);
        tried.stream().filter(t -> t.fate == Fate.ESCAPED)
                .forEach(t -> System.out.println("  escapes: " + t.mutant.words() + ": " + t.why));
        assertThat(tried).hasSizeGreaterThanOrEqualTo(Math.min(SAMPLE, 500));
        assertThat(share).isGreaterThanOrEqualTo(95);
        for (int i = 0; i < tried.size(); i += WHOLE_EVERY) {
            Tried one = tried.get(i);
            Loaded loaded = load(one.mutant);
            loaded.site().filter(_ -> one.fate != Fate.REFUSED).ifPresent(site -> assertThat(
                    Prover.prove(site, Limits.DEFAULT).findings().isEmpty() ? "not told" : "told")
                    .as("the whole checker on %s", one).isEqualTo(one.fate == Fate.CAUGHT ? "told" : "not told"));
        }
    }

    private Tried tryOut(Mutants.Mutant mutant) {
        Loaded loaded = load(mutant);
        if (loaded.site().isEmpty() || !loaded.problems().isEmpty()) { // the hall itself is loaded without a warning
            return new Tried(mutant, Fate.REFUSED, "");
        }
        Survey changed = new Survey(loaded.site().get());
        List<String> affected = changed.site.macros().keySet().stream()
                .filter(name -> changed.reached(name).stream().anyMatch(
                        inner -> changed.site.macros().get(inner).family().equals(mutant.family())))
                .toList();
        if (told(changed, affected)) {
            return new Tried(mutant, Fate.CAUGHT, "");
        }
        // What no hand can start is only ever a part of what a hand can start.
        List<String> started = affected.stream().filter(changed.gestures::containsKey).toList();
        if (!started.stream().allMatch(survey.gestures::containsKey)) {
            return new Tried(mutant, Fate.ESCAPED, "other macros are started");
        }
        Twins.Outcome worst = Twins.Outcome.SAME;
        for (String name : started) {
            worst = worst.or(Twins.compare(survey, changed, name));
            if (worst.verdict() == Twins.Verdict.DIFFERENT) {
                break;
            }
        }
        return new Tried(mutant, switch (worst.verdict()) {
            case SAME -> Fate.SAME;
            case SAME_BUT_FOR_TIMES -> Fate.SAME_BUT_FOR_TIMES;
            case SAME_AS_DECLARED -> Fate.SAME_AS_DECLARED;
            case SAME_WHILE_WELL -> Fate.SAME_WHILE_WELL;
            case DIFFERENT -> Fate.ESCAPED;
        }, worst.why());
    }

    private Loaded load(Mutants.Mutant mutant) {
        String file = "macros/" + mutant.family() + ".json";
        try {
            Copies copy = copies.take();
            try {
                copy.write(file, mutant.text());
                return SiteLoader.load(copy.folder(), DRIVERS);
            } finally {
                copy.restore(file);
                copies.put(copy);
            }
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new IllegalStateException(e);
        }
    }

    /** The moments of the macros that this one ends; of those that have not changed, they are worked out once. */
    private Map<String, Set<MacroProof.Moment>> midst(Survey changed, Macro macro, List<String> affected) {
        Map<String, Set<MacroProof.Moment>> midst = new HashMap<>();
        changed.endedBy(macro).forEach(name -> midst.put(name, affected.contains(name)
                ? MacroProof.moments(changed, name, Limits.DEFAULT)
                : moments.computeIfAbsent(name, _ -> MacroProof.moments(survey, name, Limits.DEFAULT))));
        return midst;
    }

    /** What {@link Prover} does, left out what cannot have changed. */
    private boolean told(Survey changed, List<String> affected) {
        if (!Crossings.of(changed).isEmpty()) {
            return true;
        }
        for (String name : affected) {
            Macro macro = changed.site.macros().get(name);
            if (!Waits.of(changed.site, macro).isEmpty() || !Remembered.of(changed.site, macro).isEmpty()
                    || !Repeats.of(macro).isEmpty() || !LostPresses.of(changed, macro).isEmpty()
                    || !Prover.idle(changed, macro).isEmpty()) {
                return true;
            }
        }
        List<MacroProof> proofs = new ArrayList<>();
        for (String name : affected) {
            MacroProof proof = new MacroProof(changed, changed.site.macros().get(name), Limits.DEFAULT);
            proof.prove(List.of(), midst(changed, changed.site.macros().get(name), affected));
            if (proof.anything() || proof.bound.isPresent()) { // it says that nothing is proved
                return true;
            }
            proofs.add(proof);
        }
        List<MacroProof.Tail> now = new ArrayList<>();
        changed.gestures.keySet().forEach(name -> now.addAll(affected.contains(name)
                ? MacroProof.tails(changed, name, Limits.DEFAULT)
                : tails.get(name)));
        for (MacroProof proof : proofs) {
            proof.proveSoonAfter(now);
            if (proof.anything() || proof.bound.isPresent()) {
                return true;
            }
        }
        Coverage coverage = new Coverage();
        proofs.forEach(proof -> coverage.add(proof.coverage));
        return affected.stream()
                .anyMatch(name -> !Prover.dead(changed, changed.site.macros().get(name), coverage).isEmpty());
    }
}
