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
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;

/**
 * Sites of any size with chains like the village hall's: a key that is taken off, set up and brought on; a source that is put on
 * preview and dissolved to; lights that take their time. Each macro works on three devices, and devices that are used together share a
 * lane.
 */
final class BigSites {
    private static final int DEVICES_OF_A_LANE = 3;

    private BigSites() {}

    static Site of(int macroCount, int deviceCount, int propertiesEach) {
        Kind kind = kind(propertiesEach);
        Map<String, Device> devices = new LinkedHashMap<>();
        for (int i = 0; i < deviceCount; i++) {
            devices.put("d" + i, new Device("d" + i, "d" + i, kind, "127.0.0.1", 1, Map.of(), Source.NONE));
        }
        Map<String, Macro> macros = new LinkedHashMap<>();
        Map<String, Button> buttons = new LinkedHashMap<>();
        for (int i = 0; i < macroCount; i++) {
            Macro macro = macro(i, deviceCount, propertiesEach);
            macros.put(macro.name(), macro);
            buttons.put(macro.name(), Button.named(macro.name(), macro.name(), Source.NONE).onPress(macro.name()));
        }
        return new Site(Path.of("big"), "Big", new FrameRate(25, 1), Limits.DEFAULT,
                Panel.of(buttons, Map.of(), Map.of(), List.of(), Panel.Signs.DEFAULT), devices, macros);
    }

    private static Kind kind(int count) {
        Map<String, Property> properties = new LinkedHashMap<>();
        PropertyType flag = new PropertyType.Flag(Value.of(0), Value.of(1));
        Map<String, Value> sources = new LinkedHashMap<>();
        List.of("black", "stage", "rail", "slides").forEach(s -> sources.put(s, Value.of(s)));
        put(properties, "on", flag, Duration.ZERO, Optional.empty());
        put(properties, "program", new PropertyType.Choice(sources), Duration.ZERO, Optional.empty());
        put(properties, "preview", new PropertyType.Choice(sources), Duration.ZERO, Optional.empty());
        put(properties, "scene", new PropertyType.Choice(sources), Duration.ofMillis(600), Optional.empty());
        Condition on = new Condition.Is(new PropertyRef("", "on"), new Condition.Test.Equal(Value.of(true)));
        for (int i = 4; i < count; i++) {
            put(properties, "p" + i, new PropertyType.Whole(-1000, 1000, "", Optional.empty()), Duration.ZERO,
                    i < 10 ? Optional.of(on) : Optional.empty());
        }
        Map<String, Command> commands = new LinkedHashMap<>();
        commands.put("dissolve", new Command("dissolve", "", Map.of(), new Template.Text("d"),
                Map.of("program", new Command.Effect.FromProperty("preview"), "preview",
                        new Command.Effect.FromProperty("program")),
                Duration.ofMillis(800), Source.NONE, false));
        commands.put("fade", new Command("fade", "", Map.of(), new Template.Text("f"),
                Map.of("on", new Command.Effect.Opposite()), Duration.ofMillis(500), Source.NONE, false));
        return new Kind("big", "", "tcp", false, OptionalInt.empty(), new Framing.Slip(), Optional.empty(), properties,
                commands,
                List.of(), Optional.empty(), List.of(), Duration.ZERO, Optional.empty(), Duration.ofMillis(5),
                Answers.NONE, Map.of(),
                Source.NONE);
    }

    private static void put(Map<String, Property> properties, String name, PropertyType type, Duration takes,
            Optional<Condition> steady) {
        Optional<Template> template = Optional.of(new Template.Text(name + " {value}"));
        properties.put(name, new Property(name, "", type, template, Optional.empty(), Optional.empty(), template, true,
                Value.of(0), Duration.ZERO, takes, steady, Source.NONE));
    }

    private static Condition is(PropertyRef ref, Value value) {
        return new Condition.Is(ref, new Condition.Test.Equal(value));
    }

    private static Macro macro(int number, int deviceCount, int propertiesEach) {
        String name = "m" + number;
        int lane = number % Math.max(1, deviceCount / DEVICES_OF_A_LANE);
        String mixer = "d" + (lane * DEVICES_OF_A_LANE) % deviceCount;
        String switcher = "d" + (lane * DEVICES_OF_A_LANE + 1) % deviceCount;
        String lights = "d" + (lane * DEVICES_OF_A_LANE + 2) % deviceCount;
        int[] line = {0};
        java.util.function.Supplier<Source> at = () -> new Source("macros/" + name + ".json", ++line[0], 1);
        PropertyRef on = new PropertyRef(mixer, "on");
        PropertyRef program = new PropertyRef(switcher, "program");
        PropertyRef preview = new PropertyRef(switcher, "preview");
        Value source = Value.of(List.of("stage", "rail", "slides").get(number % 3));
        Map<PropertyRef, Value> look = new LinkedHashMap<>();
        for (int i = 0; i < 4; i++) {
            look.put(new PropertyRef(mixer, "p" + (4 + (number + i) % Math.min(6, propertiesEach - 4))),
                    Value.of(number + i));
        }
        Map<PropertyRef, Value> light = Map.of(new PropertyRef(lights, "scene"), source);
        Step.Otherwise stop = new Step.Otherwise.Stop();
        Duration within = Duration.ofSeconds(3);
        List<Condition> promised = new java.util.ArrayList<>(
                look.entrySet().stream().map(e -> is(e.getKey(), e.getValue())).toList());
        List<Step> steps = List.of(
                Step.Set.to(Map.of(on, Value.of(false)), at.get()),
                new Step.Until(is(on, Value.of(false)), within, stop, at.get()),
                Step.Set.to(look, at.get()),
                Step.Set.to(light, at.get()),
                new Step.If(is(program, source), List.of(new Step.Say("there", at.get())),
                        List.of(new Step.Remember(preview, at.get()), Step.Set.to(Map.of(preview, source), at.get()),
                                new Step.Until(is(preview, source), within, stop, at.get()),
                                new Step.Do(switcher, "dissolve", Map.of(), at.get()),
                                new Step.Until(is(program, source), within, stop, at.get()),
                                new Step.Restore(preview, at.get())),
                        at.get()),
                new Step.Until(new Condition.All(List.copyOf(promised)), within, stop, at.get()),
                new Step.Do(mixer, "fade", Map.of(), at.get()));
        promised.add(is(on, Value.of(true)));
        promised.add(is(program, source));
        promised.add(is(new PropertyRef(lights, "scene"), source));
        return new Macro(name, name, List.of("lane" + lane), Macro.Again.IGNORE, stop, steps,
                Optional.of(new Condition.All(promised)), within, at.get());
    }
}
