package bellpush.runtime.prove;

import bellpush.config.model.Macro;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Site;
import bellpush.config.model.Step;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;

/** What is remembered should be what was there before, and be put back. */
final class Remembered {
    private Remembered() {}

    static List<Finding> of(Site site, Macro macro) {
        List<Finding> found = new ArrayList<>();
        List<Step> steps = Parts.of(site, macro).steps;
        Set<PropertyRef> set = new TreeSet<>();
        for (int i = 0; i < steps.size(); i++) {
            if (steps.get(i) instanceof Step.Remember remember) {
                PropertyRef ref = remember.property();
                boolean restored = steps.subList(i, steps.size()).stream()
                        .anyMatch(later -> later instanceof Step.Restore restore && restore.property().equals(ref));
                if (!restored) {
                    found.add(finding(macro, remember, "remembers " + ref + " and never puts it back.",
                            "The step does nothing, or the one that puts it back was forgotten.",
                            "Add a restore of " + ref + ", or remove this."));
                } else if (set.contains(ref)) {
                    found.add(finding(macro, remember, "remembers " + ref + " after it has changed it itself.",
                            "What is put back then is not what was there before.",
                            "Remember it before it is changed."));
                }
            } else {
                set.addAll(Parts.changed(site, steps.get(i)));
            }
        }
        return found;
    }

    private static Finding finding(Macro macro, Step.Remember at, String found, String why, String cure) {
        return new Finding(Finding.What.NOT_RESTORED, macro.name(), at.at(), macro.name() + " " + found, why, cure, 0,
                0,
                List.of()).about(at.property());
    }
}
