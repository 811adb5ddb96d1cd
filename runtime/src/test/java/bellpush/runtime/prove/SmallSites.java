package bellpush.runtime.prove;

import bellpush.config.model.Answers;
import bellpush.config.model.Button;
import bellpush.config.model.Command;
import bellpush.config.model.Condition;
import bellpush.config.model.Device;
import bellpush.config.model.FrameRate;
import bellpush.config.model.Framing;
import bellpush.config.model.Kind;
import bellpush.config.model.Limits;
import bellpush.config.model.Macro;
import bellpush.config.model.Operand;
import bellpush.config.model.Panel;
import bellpush.config.model.Property;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Site;
import bellpush.config.model.Source;
import bellpush.config.model.Step;
import bellpush.config.model.Template;
import bellpush.config.model.Value;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.SplittableRandom;

/** Random sites of one or two devices and two or three macros, small enough for every state of them to be visited. */
final class SmallSites {
    private static final int[] TAKES_MS = {0, 0, 0, 400, 2500};
    private final SplittableRandom random;
    private final Map<String, Kind> kinds = new LinkedHashMap<>();
    private int line;

    private SmallSites(long seed) {
        random = new SplittableRandom(seed);
    }

    static Site of(long seed) {
        return new SmallSites(seed).site();
    }

    private Source at() {
        return new Source("macros.json", ++line, 1);
    }

    private Site site() {
        Map<String, Device> devices = new LinkedHashMap<>();
        for (int d = 0; d < (random.nextInt(5) == 0 ? 2 : 1); d++) {
            String name = "d" + d;
            kinds.put(name, kind(name));
            devices.put(name, new Device(name, name, kinds.get(name), "127.0.0.1", 1, Map.of(), Source.NONE));
        }
        Map<String, Macro> macros = new LinkedHashMap<>();
        Map<String, Button> buttons = new LinkedHashMap<>();
        for (int m = 0; m < (random.nextInt(4) == 0 ? 3 : 2); m++) {
            String name = "m" + m;
            List<Step> steps = random.nextInt(6) == 0 ? List.of(unless()) : steps(m, 1 + random.nextInt(3), 2);
            Step.Otherwise onFailure = random.nextInt(5) == 0 ? new Step.Otherwise.GoOn() : new Step.Otherwise.Stop();
            macros.put(name, new Macro(name, name, List.of("lane"), Macro.Again.IGNORE, onFailure, steps,
                    random.nextInt(6) == 0 ? Optional.empty() : Optional.of(promise(steps)), Duration.ofSeconds(2),
                    at()));
            buttons.put(name, Button.named(name, name, Source.NONE).onPress(name));
        }
        return new Site(Path.of("small"), "Small", new FrameRate(25, 1), Limits.DEFAULT,
                Panel.of(buttons, Map.of(), Map.of(), List.of(), Panel.Signs.DEFAULT), devices, macros);
    }

    private Kind kind(String device) {
        Map<String, Property> properties = new LinkedHashMap<>();
        int count = random.nextInt(3) == 0 ? 3 : 2;
        for (int i = 0; i < count; i++) {
            String name = "p" + i;
            properties.put(name, property(name, type(), i > 0 && random.nextInt(3) == 0
                    ? Optional.of(test(new PropertyRef("", "p0"), properties.get("p0").type()))
                    : Optional.empty(), i > 0 && random.nextInt(8) == 0 ? List.of("p0") : List.of()));
        }
        Map<String, Command> commands = new LinkedHashMap<>();
        for (int i = 0; i < 2; i++) {
            Map<String, Command.Effect> effect = new LinkedHashMap<>();
            for (int e = 0; e < 1 + random.nextInt(2); e++) {
                String name = "p" + random.nextInt(count);
                effect.put(name, effect(properties, name));
            }
            commands.put("c" + i, new Command("c" + i, "", Map.of(), new Template.Text("c" + i), effect, takes(),
                    Source.NONE, false));
        }
        Duration fastest = random.nextInt(3) == 0 ? Duration.ofMillis(10) : Duration.ZERO;
        return new Kind(device, "", "tcp", false, OptionalInt.empty(), new Framing.Slip(), Optional.empty(), properties,
                commands, List.of(), Optional.empty(), List.of(), Duration.ZERO, Optional.empty(), fastest,
                Answers.NONE, Map.of(), Source.NONE);
    }

    private PropertyType type() {
        return switch (random.nextInt(6)) {
            case 0, 1, 2, 3 -> new PropertyType.Flag(Value.of(0), Value.of(1));
            case 4 -> {
                Map<String, Value> choices = new LinkedHashMap<>();
                List.of("a", "b", "c").forEach(c -> choices.put(c, Value.of(c)));
                yield new PropertyType.Choice(choices);
            }
            default -> new PropertyType.Whole(0, 3, "", Optional.empty());
        };
    }

    private Property property(String name, PropertyType type, Optional<Condition> steady, List<String> unsettles) {
        Optional<Template> template = Optional.of(new Template.Text(name + " {value}"));
        boolean reported = random.nextInt(3) > 0;
        Duration fastest = random.nextInt(6) == 0 ? Duration.ofMillis(30) : Duration.ZERO;
        return new Property(name, "", type, template, Optional.empty(), Optional.empty(),
                reported ? template : Optional.empty(), reported, all(type).getFirst(), fastest, takes(), steady,
                unsettles, Source.NONE);
    }

    private Duration takes() {
        return Duration.ofMillis(TAKES_MS[random.nextInt(TAKES_MS.length)]);
    }

