package bellpush.runtime.prove;

import bellpush.config.model.Command;
import bellpush.config.model.Condition;
import bellpush.config.model.Macro;
import bellpush.config.model.Operand;
import bellpush.config.model.Property;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Site;
import bellpush.config.model.Step;
import bellpush.config.model.Step.Otherwise;
import bellpush.config.model.Value;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Pattern;
import java.util.stream.Collectors;

/**
 * Macros of a lane in Promela, the language of the model checker Spin: one of them is pressed with the gear at anything and well, and
 * must not end without its promise, nor change what must be steady. Written from what the site says (macros, and what their
 * kinds declare), with neither the core nor the checker; regions, time and belief are worked out anew. A device is there when its
 * declared time is over; what comes at the very moment at which a step gives up waiting comes too late.
 */
final class Promela {
    private final Site site;
    private final List<Macro> macros;
    private final Map<PropertyRef, List<Value>> values = new LinkedHashMap<>();
    private final Map<PropertyRef, Set<Value>> spoken = new LinkedHashMap<>();
    private final Map<PropertyRef, Set<Double>> limits = new LinkedHashMap<>();
    private final StringBuilder out = new StringBuilder();
    private int labels;

    private Promela(Site site, List<Macro> macros) {
        this.site = site;
        this.macros = macros;
    }

    /** The macros that name this lane themselves, as far as their steps are of the kinds that are put into Promela. */
    static List<Macro> of(Site site, String lane) {
        return site.macros().values().stream()
                .filter(m -> m.lanes().contains(lane) && m.promise().isPresent() && known(site, m.steps())).toList();
    }

    static String of(Site site, List<Macro> macros) {
        return new Promela(site, macros).text();
    }

    static String kept(String macro) {
        return "kept_" + name(macro);
    }

    static String steady(String macro) {
        return "steady_" + name(macro);
    }

    private static boolean known(Site site, List<Step> steps) {
        return steps.stream().allMatch(step -> switch (step) {
            case Step.Set set -> set.confirm().isEmpty()
                    && set.values().values().stream().allMatch(Operand.Fixed.class::isInstance);
            case Step.Do act -> act.arguments().values().stream().allMatch(Operand.Fixed.class::isInstance);
            case Step.Until until -> !(until.otherwise() instanceof Otherwise.Instead);
            case Step.If branch -> known(site, branch.then()) && known(site, branch.otherwise());
            case Step.Run run -> known(site, site.macros().get(run.macro()).steps());
            case Step.Wait _,Step.Say _,Step.Remember _,Step.Restore _ -> true;
            case Step.Guarded _,Step.Together _,Step.Stop _,Step.Glide _ -> false;
        });
    }

    // --- the whole

    private String text() {
        site.macros().values().forEach(macro -> {
            macro.promise().ifPresent(this::speak);
            macro.steps().forEach(this::speak);
        });
        StringBuilder bodies = new StringBuilder();
        Set<PropertyRef> refs = new TreeSet<>();
        for (Macro macro : macros) {
            out.setLength(0);
            body(macro, refs);
            bodies.append(out);
        }
        out.setLength(0);
        out.append("""
                byte v[COUNT]; bool k[COUNT]; /* what a property is, once that is chosen */
                bool g[COUNT]; short l[COUNT]; byte t[COUNT]; bool u[COUNT]; /* on its way, how long still, to what, or nobody knows */
                bool s[COUNT]; byte a[COUNT]; /* whether it was sent something, and what */
                byte x[COUNT]; byte r[COUNT]; /* what a command makes of it; what is remembered of it */
                short w, nx; byte i, what;
                """.replace("COUNT", Integer.toString(refs.size())));
        refs.forEach(this::declare);
        macros.forEach(m -> out.append("bool broken_").append(name(m.name())).append(", moved_").append(name(m.name()))
                .append(";\n"));
        macros.forEach(m -> out.append("ltl ").append(kept(m.name())).append(" { [] !broken_").append(name(m.name()))
                .append(" }\nltl ").append(steady(m.name())).append(" { [] !moved_").append(name(m.name()))
                .append(" }\n"));
        int n = refs.size();
        out.append("""
                /* Time goes by: what takes less than that is there; with too, also what takes exactly that. */
                inline pass(time, too) {
                  d_step {
                    i = 0;
                    do
                    :: i < COUNT && g[i] && (l[i] < (time) || too && l[i] == (time)) ->
                       g[i] = false; k[i] = !u[i]; v[i] = t[i]; l[i] = 0; u[i] = false; t[i] = 0; i++
                    :: i < COUNT && g[i] && !(l[i] < (time) || too && l[i] == (time)) -> l[i] = l[i] - (time); i++
                    :: i < COUNT && !g[i] -> i++
                    :: i >= COUNT -> break
                    od;
                    i = 0
                  }
                }
                /* How long until the next is there. */
                inline next() {
                  d_step {
                    i = 0; nx = 32000;
                    do
                    :: i < COUNT && g[i] && l[i] < nx -> nx = l[i]; i++
                    :: i < COUNT && !(g[i] && l[i] < nx) -> i++
                    :: i >= COUNT -> break
                    od;
                    i = 0
                  }
                }
                init {
                  if
                """.replace("COUNT", Integer.toString(n)));
        for (int i = 0; i < macros.size(); i++) {
            out.append("  :: what = ").append(i).append('\n');
        }
        out.append("  fi;\n  if\n").append(bodies).append("  fi\n}\n");
        List<String> names = refs.stream().map(ref -> name(ref.toString())).toList();
        return Pattern.compile("\\b([vkgltusaxr])_([A-Za-z0-9_]+)").matcher(out).replaceAll(
                found -> names.contains(found.group(2))
                        ? found.group(1) + "[" + names.indexOf(found.group(2)) + "]"
                        : found.group());
    }

