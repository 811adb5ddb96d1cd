package bellpush.runtime.core;

import bellpush.config.model.Condition;
import bellpush.config.model.Macro;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Site;
import bellpush.config.model.Step;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.Consumer;

/** What a macro touches and needs, through everything that it runs. Worked out once per site. */
record Reach(Set<PropertyRef> changes, Set<String> lanes) {

    static Reach of(Site site, String macro) {
        Set<PropertyRef> changes = new TreeSet<>();
        Set<String> lanes = new TreeSet<>();
        collect(site, macro, changes, lanes, new HashSet<>());
        return new Reach(changes, lanes);
    }

    private static void collect(Site site, String name, Set<PropertyRef> changes, Set<String> lanes,
            Set<String> seen) {
        if (!seen.add(name)) {
            return;
        }
        Macro macro = site.macros().get(name);
        lanes.addAll(macro.lanes());
        Consumer<String> deeper = inner -> collect(site, inner, changes, lanes, seen);
        instead(macro.onFailure(), deeper);
        steps(site, macro.steps(), changes, deeper);
    }

    private static void steps(Site site, List<Step> steps, Set<PropertyRef> changes, Consumer<String> deeper) {
        for (Step step : steps) {
            switch (step) {
                case Step.Set set -> changes.addAll(set.values().keySet());
                case Step.Do act -> site.devices().get(act.device()).kind().commands().get(act.command()).effect()
                        .keySet().forEach(p -> changes.add(new PropertyRef(act.device(), p)));
                case Step.Restore restore -> changes.add(restore.property());
                case Step.Run run -> deeper.accept(run.macro());
                case Step.Glide glide -> glide.values().keySet().forEach(property -> {
                    changes.add(property);
                    site.property(property).speeds()
                            .ifPresent(speeds -> changes.add(new PropertyRef(property.device(), speeds.by())));
                });
                case Step.Until until -> instead(until.otherwise(), deeper);
                case Step.If branch -> {
                    steps(site, branch.then(), changes, deeper);
                    steps(site, branch.otherwise(), changes, deeper);
                }
                case Step.Wait _,Step.Remember _,Step.Say _ -> {
                }
            }
        }
    }

    private static void instead(Step.Otherwise otherwise, Consumer<String> deeper) {
        if (otherwise instanceof Step.Otherwise.Instead(String macro)) {
            deeper.accept(macro);
        }
    }

    /** The devices whose properties a condition speaks of. A condition on a link does not count: it is a fact in itself. */
    static void devices(Condition condition, Set<String> into) {
        switch (condition) {
            case Condition.Is is -> into.add(is.property().device());
            case Condition.All(var of) -> of.forEach(c -> devices(c, into));
            case Condition.Any(var of) -> of.forEach(c -> devices(c, into));
            case Condition.Not(var of) -> devices(of, into);
            case Condition.LinkIs _,Condition.SwitchIs _,Condition.Running _,Condition.Failed _ -> {
            }
        }
    }

    /** The properties that a condition speaks of. */
    static void properties(Condition condition, Set<PropertyRef> into) {
        switch (condition) {
            case Condition.Is is -> into.add(is.property());
            case Condition.All(var of) -> of.forEach(c -> properties(c, into));
            case Condition.Any(var of) -> of.forEach(c -> properties(c, into));
            case Condition.Not(var of) -> properties(of, into);
            case Condition.LinkIs _,Condition.SwitchIs _,Condition.Running _,Condition.Failed _ -> {
            }
        }
    }
}
