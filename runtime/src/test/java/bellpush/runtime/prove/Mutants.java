package bellpush.runtime.prove;

import bellpush.config.model.Condition;
import bellpush.config.model.Macro;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Site;
import bellpush.config.model.Step;
import bellpush.config.model.Value;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.UnaryOperator;

/** All single mistakes of a few kinds in the macros of a site. */
final class Mutants {
    /** @param macro the macro with the mistake in it */
    record Mutant(String words, Macro macro) {
        Site in(Site site) {
            Map<String, Macro> macros = new LinkedHashMap<>(site.macros());
            macros.put(macro.name(), macro);
            return new Site(site.folder(), site.name(), site.frameRate(), site.limits(), site.panel(), site.devices(), macros);
        }
    }

    private final Site site;
    private final List<Mutant> all = new ArrayList<>();

    private Mutants(Site site) {
        this.site = site;
    }

    static List<Mutant> of(Site site) {
        Mutants mutants = new Mutants(site);
        site.macros().values().forEach(mutants::of);
        return mutants.all;
    }

    private void of(Macro macro) {
        for (String lane : macro.lanes()) {
            List<String> lanes = macro.lanes().stream().filter(l -> !l.equals(lane)).toList();
            all.add(new Mutant(macro.name() + " without the lane " + lane, with(macro, lanes, macro.steps())));
        }
        chain(macro, macro.steps(), steps -> steps);
    }

    private static Macro with(Macro macro, List<String> lanes, List<Step> steps) {
        return new Macro(macro.name(), macro.label(), lanes, macro.again(), macro.onFailure(), steps, macro.promise(),
                macro.promiseWithin(), macro.at());
    }

    /** @param whole puts a changed chain where it belongs in the macro */
    private void chain(Macro macro, List<Step> steps, UnaryOperator<List<Step>> whole) {
        for (int i = 0; i < steps.size(); i++) {
            Step step = steps.get(i);
            if (step instanceof Step.Say) {
                continue;
            }
            List<Step> without = new ArrayList<>(steps);
            without.remove(i);
            note(macro, "drops", step, whole.apply(without));
            List<Step> twice = new ArrayList<>(steps);
            twice.add(i, step);
            note(macro, "does twice", step, whole.apply(twice));
            if (i + 1 < steps.size() && !(steps.get(i + 1) instanceof Step.Say)) {
                List<Step> swapped = new ArrayList<>(steps);
                swapped.set(i, steps.get(i + 1));
                swapped.set(i + 1, step);
                note(macro, "swaps with the next", step, whole.apply(swapped));
            }
            int at = i;
            values(step).forEach((words, changed) -> {
                List<Step> other = new ArrayList<>(steps);
                other.set(at, changed);
                note(macro, words, step, whole.apply(other));
            });
            if (step instanceof Step.If(Condition condition, var then, var otherwise, var place)) {
                chain(macro, then, inner -> whole.apply(put(steps, at, new Step.If(condition, inner, otherwise, place))));
                chain(macro, otherwise, inner -> whole.apply(put(steps, at, new Step.If(condition, then, inner, place))));
            }
        }
    }

    private static List<Step> put(List<Step> steps, int at, Step step) {
        List<Step> other = new ArrayList<>(steps);
        other.set(at, step);
        return other;
    }

    private void note(Macro macro, String what, Step step, List<Step> steps) {
        all.add(new Mutant(macro.name() + " " + what + ": " + bellpush.runtime.core.Words.of(step) + " (" + step.at() + ")",
                with(macro, macro.lanes(), List.copyOf(steps))));
    }

    private Map<String, Step> values(Step step) {
        Map<String, Step> changed = new LinkedHashMap<>();
        switch (step) {
            case Step.Set set -> set.values().forEach((ref, value) -> other(site.property(ref).type(), value).ifPresent(to -> {
                Map<PropertyRef, Value> values = new LinkedHashMap<>(set.values());
                values.put(ref, to);
                changed.put("sets " + ref + " to " + to, new Step.Set(values, set.at()));
                if (set.values().size() > 1) {
                    Map<PropertyRef, Value> fewer = new LinkedHashMap<>(set.values());
                    fewer.remove(ref);
                    changed.put("does not set " + ref, new Step.Set(fewer, set.at()));
                }
            }));
            case Step.Do act -> act.arguments().forEach((name, value) -> other(site.devices().get(act.device()).kind().commands()
                    .get(act.command()).arguments().get(name), value).ifPresent(to -> {
                        Map<String, Value> arguments = new LinkedHashMap<>(act.arguments());
                        arguments.put(name, to);
                        changed.put("gives " + name + " " + to, new Step.Do(act.device(), act.command(), arguments, act.at()));
                    }));
            case Step.Until until -> condition(until.condition()).ifPresent(to -> changed.put("waits for another value",
                    new Step.Until(to, until.within(), until.otherwise(), until.at())));
            case Step.If branch -> condition(branch.condition()).ifPresent(to -> changed.put("asks for another value",
                    new Step.If(to, branch.then(), branch.otherwise(), branch.at())));
            default -> {
            }
        }
        return changed;
    }

    private Optional<Condition> condition(Condition condition) {
        return switch (condition) {
            case Condition.Is(PropertyRef ref, Condition.Test.Equal(Value value)) -> other(site.property(ref).type(), value)
                    .map(to -> new Condition.Is(ref, new Condition.Test.Equal(to)));
            case Condition.All(var of) when !of.isEmpty() -> condition(of.getFirst()).map(first -> {
                List<Condition> parts = new ArrayList<>(of);
                parts.set(0, first);
                return new Condition.All(parts);
            });
            default -> Optional.empty();
        };
    }

    private static Optional<Value> other(PropertyType type, Value value) {
        return switch (type) {
            case PropertyType.Flag _ -> Optional.of(Value.of(!((Value.Flag) value).on()));
            case PropertyType.Choice choice -> choice.wireByName().keySet().stream().map(Value::of)
                    .filter(v -> !v.equals(value)).findFirst();
            case PropertyType.Text _ -> Optional.of(Value.of(value + "s"));
            case PropertyType.Whole _,PropertyType.Number _ -> {
                double number = ((Value.Num) value).number();
                yield java.util.stream.Stream.of(number + 5, number - 5, number + 1, number - 1).map(Value::of)
                        .filter(type::accepts).findFirst().map(v -> (Value) v);
            }
        };
    }
}