    private void declare(PropertyRef ref) {
        String p = name(ref.toString());
        out.append("/* ").append(ref).append(": ").append(String.valueOf(values(ref)).replace("*/", ""))
                .append(" */\n");
        out.append("inline see_" + p + "() { if :: k_" + p + " -> skip :: else -> if");
        for (int i = 0; i < values(ref).size(); i++) {
            out.append(" :: v_" + p + " = " + i);
        }
        out.append(" fi; k_" + p + " = true fi }\n");
    }

    private void body(Macro macro, Set<PropertyRef> refs) {
        int number = macros.indexOf(macro);
        String failed = label("FAILED");
        String end = label("END");
        line(":: what == " + number + " ->");
        chain(macro, macro, macro.steps(), failed, failed, refs);
        Condition promise = macro.promise().orElseThrow();
        wait(promise, macro.promiseWithin().toMillis(), "goto " + failed, refs);
        line("pass(32000, true);");
        reads(promise).forEach(ref -> line("see_" + name(ref.toString()) + "();"));
        line("broken_" + name(macro.name()) + " = !(" + truth(promise) + ");");
        line("goto " + end + ";");
        out.append(failed).append(": broken_").append(name(macro.name())).append(" = true;\n");
        out.append(end).append(": skip\n");
    }

    private void line(String text) {
        out.append("  ").append(text).append('\n');
    }

    private String label(String word) {
        return word + "_" + ++labels;
    }

    private static String name(String text) {
        return text.replaceAll("[^A-Za-z0-9]", "_");
    }

    // --- steps

    /** @param outer where a failure goes that this macro does not deal with; @param ended where the run has failed as a whole */
    private void chain(Macro whole, Macro macro, List<Step> steps, String outer, String ended, Set<PropertyRef> refs) {
        for (Step step : steps) {
            switch (step) {
                case Step.Set set -> set.values().forEach((ref, operand) -> {
                    Property property = site.property(ref);
                    String p = use(ref, refs);
                    int to = index(ref, ((Operand.Fixed) operand).value());
                    steady(whole, ref, Optional.of(Integer.toString(to)), refs);
                    property.unsettles().forEach(other -> {
                        String o = use(new PropertyRef(ref.device(), other), refs);
                        line("see_" + p + "();");
                        line("if :: !g_" + p + " && v_" + p + " == " + to + " -> skip :: else -> g_" + o + " = true; l_"
                                + o + " = " + property.takes().toMillis() + "; u_" + o + " = true; s_" + o
                                + " = false fi;");
                    });
                    go(ref, Integer.toString(to), property.takes().toMillis());
                });
                case Step.Do act -> command(whole, act, refs);
                case Step.Wait wait -> line("pass(" + wait.time().toMillis() + ", false);");
                case Step.Until until -> wait(until.condition(), until.within().toMillis(),
                        until.otherwise() instanceof Otherwise.GoOn ? "skip" : failure(macro, outer, ended), refs);
                case Step.If branch -> {
                    look(branch.condition(), refs);
                    line("if :: (" + yes(branch.condition(), false) + ") -> skip;");
                    chain(whole, macro, branch.then(), outer, ended, refs);
                    line(":: else -> skip;");
                    chain(whole, macro, branch.otherwise(), outer, ended, refs);
                    line("fi;");
                }
                case Step.Remember(PropertyRef ref, _) -> {
                    look(ref, refs);
                    String p = name(ref.toString());
                    line("if :: g_" + p + " && u_" + p + " -> " + failure(macro, outer, ended) + " :: g_" + p
                            + " && !u_"
                            + p + " -> r_" + p + " = t_" + p + " :: else -> r_" + p + " = v_" + p + " fi;");
                }
                case Step.Restore(PropertyRef ref, _) -> {
                    use(ref, refs);
                    steady(whole, ref, Optional.of("r_" + name(ref.toString())), refs);
                    go(ref, "r_" + name(ref.toString()), site.property(ref).takes().toMillis());
                }
                case Step.Run(String inner, _) -> {
                    Macro called = site.macros().get(inner);
                    String after = label("AFTER");
                    String failed = label("INNER");
                    chain(whole, called, called.steps(), failed, ended, refs);
                    line("goto " + after + ";");
                    out.append(failed).append(": ").append(failure(macro, outer, ended)).append(";\n");
                    out.append(after).append(": skip;\n");
                }
                default -> line("skip;");
            }
        }
    }

