package bellpush.runtime.prove;

import bellpush.config.model.Command;
import bellpush.config.model.Macro;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Site;
import bellpush.config.model.Step;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;

/** Waits that are over before the device is there, where nothing after them looks whether it is. */
final class Waits {
    private final Site site;
    private final Macro macro;
    private final List<Finding> found = new ArrayList<>();

    private Waits(Site site, Macro macro) {
        this.site = site;
        this.macro = macro;
    }

    static List<Finding> of(Site site, Macro macro) {
        Waits waits = new Waits(site, macro);
        waits.chain(macro.steps());
        return waits.found;
    }

    private void chain(List<Step> steps) {
        Map<PropertyRef, Duration> coming = new TreeMap<>();
        for (int i = 0; i < steps.size(); i++) {
            switch (steps.get(i)) {
                case Step.Wait wait -> {
                    boolean looks = i + 1 == steps.size() || steps.get(i + 1) instanceof Step.Until;
                    coming.entrySet().stream().filter(c -> wait.time().compareTo(c.getValue()) < 0 && !looks)
                            .max(Map.Entry.<PropertyRef, Duration>comparingByValue()
                                    .thenComparing(Map.Entry.comparingByKey()))
                            .ifPresent(slowest -> tell(wait, slowest.getKey(), slowest.getValue()));
                    coming.clear();
                }
                case Step.If branch -> {
                    chain(branch.then());
                    chain(branch.otherwise());
                    coming.clear();
                }
                case Step.Say _ -> {
                }
                case Step.Until _,Step.Run _ -> coming.clear();
                case Step step -> Parts.changed(site, step).forEach(ref -> {
                    Duration takes = takes(step, ref);
                    if (takes.isPositive()) {
                        coming.put(ref, takes);
                    }
                });
            }
        }
    }

    private Duration takes(Step step, PropertyRef ref) {
        if (step instanceof Step.Do act) {
            Command command = site.devices().get(act.device()).kind().commands().get(act.command());
            return command.takes();
        }
        return site.property(ref).takes();
    }

    private void tell(Step.Wait wait, PropertyRef ref, Duration takes) {
        found.add(new Finding(Finding.What.SHORT_WAIT, macro.name(), wait.at(),
                "This waits " + wait.time().toMillis() + " ms, and " + ref + " takes " + takes.toMillis()
                        + " ms to change.",
                "What comes next is done before it is there.",
                "Wait for it with an until on " + ref + ", or at least " + takes.toMillis() + " ms.", 1, 0, List.of()));
    }
}
