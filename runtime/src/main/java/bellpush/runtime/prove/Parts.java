package bellpush.runtime.prove;

import bellpush.config.model.Command;
import bellpush.config.model.Condition;
import bellpush.config.model.Condition.Test;
import bellpush.config.model.Macro;
import bellpush.config.model.Move;
import bellpush.config.model.Operand;
import bellpush.config.model.Property;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Site;
import bellpush.config.model.Step;
import bellpush.config.model.Step.Otherwise;
import bellpush.config.model.Value;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;

/**
 * What one macro speaks of in its own steps and conditions; what it runs has parts of its own. The only place of this package
 * that takes steps and conditions apart.
 */
final class Parts {
    /** A value of one property goes into another one. */
    record Copy(PropertyRef from, PropertyRef to) {}

    private static final Value STANDSTILL = Value.of(0);

    final Set<String> runs = new LinkedHashSet<>();
    final Set<String> devices = new LinkedHashSet<>();
    final Set<String> switches = new LinkedHashSet<>();
    final Set<String> asksAbout = new LinkedHashSet<>();
    /** Values that it compares with or gives, and limits that it compares with. */
    final Map<PropertyRef, Set<Value>> values = new LinkedHashMap<>();
    final Map<PropertyRef, Set<Double>> limits = new LinkedHashMap<>();
    final List<Copy> copies = new ArrayList<>();
    /** By how much it makes a number more or less, once for each time. */
    final Map<PropertyRef, List<Double>> shifts = new LinkedHashMap<>();
    final Set<PropertyRef> changes = new TreeSet<>();
    final Set<PropertyRef> reads = new TreeSet<>();
    /** What it sets to fixed values only, and to which; all else that it changes is in {@link #acts}. */
    final Map<PropertyRef, Set<Value>> sets = new LinkedHashMap<>();
    final Set<PropertyRef> acts = new TreeSet<>();
    /** Every step with its own steps after it. */
    final List<Step> steps = new ArrayList<>();
    private final Site site;

    private Parts(Site site) {
        this.site = site;
    }

    static Parts of(Site site, Macro macro) {
        Parts parts = new Parts(site);
        parts.otherwise(macro.onFailure());
        macro.onTakeover().ifPresent(parts.runs::add);
        macro.promise().ifPresent(parts::condition);
        macro.steps().forEach(parts::step);
        return parts;
    }

    static Parts of(Site site, Condition condition) {
        Parts parts = new Parts(site);
        parts.condition(condition);
        return parts;
    }

    /** What a step sets or changes by itself, without what it runs. */
    static Set<PropertyRef> changed(Site site, Step step) {
        Parts parts = new Parts(site);
        parts.own(step);
        return parts.changes;
    }

    /** What a step looks at by itself. */
    static Set<PropertyRef> read(Site site, Step step) {
        Parts parts = new Parts(site);
        parts.own(step);
        Set<PropertyRef> read = new TreeSet<>(parts.reads);
        parts.copies.forEach(copy -> read.add(copy.from()));
        return read;
    }

    private void step(Step step) {
        own(step);
        switch (step) {
            case Step.Guarded(Step inner, _) -> step(inner);
            case Step.If branch -> {
                steps.add(step);
                branch.then().forEach(this::step);
                branch.otherwise().forEach(this::step);
            }
            case Step.Together together -> {
                steps.add(step);
                together.branches().forEach(branch -> branch.forEach(this::step));
            }
            default -> steps.add(step);
        }
    }

    private void own(Step step) {
        switch (step) {
            case Step.Set(Map<PropertyRef, Operand> set, _, _) -> set.forEach(this::set);
            case Step.Glide glide -> glide.values().forEach(this::glide);
            case Step.Guarded guarded -> otherwise(guarded.otherwise());
            case Step.Do act -> command(act);
            case Step.Until until -> {
                condition(until.condition());
                otherwise(until.otherwise());
            }
            case Step.If branch -> condition(branch.condition());
            case Step.Remember(PropertyRef ref, _) -> read(ref);
            case Step.Restore(PropertyRef ref, _) -> {
                change(ref);
                acts.add(ref);
            }
            case Step.Run run -> runs.add(run.macro());
            case Step.Wait _,Step.Say _,Step.Stop _,Step.Together _ -> {
            }
        }
    }

    private void set(PropertyRef ref, Operand operand) {
        change(ref);
        switch (operand) {
            case Operand.Fixed(Value value) -> fixed(ref, value);
            case Operand.Present(PropertyRef from) -> {
                read(from);
                copies.add(new Copy(from, ref));
                acts.add(ref);
            }
            case Operand.Opposite() -> {
                read(ref);
                acts.add(ref);
            }
            case Operand.By(double change) -> {
                read(ref);
                shifts.computeIfAbsent(ref, _ -> new ArrayList<>()).add(change);
                acts.add(ref);
            }
        }
    }