    private static String failure(Macro macro, String outer, String ended) {
        return switch (macro.onFailure()) {
            case Otherwise.GoOn() -> "skip";
            case Otherwise.Instead _ -> "goto " + ended;
            case Otherwise.Stop() -> "goto " + outer;
        };
    }

    /** An until: as time goes by from one arrival to the next, the condition comes to hold, or its time is over. */
    private void wait(Condition condition, long millis, String failure, Set<PropertyRef> refs) {
        String over = label("OVER");
        line("w = " + millis + ";");
        line("do :: true ->");
        look(condition, refs);
        line("if :: (" + yes(condition, true)
                + ") -> break :: else -> next(); if :: nx < w -> w = w - nx; pass(nx, true)"
                + " :: else -> pass(w, false); goto " + over + " fi fi od;");
        String after = label("HELD");
        line("goto " + after + ";");
        out.append(over).append(": ").append(failure).append(";\n");
        out.append(after).append(": skip;\n");
    }

    private void command(Macro whole, Step.Do act, Set<PropertyRef> refs) {
        Command command = site.devices().get(act.device()).kind().commands().get(act.command());
        Map<PropertyRef, Command.Effect> effects = new LinkedHashMap<>();
        command.effect().forEach((name, effect) -> effects.put(new PropertyRef(act.device(), name), effect));
        effects.forEach((ref, effect) -> {
            String p = use(ref, refs);
            Optional<String> to = switch (effect) {
                case Command.Effect.Becomes(Value value) -> Optional.of(Integer.toString(index(ref, value)));
                case Command.Effect.FromArgument(String argument) -> Optional.of(Integer.toString(
                        index(ref, ((Operand.Fixed) act.arguments().get(argument)).value())));
                case Command.Effect.Opposite() -> {
                    line("see_" + p + "();");
                    yield Optional.of("1 - v_" + p);
                }
                case Command.Effect.FromProperty(String other) -> {
                    PropertyRef from = new PropertyRef(ref.device(), other);
                    String o = use(from, refs);
                    if (!values(from).equals(values(ref))) {
                        throw new IllegalArgumentException(from + " and " + ref + " are not alike");
                    }
                    line("see_" + o + "();");
                    yield Optional.of("v_" + o);
                }
                case Command.Effect.Unknown() -> Optional.empty();
            };
            to.ifPresent(value -> line("x_" + p + " = " + value + ";"));
            steady(whole, ref, effect instanceof Command.Effect.Becomes ? Optional.of("x_" + p) : Optional.empty(),
                    refs);
        });
        effects.forEach((ref, effect) -> {
            String p = name(ref.toString());
            go(ref, effect instanceof Command.Effect.Unknown ? "" : "x_" + p, command.takes().toMillis());
        });
    }

    private void go(PropertyRef ref, String to, long millis) {
        String p = name(ref.toString());
        line("g_" + p + " = true; l_" + p + " = " + millis + "; u_" + p + " = " + to.isEmpty() + ";");
        line(to.isEmpty()
                ? "t_" + p + " = 0; s_" + p + " = false;"
                : "t_" + p + " = " + to + "; s_" + p + " = true; a_" + p + " = " + to + ";");
    }

    /** Whether it may be changed now; what is there already is not changed. */
    private void steady(Macro whole, PropertyRef ref, Optional<String> to, Set<PropertyRef> refs) {
        site.property(ref).steadyWhile().ifPresent(kinds -> {
            Condition condition = of(ref.device(), kinds);
            String p = use(ref, refs);
            String there = to.map(value -> "k_" + p + " && !g_" + p + " && v_" + p + " == " + value).orElse("false");
            look(condition, refs);
            line("if :: !(" + there + ") && !(" + no(condition) + ") -> moved_" + name(whole.name())
                    + " = true :: else -> skip fi;");
        });
    }

