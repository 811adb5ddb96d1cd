package bellpush.tests.simulation;

import bellpush.config.model.Macro;
import bellpush.config.model.Operand;
import bellpush.config.model.Site;
import bellpush.config.model.Step;
import java.time.Duration;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.Consumer;

/**
 * How long a run may last once it has its lanes, and which lanes that are, worked out from the site beside the core: waits and limits
 * of its steps, the longer way where there are two, but not longer than the macro's own limit; the longest fallback, or what tidies up;
 * and the time in which the promise must come.
 */
final class MacroLimits {
    /** Longer than any macro may take. */
    private static final long BY_ITS_MACROS_LIMIT = Duration.ofDays(1).toNanos();

    private final Site site;
    private final Map<String, Long> chains = new HashMap<>();

    MacroLimits(Site site) {
        this.site = site;
    }

    /** From its first step, or from when it was started where it need not wait, to its end; nanoseconds. */
    long runNanos(String macro) {
        Set<String> fallbacks = new TreeSet<>();
        Set<String> seen = new TreeSet<>();
        collect(macro, seen, _ -> {}, fallbacks);
        long longest = fallbacks.stream().mapToLong(this::chain).max().orElse(0);
        // macros inside one another tidy up one after the other
        long tidies = seen.stream().flatMap(each -> site.macros().get(each).onTakeover().stream()).distinct()
                .mapToLong(this::chain).sum();
        return chain(macro) + longest + tidies + site.macros().get(macro).promiseWithin().toNanos();
    }

    /** Every lane that it needs, through all that it may run. */
    Set<String> lanes(String macro) {
        Set<String> lanes = new TreeSet<>();
        collect(macro, new TreeSet<>(), lanes::add, new TreeSet<>());
        return lanes;
    }

    private long chain(String macro) {
        Long known = chains.get(macro);
        if (known == null) {
            Macro of = site.macros().get(macro);
            known = Math.min(of.within().toNanos(), chain(of.steps()));
            chains.put(macro, known);
        }
        return known;
    }

    private long chain(List<Step> steps) {
        return steps.stream().mapToLong(this::chain).sum();
    }

    private long chain(Step step) {
        return switch (step) {
            case Step.Wait pause -> pause.time().toNanos();
            case Step.Until until -> until.within().toNanos();
            case Step.If branch -> Math.max(chain(branch.then()), chain(branch.otherwise()));
            case Step.Together together -> together.branches().stream().mapToLong(this::chain).max().orElse(0);
            case Step.Guarded guarded -> chain(guarded.step());
            case Step.Run inner -> chain(inner.macro());
            // What is looked up waits for what has to leave first; a glide may be stretched, and a set waits for reports.
            case Step.Set _,Step.Do _,Step.Glide _,Step.Remember _ -> only(step) ? 0 : BY_ITS_MACROS_LIMIT;
            case Step.Restore _,Step.Stop _,Step.Say _ -> 0;
        };
    }

    /** Whether it sends what is written there, and waits for nothing. */
    private static boolean only(Step step) {
        return switch (step) {
            case Step.Set set -> set.confirm().isEmpty()
                    && set.values().values().stream().allMatch(Operand.Fixed.class::isInstance);
            case Step.Do act -> act.arguments().values().stream().allMatch(Operand.Fixed.class::isInstance);
            default -> false;
        };
    }

    private void collect(String macro, Set<String> seen, Consumer<String> lanes, Set<String> fallbacks) {
        if (!seen.add(macro)) {
            return;
        }
        Macro of = site.macros().get(macro);
        of.lanes().forEach(lanes);
        fallback(of.onFailure(), seen, lanes, fallbacks);
        of.onTakeover().ifPresent(tidy -> fallback(new Step.Otherwise.Instead(tidy), seen, lanes, fallbacks));
        collect(of.steps(), seen, lanes, fallbacks);
    }

    private void collect(List<Step> steps, Set<String> seen, Consumer<String> lanes, Set<String> fallbacks) {
        for (Step step : steps) {
            switch (step) {
                case Step.Run inner -> collect(inner.macro(), seen, lanes, fallbacks);
                case Step.Until until -> fallback(until.otherwise(), seen, lanes, fallbacks);
                case Step.If branch -> {
                    collect(branch.then(), seen, lanes, fallbacks);
                    collect(branch.otherwise(), seen, lanes, fallbacks);
                }
                case Step.Together together ->
                    together.branches().forEach(branch -> collect(branch, seen, lanes, fallbacks));
                case Step.Guarded guarded -> {
                    fallback(guarded.otherwise(), seen, lanes, fallbacks);
                    collect(List.of(guarded.step()), seen, lanes, fallbacks);
                }
                case Step.Set _,Step.Do _,Step.Wait _,Step.Glide _,Step.Remember _,Step.Restore _,Step.Stop _,Step.Say _ ->
                    {
                    }
            }
        }
    }

    private void fallback(Step.Otherwise otherwise, Set<String> seen, Consumer<String> lanes, Set<String> fallbacks) {
        if (otherwise instanceof Step.Otherwise.Instead instead) {
            fallbacks.add(instead.macro());
            collect(instead.macro(), seen, lanes, fallbacks);
        }
    }
}
