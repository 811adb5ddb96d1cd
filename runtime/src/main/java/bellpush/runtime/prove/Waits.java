package bellpush.runtime.prove;

import bellpush.config.model.Command;
import bellpush.config.model.Macro;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Site;
import bellpush.config.model.Step;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Comparator;
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
            switch (bare(steps.get(i))) {
                case Step.Wait wait -> {
                    boolean looks = i + 1 == steps.size() || bare(steps.get(i + 1)) instanceof Step.Until;
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
                case Step.Together together -> {
                    together.branches().forEach(this::chain);
                    coming.clear();
                }
                case Step.Set set when set.confirm().isPresent() -> {
                    confirmed(set, set.confirm().get());
                    coming.keySet().removeAll(set.values().keySet());
                }
                case Step.Say _ -> {
                }
                case Step.Until _,Step.Run _,Step.Glide _ -> coming.clear();
                case Step step -> Parts.changed(site, step).forEach(ref -> {
                    Duration takes = takes(step, ref);
                    if (takes.isPositive()) {
                        coming.put(ref, takes);
                    }
                });
            }
        }
    }

    private static Step bare(Step step) {
        return step instanceof Step.Guarded(Step inner, _) ? bare(inner) : step;
    }

    /** Sent again before the device can have told: it begins anew each time, or is told twice what it does already. */
    private void confirmed(Step.Set set, Step.Confirm confirm) {
        set.values().keySet().stream().filter(ref -> site.property(ref).takes().compareTo(confirm.within()) > 0)
                .max(Comparator.comparing((PropertyRef ref) -> site.property(ref).takes())
                        .thenComparing(Comparator.naturalOrder()))
                .ifPresent(ref -> found.add(new Finding(Finding.What.SHORT_WAIT, macro.name(), set.at(),
                        "This is to be confirmed within " + confirm.within().toMillis() + " ms, and " + ref + " takes "
                                + site.property(ref).takes().toMillis() + " ms to change.",
                        "It is sent again before it can have been done.",
                        "Give it more than " + site.property(ref).takes().toMillis() + " ms to be confirmed.", 1, 0,
                        List.of()).about(ref)));
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
                "Wait for it with an until on " + ref + ", or at least " + takes.toMillis() + " ms.", 1, 0, List.of())
                .about(ref));
    }
}
