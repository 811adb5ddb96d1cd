package bellpush.runtime.prove;

import bellpush.config.model.Macro;
import bellpush.config.model.Source;
import bellpush.config.model.Step;
import bellpush.runtime.core.Words;
import java.util.ArrayList;
import java.util.List;

/** A step that stands there twice in a row: a line that was copied to be changed, and was not. */
final class Repeats {
    private final Macro macro;
    private final List<Finding> found = new ArrayList<>();

    private Repeats(Macro macro) {
        this.macro = macro;
    }

    static List<Finding> of(Macro macro) {
        Repeats repeats = new Repeats(macro);
        repeats.chain(macro.steps());
        return repeats.found;
    }

    private void chain(List<Step> steps) {
        for (int i = 0; i < steps.size(); i++) {
            Step step = steps.get(i);
            if (i > 0 && placeless(step).equals(placeless(steps.get(i - 1)))
                    && !(step instanceof Step.Wait || step instanceof Step.Say)) {
                found.add(new Finding(Finding.What.REPEATED, macro.name(), step.at(),
                        "This step is the same as the one before it: " + Words.of(step) + ".",
                        "Either it does no more than once, or it does twice what is mostly meant once: a second page, the opposite back again.",
                        "Remove one of the two, or change it to what was meant. If twice is meant, accept this and say why.",
                        0, 0, List.of()));
            }
            switch (step) {
                case Step.If branch -> {
                    chain(branch.then());
                    chain(branch.otherwise());
                }
                case Step.Together together -> together.branches().forEach(this::chain);
                default -> {
                }
            }
        }
    }

    private static Step placeless(Step step) {
        return switch (step) {
            case Step.Set(var values, var confirm, _) -> new Step.Set(values, confirm, Source.NONE);
            case Step.Do(var device, var command, var arguments, _) ->
                new Step.Do(device, command, arguments, Source.NONE);
            case Step.Wait(var time, _) -> new Step.Wait(time, Source.NONE);
            case Step.Until(var condition, var within, var otherwise, _) ->
                new Step.Until(condition, within, otherwise, Source.NONE);
            case Step.If(var condition, var then, var otherwise, _) ->
                new Step.If(condition, placeless(then), placeless(otherwise), Source.NONE);
            case Step.Remember(var ref, _) -> new Step.Remember(ref, Source.NONE);
            case Step.Restore(var ref, _) -> new Step.Restore(ref, Source.NONE);
            case Step.Run(var name, _) -> new Step.Run(name, Source.NONE);
            case Step.Together(var branches, _) ->
                new Step.Together(branches.stream().map(Repeats::placeless).toList(), Source.NONE);
            case Step.Stop(var families, _) -> new Step.Stop(families, Source.NONE);
            case Step.Glide(var values, var over, var ease, _) -> new Step.Glide(values, over, ease, Source.NONE);
            case Step.Say(var text, _) -> new Step.Say(text, Source.NONE);
            case Step.Guarded(var inner, var otherwise) -> new Step.Guarded(placeless(inner), otherwise);
        };
    }

    private static List<Step> placeless(List<Step> steps) {
        return steps.stream().map(Repeats::placeless).toList();
    }
}
