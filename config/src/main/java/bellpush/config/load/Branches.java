package bellpush.config.load;

import bellpush.config.model.Macro;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Step;
import bellpush.config.problem.Problems;
import bellpush.config.problem.Spot;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;

/**
 * Finds properties that two branches of one step change to different values. Branches may run other macros, so this comes once
 * all of them are read.
 */
final class Branches {
    private record Branch(Spot spot, List<Step> steps, boolean vague) {}

    private final List<List<Branch>> all = new ArrayList<>();

    /**
     * The branches of one step, and where each of them stands.
     *
     * @param vague whether they are in a file with arguments
     */
    void add(List<Spot> spots, List<List<Step>> branches, boolean vague) {
        List<Branch> step = new ArrayList<>();
        for (int i = 0; i < branches.size(); i++) {
            step.add(new Branch(spots.get(i), branches.get(i), vague));
        }
        all.add(step);
    }

    /** @param macros by the names of their files */
    void check(Map<String, Macro> macros, Names names, Problems problems) {
        for (List<Branch> step : all) {
            List<Map<PropertyRef, Changes.Change>> changes = step.stream()
                    .map(branch -> Changes.of(branch.steps, branch.vague, macros, names)).toList();
            for (int later = 1; later < step.size(); later++) {
                for (int earlier = 0; earlier < later; earlier++) {
                    clash(step.get(later).spot, changes.get(later), changes.get(earlier), earlier + 1, problems);
                }
            }
        }
    }

    private static void clash(Spot spot, Map<PropertyRef, Changes.Change> here, Map<PropertyRef, Changes.Change> there,
            int other, Problems problems) {
        List<PropertyRef> both = here.keySet().stream()
                .filter(property -> there.containsKey(property) && !here.get(property).sameAs(there.get(property)))
                .toList();
        if (both.isEmpty()) {
            return;
        }
        PropertyRef first = both.getFirst();
        String more = both.size() == 1
                ? ""
                : " The same goes for " + both.stream().skip(1).map(PropertyRef::toString)
                        .collect(Collectors.joining(", ")) + ".";
        problems.warning(spot,
                "This branch changes " + first + here.get(first).by() + ", and so does branch " + other
                        + there.get(first).by() + ".",
                "Which of them comes last depends on how long each takes." + more,
                "Change it in one branch only, or before or after the branches.");
    }
}
