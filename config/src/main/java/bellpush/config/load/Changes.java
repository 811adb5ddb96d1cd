package bellpush.config.load;

import bellpush.config.model.Command;
import bellpush.config.model.Macro;
import bellpush.config.model.Operand;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Step;
import bellpush.config.model.Value;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;

/**
 * What steps change, through everything that they run on their way: other macros, commands with their effects, and the speeds
 * of what glides. Fallbacks do not count, since the steps end before one runs.
 */
final class Changes {
    /**
     * How a property is changed.
     *
     * @param values what it comes to; one of them is empty where that cannot be told, or where it passes others
     * @param by     what does it, for people, with a blank before it; empty text for the steps themselves
     */
    record Change(Set<Optional<Value>> values, String by) {
        /** Whether it comes to the same in whatever order the two happen. */
        boolean sameAs(Change other) {
            return values.size() == 1 && values.equals(other.values) && values.iterator().next().isPresent();
        }
    }

    private final Map<String, Macro> macros;
    private final Names names;
    private final Map<PropertyRef, Change> found = new TreeMap<>();
    private final Set<String> seen = new HashSet<>();
    /** Whether the steps are those of a file with arguments, where a value may stand for any other. */
    private boolean vague;

    private Changes(Map<String, Macro> macros, Names names) {
        this.macros = macros;
        this.names = names;
    }

    /**
     * @param vague  whether the steps are those of a file with arguments
     * @param macros by the names of their files
     */
    static Map<PropertyRef, Change> of(List<Step> steps, boolean vague, Map<String, Macro> macros, Names names) {
        Changes changes = new Changes(macros, names);
        changes.vague = vague;
        changes.steps(steps, "");
        return changes.found;
    }

    private void steps(List<Step> steps, String by) {
        steps.forEach(step -> step(step, by));
    }

    private void step(Step step, String by) {
        switch (step) {
            case Step.Set set -> set.values().forEach((property, operand) -> change(property,
                    operand instanceof Operand.Fixed(Value value) ? Optional.of(value) : Optional.empty(), by));
            case Step.Restore restore -> change(restore.property(), Optional.empty(), by);
            case Step.Glide glide -> glide.values().keySet().forEach(property -> {
                change(property, Optional.empty(), by);
                names.speedOf(property).ifPresent(speed -> change(speed, Optional.empty(), by));
            });
            case Step.Do act -> names.effect(act.device(), act.command()).forEach((property, effect) -> change(
                    new PropertyRef(act.device(), property),
                    effect instanceof Command.Effect.Becomes(Value value) ? Optional.of(value) : Optional.empty(),
                    by.isEmpty() ? " by " + act.device() + "." + act.command() : by));
            case Step.Run run -> {
                String family = run.macro().split(" ", 2)[0]; // what follows are arguments
                if (macros.get(family) instanceof Macro macro && seen.add(run.macro())) {
                    boolean before = vague;
                    vague = run.macro().length() > family.length();
                    steps(macro.steps(), by.isEmpty() ? " by running " + family : by);
                    vague = before;
                }
            }
            case Step.If branch -> {
                steps(branch.then(), by);
                steps(branch.otherwise(), by);
            }
            case Step.Together together -> together.branches().forEach(branch -> steps(branch, by));
            case Step.Guarded guarded -> step(guarded.step(), by);
            case Step.Wait _,Step.Until _,Step.Remember _,Step.Stop _,Step.Say _ -> {
            }
        }
    }

    private void change(PropertyRef property, Optional<Value> to, String by) {
        found.computeIfAbsent(property, _ -> new Change(new HashSet<>(), by)).values.add(vague ? Optional.empty() : to);
    }
}
