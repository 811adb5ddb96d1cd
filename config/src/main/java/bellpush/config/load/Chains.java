package bellpush.config.load;

import bellpush.config.model.PropertyRef;
import bellpush.config.model.Step;
import java.time.Duration;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;

/** What can be told from steps alone, without the macros that they run. */
final class Chains {
    private Chains() {}

    /** The shortest time that the waits and glides in these steps take, whatever way is taken through them. */
    static Duration least(List<Step> steps) {
        return steps.stream().map(Chains::least).reduce(Duration.ZERO, Duration::plus);
    }

    private static Duration least(Step step) {
        return switch (step) {
            case Step.Wait wait -> wait.time().compareTo(Times.LONGEST) > 0 ? Duration.ZERO : wait.time(); // a mistake
            case Step.If branch -> min(least(branch.then()), least(branch.otherwise()));
            case Step.Together together ->
                together.branches().stream().map(Chains::least).reduce(Duration.ZERO, Chains::max);
            case Step.Guarded guarded -> least(guarded.step());
            case Step.Glide glide -> glide.over().compareTo(Times.LONGEST) > 0 ? Duration.ZERO : glide.over();
            default -> Duration.ZERO;
        };
    }

    private static Duration min(Duration a, Duration b) {
        return a.compareTo(b) < 0 ? a : b;
    }

    private static Duration max(Duration a, Duration b) {
        return a.compareTo(b) > 0 ? a : b;
    }

    /** The properties that these steps set or put back. */
    static Set<PropertyRef> changed(List<Step> steps) {
        Set<PropertyRef> changed = new TreeSet<>();
        steps.forEach(step -> changed(step, changed));
        return changed;
    }

    private static void changed(Step step, Set<PropertyRef> into) {
        switch (step) {
            case Step.Set set -> into.addAll(set.values().keySet());
            case Step.Restore restore -> into.add(restore.property());
            case Step.Glide glide -> into.addAll(glide.values().keySet());
            case Step.If branch -> {
                into.addAll(changed(branch.then()));
                into.addAll(changed(branch.otherwise()));
            }
            case Step.Together together -> together.branches().forEach(branch -> into.addAll(changed(branch)));
            case Step.Guarded guarded -> changed(guarded.step(), into);
            default -> {
            }
        }
    }
}
