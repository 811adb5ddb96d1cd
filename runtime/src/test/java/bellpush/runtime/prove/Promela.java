package bellpush.runtime.prove;

import bellpush.config.model.Command;
import bellpush.config.model.Condition;
import bellpush.config.model.Macro;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Site;
import bellpush.config.model.Step;
import bellpush.config.model.Step.Otherwise;
import bellpush.config.model.Value;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;

/**
 * The macros of a lane in Promela, the language of the model checker Spin: one of them is pressed with the gear at anything, and must
 * not end without its promise. Written from the meaning of the steps, without the core. Times are left out: whatever was sent has
 * arrived when an until looks.
 */
final class Promela {
    /** A macro that touches more has more starts than Spin can go through one by one in the time of a test. */
    private static final int PROPERTIES_MAX = 16;

    private final Site site;
    private final Survey survey;
    private final List<Macro> macros;
    private final Regions regions;
    private final StringBuilder out = new StringBuilder();
    private int labels;

    private Promela(Survey survey, String lane) {
        this.survey = survey;
        this.site = survey.site;
        this.macros = of(survey, lane);
        Set<String> reached = new TreeSet<>();
        macros.forEach(macro -> reached.addAll(survey.reached(macro.name())));
        regions = new Regions(site, reached.stream().map(survey.parts::get).toList());
    }

    /** The macros that need this lane, by themselves or through what they run. */
    static List<Macro> of(Survey survey, String lane) {
        return survey.site.macros().values().stream().filter(m -> survey.lanes(m.name()).contains(lane))
                .filter(m -> survey.touches(m.name()).size() <= PROPERTIES_MAX).toList();
    }

    static String of(Site site, String lane) {
        return new Promela(new Survey(site), lane).text();
    }

    static String claim(Macro macro) {
        return "kept_" + name(macro.name());
    }

    private static String name(String text) {
        return text.replaceAll("[^A-Za-z0-9]", "_");
    }

    private static String var(PropertyRef ref) {
        return "v_" + name(ref.toString());
    }

    private String text() {
        Set<PropertyRef> refs = new TreeSet<>();
        macros.forEach(macro -> refs.addAll(survey.touches(macro.name())));
        refs.forEach(ref -> out.append("byte ").append(var(ref)).append(";  /* ").append(regions.of(ref)).append(" */\n")
                .append("byte r_").append(var(ref)).append(", t_").append(var(ref)).append(";\n"));
        macros.forEach(macro -> out.append("bool broken_").append(name(macro.name())).append(";\n"));
        macros.forEach(macro -> out.append("ltl ").append(claim(macro)).append(" { [] !broken_")
                .append(name(macro.name())).append(" }\n"));
        out.append("init {\n  if\n");
        for (Macro macro : macros) {
            String end = label();
            out.append("  :: true ->\n");
            survey.asks(macro.name()).forEach(ref -> any(var(ref), ref));
            out.append("  d_step { skip };\n");
            chain(macro, macro.steps(), fail(macro), fail(macro));
            macro.promise().ifPresent(promise -> out.append("  broken_").append(name(macro.name())).append(" = !(")
                    .append(condition(promise)).append(");\n"));
            out.append("  goto ").append(end).append(";\n");
            out.append(fail(macro)).append(":\n  broken_").append(name(macro.name())).append(" = true;\n");
            out.append(end).append(": skip\n");
        }
        return out.append("  fi\n}\n").toString();
    }

    private static String fail(Macro macro) {
        return "FAILED_" + name(macro.name());
    }

    private String label() {
        return "L" + ++labels;
    }

    private void any(String variable, PropertyRef ref) {
        int count = regions.of(ref).size();
        out.append("  if");
        for (int i = 0; i < count; i++) {
            out.append(" :: ").append(variable).append(" = ").append(i);
        }
        out.append(" fi;\n");
    }

