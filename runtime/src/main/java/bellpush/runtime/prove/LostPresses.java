package bellpush.runtime.prove;

import bellpush.config.model.Command;
import bellpush.config.model.Macro;
import bellpush.config.model.Operand;
import bellpush.config.model.Step;
import bellpush.runtime.core.Words;
import java.util.List;
import java.util.Optional;

/**
 * Macros of which each press counts, such as a page turn or a step on a scale, and that do not hear the next press while they still
 * wait for the one before.
 */
final class LostPresses {
    private LostPresses() {}

    static List<Finding> of(Survey survey, Macro macro) {
        if (macro.again() != Macro.Again.IGNORE || !survey.gestures.containsKey(macro.name())) {
            return List.of();
        }
        List<Step> steps = survey.reached(macro.name()).stream()
                .flatMap(name -> survey.parts.get(name).steps.stream()).toList();
        Optional<Step> counts = steps.stream().filter(step -> counts(survey, step)).findFirst();
        if (counts.isEmpty() || steps.stream().noneMatch(LostPresses::takesTime)) {
            return List.of();
        }
        return List.of(new Finding(Finding.What.LOST_PRESS, macro.name(), macro.at(),
                "Each press of " + macro.name() + " counts, and one that comes while it runs is ignored.",
                "It goes on from where things are (" + Words.of(counts.get())
                        + "), and waits after that: two quick presses do it once.",
                "Give " + macro.name() + " \"again\": \"queue\".", 2, 0, List.of())
                .about(Words.of(counts.get())));
    }

    /** Whether doing it twice is meant to lead somewhere else than doing it once. */
    private static boolean counts(Survey survey, Step step) {
        return switch (step) {
            case Step.Set set -> set.values().values().stream()
                    .anyMatch(operand -> operand instanceof Operand.By || operand instanceof Operand.Opposite);
            case Step.Do act -> {
                var effects = survey.site.devices().get(act.device()).kind().commands().get(act.command()).effect()
                        .values();
                yield !effects.isEmpty() && effects.stream().allMatch(Command.Effect.Unknown.class::isInstance);
            }
            default -> false;
        };
    }

    private static boolean takesTime(Step step) {
        return switch (step) {
            case Step.Wait _,Step.Until _,Step.Glide _ -> true;
            case Step.Set set -> set.confirm().isPresent();
            default -> false;
        };
    }
}