    private String use(PropertyRef ref, Set<PropertyRef> refs) {
        refs.add(ref);
        return name(ref.toString());
    }

    // --- conditions

    private static Condition of(String device, Condition condition) {
        return switch (condition) {
            case Condition.Is(PropertyRef ref, var test) ->
                new Condition.Is(new PropertyRef(device, ref.property()), test);
            case Condition.All(var of) -> new Condition.All(of.stream().map(c -> of(device, c)).toList());
            case Condition.Any(var of) -> new Condition.Any(of.stream().map(c -> of(device, c)).toList());
            case Condition.Not(var of) -> new Condition.Not(of(device, of));
            default -> throw new IllegalArgumentException("not exported: " + condition);
        };
    }

    private static Set<PropertyRef> reads(Condition condition) {
        return switch (condition) {
            case Condition.Is(PropertyRef ref, _) -> Set.of(ref);
            case Condition.All(var of) -> of.stream().flatMap(c -> reads(c).stream()).collect(Collectors.toSet());
            case Condition.Any(var of) -> of.stream().flatMap(c -> reads(c).stream()).collect(Collectors.toSet());
            case Condition.Not(var of) -> reads(of);
            default -> throw new IllegalArgumentException("not exported: " + condition);
        };
    }

    private void look(Condition condition, Set<PropertyRef> refs) {
        new TreeSet<>(reads(condition)).forEach(ref -> look(ref, refs));
    }

    /** What a device tells is known unless it is on its way. */
    private void look(PropertyRef ref, Set<PropertyRef> refs) {
        String p = use(ref, refs);
        if (site.property(ref).reported()) {
            line("if :: g_" + p + " -> skip :: else -> see_" + p + "() fi;");
        }
    }

    /** Whether it surely holds; what was sent and is on its way counts only where being certain does not matter. */
    private String yes(Condition condition, boolean certain) {
        return switch (condition) {
            case Condition.Is(PropertyRef ref, var test) -> known(ref, indexes(ref, test, true), certain);
            case Condition.All(var of) -> joined(of, " && ", c -> yes(c, certain));
            case Condition.Any(var of) -> joined(of, " || ", c -> yes(c, certain));
            case Condition.Not(var of) -> no(of, certain);
            default -> throw new IllegalArgumentException("not exported: " + condition);
        };
    }

    private String no(Condition condition) {
        return no(condition, true);
    }

    private String no(Condition condition, boolean certain) {
        return switch (condition) {
            case Condition.Is(PropertyRef ref, var test) -> known(ref, indexes(ref, test, false), certain);
            case Condition.All(var of) -> joined(of, " || ", c -> no(c, certain));
            case Condition.Any(var of) -> joined(of, " && ", c -> no(c, certain));
            case Condition.Not(var of) -> yes(of, certain);
            default -> throw new IllegalArgumentException("not exported: " + condition);
        };
    }

    private String known(PropertyRef ref, List<Integer> indexes, boolean certain) {
        String p = name(ref.toString());
        if (!site.property(ref).reported()) {
            return "(s_" + p + " && (" + among("a_" + p, indexes) + "))";
        }
        String there = "!g_" + p + " && (" + among("v_" + p, indexes) + ")";
        return certain
                ? "(" + there + ")"
                : "(" + there + " || g_" + p + " && !u_" + p + " && (" + among("t_" + p, indexes) + "))";
    }

    private String truth(Condition condition) {
        return switch (condition) {
            case Condition.Is(PropertyRef ref, var test) ->
                "(" + among("v_" + name(ref.toString()), indexes(ref, test, true)) + ")";
            case Condition.All(var of) -> joined(of, " && ", this::truth);
            case Condition.Any(var of) -> joined(of, " || ", this::truth);
            case Condition.Not(var of) -> "!" + truth(of);
            default -> throw new IllegalArgumentException("not exported: " + condition);
        };
    }

    private static String joined(List<Condition> of, String by, java.util.function.Function<Condition, String> each) {
        return of.stream().map(each).collect(Collectors.joining(by, "(", ")"));
    }

    private static String among(String variable, List<Integer> indexes) {
        return indexes.isEmpty()
                ? "false"
                : indexes.stream().map(i -> variable + " == " + i).collect(Collectors.joining(" || "));
    }

