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

/**
 * What a macro touches and needs, through everything that it can run. Worked out once per site.
 *
 * @param stops whether it can stop other macros
 */
record Reach(Set<PropertyRef> changes, Set<String> lanes, boolean stops) {

    static Reach of(Site site, String macro) {
        Collector collector = new Collector(site);
        collector.macro(macro);
        return new Reach(collector.changes, collector.lanes, collector.stops);
    }

    private static final class Collector {
        final Site site;
        final Set<PropertyRef> changes = new TreeSet<>();
        final Set<String> lanes = new TreeSet<>();
        final Set<String> seen = new HashSet<>();
        boolean stops;

        Collector(Site site) {
            this.site = site;
        }

        void macro(String name) {
            if (!seen.add(name)) {
                return;
            }
            Macro macro = site.macros().get(name);
            lanes.addAll(macro.lanes());
            macro.onTakeover().ifPresent(this::macro);
            instead(macro.onFailure());
            steps(macro.steps());
        }

        private void steps(List<Step> steps) {
            steps.forEach(this::step);
        }

        private void step(Step step) {
            switch (step) {
                case Step.Set set -> changes.addAll(set.values().keySet());
                case Step.Do act -> site.devices().get(act.device()).kind().commands().get(act.command()).effect()
                        .keySet().forEach(p -> changes.add(new PropertyRef(act.device(), p)));
                case Step.Restore restore -> changes.add(restore.property());
                case Step.Run run -> macro(run.macro());
                case Step.Until until -> instead(until.otherwise());
                case Step.Glide glide -> glide.values().keySet().forEach(property -> {
                    changes.add(property);
                    site.property(property).speeds()
                            .ifPresent(speeds -> changes.add(new PropertyRef(property.device(), speeds.by())));
                });
                case Step.If branch -> {
                    steps(branch.then());
                    steps(branch.otherwise());
                }
                case Step.Together together -> together.branches().forEach(this::steps);
                case Step.Guarded(Step inner, var otherwise) -> {
                    step(inner);
                    instead(otherwise);
                }
                case Step.Stop _ -> {
                    stops = true; // and may bring any axis to a standstill
                    site.panel().joysticks().values()
                            .forEach(stick -> stick.axes().values().forEach(axis -> changes.add(axis.drives())));
                }
                case Step.Wait _,Step.Remember _,Step.Say _ -> {
                }
            }
        }

        private void instead(Step.Otherwise otherwise) {
            if (otherwise instanceof Step.Otherwise.Instead(String macro)) {
                macro(macro);
            }
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
