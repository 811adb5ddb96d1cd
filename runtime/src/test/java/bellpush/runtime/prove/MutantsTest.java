package bellpush.runtime.prove;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Macro;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Site;
import bellpush.runtime.core.Event;
import java.util.ArrayList;
import java.util.Collections;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;

/** Single mistakes in the village hall, which is proved without them: how many are seen. */
class MutantsTest {
    private static final int SAMPLE = Integer.getInteger("bellpush.prove.mutants", 500);
    private static final long SEED = 4;
    private static final long SLOW_NANOS = 50_000_000;

    private final Site hall = DemoIsProvedTest.hall();
    private final Survey survey = new Survey(hall);
    private final Map<String, List<MacroProof.Tail>> tails = new HashMap<>();
    private final Map<String, Set<List<String>>> behaviours = new HashMap<>();

    @Test
    void nearlyEveryMistakeIsSeenOrMakesNoDifference() {
        survey.gestures.keySet().forEach(name -> tails.put(name, MacroProof.tails(survey, name, Limits.DEFAULT)));
        List<Mutants.Mutant> mutants = new ArrayList<>(Mutants.of(hall));
        int possible = mutants.size();
        Collections.shuffle(mutants, new Random(SEED));
        int caught = 0;
        int same = 0;
        List<String> escaped = new ArrayList<>();
        for (Mutants.Mutant mutant : mutants.subList(0, Math.min(SAMPLE, possible))) {
            Survey changed = new Survey(mutant.in(hall));
            if (seen(changed, mutant.macro().name())) {
                caught++;
            } else if (alike(changed, mutant.macro().name())) {
                same++;
            } else {
                escaped.add(mutant.words());
            }
        }
        int tried = caught + same + escaped.size();
        System.out.printf("Mutants: %d of %d possible; %d caught, %d make no difference, %d escape (%.1f %% accounted for)%n",
                tried, possible, caught, same, escaped.size(), 100.0 * (caught + same) / tried);
        escaped.forEach(words -> System.out.println("  escapes: " + words));
        assertThat(tried).isGreaterThanOrEqualTo(Math.min(SAMPLE, 500));
        assertThat((caught + same) * 100.0 / tried).isGreaterThanOrEqualTo(95);
    }

    private boolean seen(Survey changed, String macro) {
        Macro mutant = changed.site.macros().get(macro);
        if (!Crossings.of(changed).isEmpty() || !Waits.of(changed.site, mutant).isEmpty()
                || !Remembered.of(changed.site, mutant).isEmpty() || !Prover.idle(changed, mutant).isEmpty()) {
            return true;
        }
        List<String> affected = changed.site.macros().keySet().stream().filter(name -> changed.reached(name).contains(macro))
                .toList();
        List<MacroProof> proofs = new ArrayList<>();
        for (String name : affected) {
            MacroProof proof = new MacroProof(changed, changed.site.macros().get(name), Limits.DEFAULT);
            proof.prove(List.of());
            assertThat(proof.bound).isEmpty();
            if (proof.anything()) {
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
            if (proof.anything()) {
                return true;
            }
        }
        Coverage coverage = new Coverage();
        proofs.forEach(proof -> coverage.add(proof.coverage));
        return affected.stream().anyMatch(name -> !Prover.dead(changed, changed.site.macros().get(name), coverage).isEmpty());
    }

    /** Whether each macro that runs it does the same to the gear as before, from every state. */
    private boolean alike(Survey changed, String macro) {
        return changed.site.macros().keySet().stream().filter(name -> changed.reached(name).contains(macro))
                .allMatch(name -> behaviour(changed, name)
                        .equals(behaviours.computeIfAbsent(name, n -> behaviour(survey, n))));
    }

    /**
     * For each start that makes a difference: what was sent and what arrived, in order, and where it all ended. What is sent before
     * the next thing arrives that took its time counts as sent together. Arguments that no declared effect depends on do not count.
     */
    private static Set<List<String>> behaviour(Survey survey, String name) {
        Set<List<String>> ways = new java.util.HashSet<>();
        Choices choices = new Choices();
        do {
            Trial trial = new Trial(survey.slice(Set.of(name)), choices, Map.of(), Trouble.NONE);
            Trial.Ending ending = trial.press(name);
            List<String> way = new ArrayList<>();
            Map<PropertyRef, String> start = new TreeMap<>();
            trial.world.chosen.stream().filter(u -> u.origin == Unknown.Origin.START)
                    .forEach(u -> start.put(u.of, u.value.toString()));
            TreeSet<String> together = new TreeSet<>();
            long lastSend = -1;
            for (Event event : trial.events) {
                if (event.what().equals("send")) {
                    together.add(event.details().toString().replaceFirst("request=\\d+, ", "")
                            .replaceFirst("frames=\\d+", ""));
                    lastSend = event.at();
                } else if (event.what().equals("report") && event.at() > lastSend + SLOW_NANOS) {
                    way.add(together.toString());
                    together.clear();
                    way.add("there: " + event.details().get("values"));
                }
            }
            way.add(together.toString());
            way.add(ending.how() + " " + trial.state());
            way.addFirst(start.toString());
            ways.add(way);
        } while (choices.next());
        return ways;
    }
}