    private List<Integer> indexes(PropertyRef ref, Condition.Test test, boolean passing) {
        List<Integer> indexes = new ArrayList<>();
        for (int i = 0; i < values(ref).size(); i++) {
            Value value = values(ref).get(i);
            boolean passes = switch (test) {
                case Condition.Test.Equal(Value wanted) -> site.property(ref).type().same(value, wanted);
                case Condition.Test.Above(double limit) -> ((Value.Num) value).number() > limit;
                case Condition.Test.Below(double limit) -> ((Value.Num) value).number() < limit;
            };
            if (passes == passing) {
                indexes.add(i);
            }
        }
        return indexes;
    }

    // --- values that stand for all others

    private void speak(Step step) {
        switch (step) {
            case Step.Set set -> set.values().forEach((ref, operand) -> speak(ref, operand));
            case Step.Do act -> {
                Command command = site.devices().get(act.device()).kind().commands().get(act.command());
                command.effect().forEach((name, effect) -> {
                    PropertyRef ref = new PropertyRef(act.device(), name);
                    switch (effect) {
                        case Command.Effect.Becomes(Value value) -> speak(ref, Operand.of(value));
                        case Command.Effect.FromArgument(String argument) when act.arguments()
                                .containsKey(argument) ->
                            speak(ref, act.arguments().get(argument));
                        default -> {
                        }
                    }
                });
            }
            case Step.Until until -> speak(until.condition());
            case Step.If branch -> {
                speak(branch.condition());
                branch.then().forEach(this::speak);
                branch.otherwise().forEach(this::speak);
            }
            default -> {
            }
        }
    }

    private void speak(PropertyRef ref, Operand operand) {
        if (operand instanceof Operand.Fixed(Value value)) {
            spoken.computeIfAbsent(ref, _ -> new LinkedHashSet<>()).add(value);
        }
    }

    private void speak(Condition condition) {
        switch (condition) {
            case Condition.Is(PropertyRef ref, Condition.Test.Equal(Value value)) -> speak(ref, Operand.of(value));
            case Condition.Is(PropertyRef ref, Condition.Test.Above(double limit)) ->
                limits.computeIfAbsent(ref, _ -> new TreeSet<>()).add(limit);
            case Condition.Is(PropertyRef ref, Condition.Test.Below(double limit)) ->
                limits.computeIfAbsent(ref, _ -> new TreeSet<>()).add(limit);
            case Condition.All(var of) -> of.forEach(this::speak);
            case Condition.Any(var of) -> of.forEach(this::speak);
            case Condition.Not(var of) -> speak(of);
            default -> {
            }
        }
    }

    private List<Value> values(PropertyRef ref) {
        return values.computeIfAbsent(ref, _ -> {
            Set<Value> said = spoken.getOrDefault(ref, Set.of());
            return switch (site.property(ref).type()) {
                case PropertyType.Flag _ -> List.of(Value.of(false), Value.of(true));
                case PropertyType.Choice choice -> choice.wireByName().keySet().stream().map(Value::of).toList();
                case PropertyType.Text _ -> {
                    List<Value> texts = new ArrayList<>(said);
                    texts.add(Value.of("something else"));
                    yield texts;
                }
                case PropertyType.Whole whole -> numbers(whole, whole.min(), whole.max(), said, ref);
                case PropertyType.Number number -> numbers(number, number.min(), number.max(), said, ref);
            };
        });
    }

    /** Each number that is spoken of, the ends, and one between each two of them. */
    private List<Value> numbers(PropertyType type, double min, double max, Set<Value> said, PropertyRef ref) {
        TreeSet<Double> points = new TreeSet<>(List.of(min, max));
        said.forEach(value -> points.add(((Value.Num) value).number()));
        limits.getOrDefault(ref, Set.of()).stream().filter(n -> n > min && n < max).forEach(points::add);
        TreeSet<Double> all = new TreeSet<>(points);
        Double before = null;
        for (double point : points) {
            if (before != null) {
                double middle = (before + point) / 2;
                all.add(type instanceof PropertyType.Whole ? Math.floor(middle) : middle);
            }
            before = point;
        }
        List<Value> different = new ArrayList<>(said.stream().filter(type::accepts).toList());
        all.stream().<Value>map(Value::of).filter(type::accepts)
                .filter(value -> different.stream().noneMatch(d -> type.same(d, value))).forEach(different::add);
        return different;
    }

    private int index(PropertyRef ref, Value value) {
        for (int i = 0; i < values(ref).size(); i++) {
            if (site.property(ref).type().same(values(ref).get(i), value)) {
                return i;
            }
        }
        throw new IllegalArgumentException(value + " is no value of " + ref);
    }
}