    /** @param outer where a failure goes that this macro does not deal with; @param ended where the run has failed as a whole */
    private void chain(Macro macro, List<Step> steps, String outer, String ended) {
        for (Step step : steps) {
            switch (step) {
                case Step.Set(var values, _) -> values.forEach((ref, value) -> {
                    out.append("  ").append(var(ref)).append(" = ").append(index(ref, value)).append(";\n");
                    site.property(ref).unsettles().forEach(other -> {
                        PropertyRef moved = new PropertyRef(ref.device(), other);
                        any(var(moved), moved);
                    });
                });
                case Step.Do act -> command(act);
                case Step.Wait _,Step.Say _ -> out.append("  skip;\n");
                case Step.Until until -> {
                    out.append("  if :: (").append(condition(until.condition())).append(") -> skip :: else -> ");
                    switch (until.otherwise()) {
                        case Otherwise.GoOn() -> out.append("skip");
                        case Otherwise.Instead _ -> out.append("goto ").append(ended);
                        case Otherwise.Stop() -> failure(macro, outer, ended);
                    }
                    out.append(" fi;\n");
                }
                case Step.If branch -> {
                    out.append("  if :: (").append(condition(branch.condition())).append(") ->\n  skip;\n");
                    chain(macro, branch.then(), outer, ended);
                    out.append("  :: else ->\n  skip;\n");
                    chain(macro, branch.otherwise(), outer, ended);
                    out.append("  fi;\n");
                }
                case Step.Remember(PropertyRef ref, _) -> out.append("  r_").append(var(ref)).append(" = ").append(var(ref))
                        .append(";\n");
                case Step.Restore(PropertyRef ref, _) -> out.append("  ").append(var(ref)).append(" = r_").append(var(ref))
                        .append(";\n");
                case Step.Run(String inner, _) -> {
                    Macro called = site.macros().get(inner);
                    String after = label();
                    String failed = label();
                    chain(called, called.steps(), failed, ended);
                    out.append("  goto ").append(after).append(";\n").append(failed).append(": ");
                    failure(macro, outer, ended);
                    out.append(";\n").append(after).append(": skip;\n");
                }
            }
        }
    }

    private void failure(Macro macro, String outer, String ended) {
        switch (macro.onFailure()) {
            case Otherwise.GoOn() -> out.append("skip");
            case Otherwise.Instead _ -> out.append("goto ").append(ended);
            case Otherwise.Stop() -> out.append("goto ").append(outer);
        }
    }

    private void command(Step.Do act) {
        Command command = site.devices().get(act.device()).kind().commands().get(act.command());
        Map<PropertyRef, Command.Effect> effects = new LinkedHashMap<>();
        command.effect().forEach((name, effect) -> effects.put(new PropertyRef(act.device(), name), effect));
        effects.forEach((ref, effect) -> {
            String to = "t_" + var(ref);
            switch (effect) {
                case Command.Effect.Becomes(Value value) -> set(to, index(ref, value));
                case Command.Effect.Opposite() -> out.append("  ").append(to).append(" = 1 - ").append(var(ref)).append(";\n");
                case Command.Effect.FromArgument(String argument) -> set(to, index(ref, act.arguments().get(argument)));
                case Command.Effect.FromProperty(String other) -> out.append("  ").append(to).append(" = ")
                        .append(var(new PropertyRef(ref.device(), other))).append(";\n");
                case Command.Effect.Unknown() -> any(to, ref);
            }
        });
        effects.keySet().forEach(ref -> out.append("  ").append(var(ref)).append(" = t_").append(var(ref)).append(";\n"));
    }

    private void set(String variable, int value) {
        out.append("  ").append(variable).append(" = ").append(value).append(";\n");
    }

    private int index(PropertyRef ref, Value value) {
        PropertyType type = site.property(ref).type();
        List<Value> values = regions.of(ref);
        for (int i = 0; i < values.size(); i++) {
            if (type.same(values.get(i), value)) {
                return i;
            }
        }
        throw new IllegalArgumentException(value + " is no value of " + ref);
    }

    private String condition(Condition condition) {
        return switch (condition) {
            case Condition.Is(PropertyRef ref, Condition.Test test) -> {
                List<String> holds = new ArrayList<>();
                List<Value> values = regions.of(ref);
                for (int i = 0; i < values.size(); i++) {
                    boolean passes = switch (test) {
                        case Condition.Test.Equal(Value value) -> site.property(ref).type().same(values.get(i), value);
                        case Condition.Test.Above(double limit) -> ((Value.Num) values.get(i)).number() > limit;
                        case Condition.Test.Below(double limit) -> ((Value.Num) values.get(i)).number() < limit;
                    };
                    if (passes) {
                        holds.add(var(ref) + " == " + i);
                    }
                }
                yield holds.isEmpty() ? "false" : "(" + String.join(" || ", holds) + ")";
            }
            case Condition.All(var of) -> of.stream().map(this::condition).collect(Collectors.joining(" && ", "(", ")"));
            case Condition.Any(var of) -> of.stream().map(this::condition).collect(Collectors.joining(" || ", "(", ")"));
            case Condition.Not(var of) -> "!(" + condition(of) + ")";
            default -> throw new IllegalArgumentException("not exported: " + condition);
        };
    }
}
