package bellpush.runtime.prove;

import bellpush.config.model.Macro;
import bellpush.config.model.Site;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

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
     * @param bounds   for each macro of which nothing is claimed, why
     */
    public record Proof(List<Finding> findings, int macros, long ways, long states, Map<String, String> bounds) {
        /** Whether everything was gone through to the end. */
        public boolean complete() {
            return bounds.isEmpty();
        }
    }

    public static Proof prove(Site site, Limits limits) {
        Survey survey = new Survey(site);
        Coverage coverage = new Coverage();
        List<Finding> findings = new ArrayList<>();
        Map<String, String> bounds = new LinkedHashMap<>();
        List<MacroProof.Tail> tails = new ArrayList<>();
        survey.gestures.keySet().forEach(name -> {
            try {
                tails.addAll(MacroProof.tails(survey, name, limits));
            } catch (Trial.TooLong _) {
                // told when the macro itself is looked at
            }
        });
        long ways = 0;
        long states = 0;
        int macros = 0;
        for (Macro macro : site.macros().values()) {
            MacroProof proof = new MacroProof(survey, macro, limits, coverage);
            findings.addAll(proof.findings(tails));
            ways += proof.trials;
            states += proof.states;
            if (proof.bound.isPresent()) {
                bounds.put(macro.name(), proof.bound.get());
            } else {
                macros++;
            }
        }
        findings.sort(Comparator.comparing((Finding f) -> f.at().file()).thenComparing(f -> f.at().line())
                .thenComparing(f -> f.at().column()).thenComparing(f -> f.what()));
        return new Proof(List.copyOf(findings), macros, ways, states, bounds);
    }
}
