package bellpush.config.load;

import bellpush.config.model.Step;
import java.time.Duration;
import java.util.List;

/** How long steps take at least, the macros that they run left out. */
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
}