    private Command.Effect effect(Map<String, Property> properties, String name) {
        PropertyType type = properties.get(name).type();
        List<String> like = properties.values().stream().filter(p -> p.type().equals(type) && !p.name().equals(name))
                .map(Property::name).toList();
        return switch (random.nextInt(5)) {
            case 0 -> new Command.Effect.Unknown();
            case 1, 2 -> type instanceof PropertyType.Flag
                    ? new Command.Effect.Opposite()
                    : new Command.Effect.Becomes(any(type));
            case 3 -> like.isEmpty()
                    ? new Command.Effect.Becomes(any(type))
                    : new Command.Effect.FromProperty(like.get(random.nextInt(like.size())));
            default -> new Command.Effect.Becomes(any(type));
        };
    }

    /** All values of a type that this makes. */
    static List<Value> all(PropertyType type) {
        return switch (type) {
            case PropertyType.Flag _ -> List.of(Value.of(false), Value.of(true));
            case PropertyType.Choice c -> c.wireByName().keySet().stream().map(Value::of).toList();
            case PropertyType.Whole w -> {
                List<Value> values = new ArrayList<>();
                for (long n = w.min(); n <= w.max(); n++) {
                    values.add(Value.of(n));
                }
                yield values;
            }
            default -> throw new IllegalArgumentException("not made here: " + type);
        };
    }

    private Value any(PropertyType type) {
        List<Value> all = all(type);
        return all.get(random.nextInt(all.size()));
    }

    private PropertyRef ref() {
        List<String> devices = List.copyOf(kinds.keySet());
        String device = devices.get(random.nextInt(devices.size()));
        List<String> names = List.copyOf(kinds.get(device).properties().keySet());
        return new PropertyRef(device, names.get(random.nextInt(names.size())));
    }

    private PropertyType type(PropertyRef ref) {
        return kinds.get(ref.device()).properties().get(ref.property()).type();
    }

    private Condition test(PropertyRef ref, PropertyType type) {
        Condition.Test test = type instanceof PropertyType.Whole && random.nextInt(2) == 0
                ? random.nextBoolean()
                        ? new Condition.Test.Above(random.nextInt(3))
                        : new Condition.Test.Below(1 + random.nextInt(3))
                : new Condition.Test.Equal(any(type));
        Condition is = new Condition.Is(ref, test);
        return random.nextInt(6) == 0 ? new Condition.Not(is) : is;
    }

    private Condition condition() {
        PropertyRef ref = ref();
        Condition one = test(ref, type(ref));
        if (random.nextInt(3) > 0) {
            return one;
        }
        PropertyRef other = ref();
        List<Condition> both = List.of(one, test(other, type(other)));
        return random.nextInt(3) == 0 ? new Condition.Any(both) : new Condition.All(both);
    }

    /** Mostly what the steps lead to, so that many promises are kept. */
    private Condition promise(List<Step> steps) {
        Map<PropertyRef, Value> set = new LinkedHashMap<>();
        steps.forEach(step -> {
            if (step instanceof Step.Set(var values, _, _)) {
                put(values, set);
            } else if (step instanceof Step.If(_, var then, var otherwise, _) && then.isEmpty()
                    && !otherwise.isEmpty() && otherwise.getFirst() instanceof Step.Set(var values, _, _)) {
                put(values, set);
            }
        });
        if (set.isEmpty() || random.nextInt(8) == 0) {
            return condition();
        }
        return new Condition.All(set.entrySet().stream().<Condition>map(
                e -> new Condition.Is(e.getKey(), new Condition.Test.Equal(e.getValue()))).toList());
    }

    private static void put(Map<PropertyRef, Operand> values, Map<PropertyRef, Value> into) {
        values.forEach((ref, operand) -> {
            if (operand instanceof Operand.Fixed(Value value)) {
                into.put(ref, value);
            }
        });
    }

    /** "It is so already, so there is nothing to do": right only if that is known. */
    private Step unless() {
        PropertyRef ref = ref();
        Value value = any(type(ref));
        Source at = at();
        return new Step.If(new Condition.Is(ref, new Condition.Test.Equal(value)), List.of(),
                List.of(Step.Set.to(Map.of(ref, value), at())), at);
    }

    private List<Step> steps(int macro, int count, int depth) {
        List<Step> steps = new ArrayList<>();
        for (int i = 0; i < count; i++) {
            steps.add(step(macro, depth));
        }
        return steps;
    }

    private Step step(int macro, int depth) {
        Source at = at();
        return switch (random.nextInt(depth > 0 ? 12 : 9)) {
            case 0, 1, 2, 3 -> {
                Map<PropertyRef, Value> values = new LinkedHashMap<>();
                for (int i = 0; i < 1 + random.nextInt(2); i++) {
                    PropertyRef ref = ref();
                    values.put(ref, any(type(ref)));
                }
                yield Step.Set.to(values, at);
            }
            case 4, 5 -> {
                List<String> devices = List.copyOf(kinds.keySet());
                yield new Step.Do(devices.get(random.nextInt(devices.size())), "c" + random.nextInt(2), Map.of(), at);
            }
            case 6 -> new Step.Wait(Duration.ofMillis(random.nextBoolean() ? 100 : 1000), at);
            case 7 -> new Step.Until(condition(), Duration.ofMillis(random.nextBoolean() ? 1000 : 3000),
                    random.nextInt(3) == 0 ? new Step.Otherwise.GoOn() : new Step.Otherwise.Stop(), at);
            case 8 -> random.nextBoolean() ? new Step.Remember(ref(), at) : new Step.Restore(ref(), at);
            case 9 -> macro > 0
                    ? new Step.Run("m" + random.nextInt(macro), at)
                    : new Step.Wait(Duration.ofMillis(100), at);
            default -> new Step.If(condition(), steps(macro, 1 + random.nextInt(2), depth - 1),
                    steps(macro, random.nextInt(2), depth - 1), at);
        };
    }
}