    private void fixed(PropertyRef ref, Value value) {
        sets.computeIfAbsent(ref, _ -> new LinkedHashSet<>()).add(value);
        speak(ref, value);
    }

    /**
     * On its way it has other values, and what drives it has as well. Where it goes by speeds, it may take longer than it was given,
     * and the way is longest from the ends of what it can be.
     */
    private void glide(PropertyRef ref, Operand target) {
        set(ref, target);
        acts.add(ref);
        read(ref);
        Property property = site.property(ref);
        property.speeds().map(speeds -> new PropertyRef(ref.device(), speeds.by())).ifPresent(speed -> {
            property.type().range().ifPresent(range -> limits.computeIfAbsent(ref, _ -> new TreeSet<>())
                    .addAll(List.of(range.min(), range.max())));
            change(speed);
            speak(speed, STANDSTILL);
            acts.add(speed);
        });
        property.move().flatMap(Move::stop)
                .ifPresent(stop -> command(new Step.Do(ref.device(), stop, Map.of(), property.at())));
    }

    private void change(PropertyRef ref) {
        changes.add(ref);
        devices.add(ref.device());
        site.property(ref).unsettles().stream().map(other -> new PropertyRef(ref.device(), other)).forEach(other -> {
            changes.add(other);
            acts.add(other);
        });
        steady(ref);
    }

    private void command(Step.Do act) {
        devices.add(act.device());
        act.arguments().values().forEach(given -> {
            if (given instanceof Operand.Present(PropertyRef from)) {
                read(from);
            }
        });
        Command command = site.devices().get(act.device()).kind().commands().get(act.command());
        command.effect().forEach((name, effect) -> {
            PropertyRef ref = new PropertyRef(act.device(), name);
            changes.add(ref);
            steady(ref);
            switch (effect) {
                case Command.Effect.Becomes(Value value) -> fixed(ref, value);
                case Command.Effect.FromArgument(String argument) -> {
                    switch (act.arguments().get(argument)) {
                        case null -> {
                        }
                        case Operand.Fixed(Value given) -> fixed(ref, given);
                        case Operand.Present(PropertyRef from) -> {
                            copies.add(new Copy(from, ref));
                            acts.add(ref);
                        }
                        case Operand.Opposite _,Operand.By _ -> acts.add(ref);
                    }
                }
                case Command.Effect.FromProperty(String other) -> {
                    copies.add(new Copy(new PropertyRef(act.device(), other), ref));
                    acts.add(ref);
                }
                case Command.Effect.Opposite _ -> {
                    acts.add(ref);
                    read(ref);
                }
                case Command.Effect.Unknown _ -> acts.add(ref);
            }
        });
    }

    /** The condition under which a change would be seen is looked at, too. */
    private void steady(PropertyRef ref) {
        site.property(ref).steadyWhile().ifPresent(while_ -> condition(on(ref.device(), while_)));
    }

    private void otherwise(Otherwise otherwise) {
        if (otherwise instanceof Otherwise.Instead(String macro)) {
            runs.add(macro);
        }
    }

    private void condition(Condition condition) {
        switch (condition) {
            case Condition.Is(PropertyRef ref, Test test) -> {
                read(ref);
                switch (test) {
                    case Test.Equal(Value value) -> speak(ref, value);
                    case Test.Above(double limit) -> limits.computeIfAbsent(ref, _ -> new TreeSet<>()).add(limit);
                    case Test.Below(double limit) -> limits.computeIfAbsent(ref, _ -> new TreeSet<>()).add(limit);
                }
            }
            case Condition.All(var of) -> of.forEach(this::condition);
            case Condition.Any(var of) -> of.forEach(this::condition);
            case Condition.Not(var of) -> condition(of);
            case Condition.LinkIs(String device, _) -> devices.add(device);
            case Condition.SwitchIs(String control, _) -> switches.add(control);
            case Condition.Running(String macro) -> asksAbout.add(macro);
            case Condition.Failed(String macro) -> asksAbout.add(macro);
        }
    }

    private void read(PropertyRef ref) {
        reads.add(ref);
        devices.add(ref.device());
    }

    private void speak(PropertyRef ref, Value value) {
        values.computeIfAbsent(ref, _ -> new LinkedHashSet<>()).add(value);
    }

    /** A condition of a kind, said of one device. */
    static Condition on(String device, Condition condition) {
        return switch (condition) {
            case Condition.Is(PropertyRef ref, Test test) ->
                new Condition.Is(new PropertyRef(device, ref.property()), test);
            case Condition.All(var of) -> new Condition.All(of.stream().map(c -> on(device, c)).toList());
            case Condition.Any(var of) -> new Condition.Any(of.stream().map(c -> on(device, c)).toList());
            case Condition.Not(var of) -> new Condition.Not(on(device, of));
            case Condition.LinkIs _,Condition.SwitchIs _,Condition.Running _,Condition.Failed _ -> condition;
        };
    }
}
