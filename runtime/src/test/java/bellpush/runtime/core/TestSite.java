package bellpush.runtime.core;

import bellpush.config.model.Answers;
import bellpush.config.model.Board;
import bellpush.config.model.Button;
import bellpush.config.model.Command;
import bellpush.config.model.Condition;
import bellpush.config.model.Device;
import bellpush.config.model.Fader;
import bellpush.config.model.FrameRate;
import bellpush.config.model.Framing;
import bellpush.config.model.Joystick;
import bellpush.config.model.Kind;
import bellpush.config.model.Knob;
import bellpush.config.model.Lamp;
import bellpush.config.model.LampRule;
import bellpush.config.model.Limits;
import bellpush.config.model.Look;
import bellpush.config.model.Macro;
import bellpush.config.model.Operand;
import bellpush.config.model.Panel;
import bellpush.config.model.Pin;
import bellpush.config.model.Property;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Site;
import bellpush.config.model.Source;
import bellpush.config.model.Step;
import bellpush.config.model.Switch;
import bellpush.config.model.Template;
import bellpush.config.model.Value;
import java.nio.file.Path;
import java.time.Duration;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.function.UnaryOperator;

/**
 * A small site made by hand: a mixer that reports its key, and a camera whose speed nobody reports. Each macro gets a
 * button of its own name, with a lamp that shows the macro's promise.
 */
final class TestSite {
    static final Duration PACE = Duration.ofMillis(20);

    private final Map<String, Button> buttons = new LinkedHashMap<>();
    private final Map<String, Knob> knobs = new LinkedHashMap<>();
    private final Map<String, Fader> faders = new LinkedHashMap<>();
    private final Map<String, Joystick> joysticks = new LinkedHashMap<>();
    private final Map<String, Lamp> lamps = new LinkedHashMap<>();
    private final Map<String, Switch> switches = new LinkedHashMap<>();
    private final Map<String, Macro> macros = new LinkedHashMap<>();
    private Limits limits = Limits.DEFAULT;

    static PropertyRef ref(String name) {
        int dot = name.indexOf('.');
        return new PropertyRef(name.substring(0, dot), name.substring(dot + 1));
    }

    static Value value(Object plain) {
        return switch (plain) {
            case Boolean on -> Value.of(on);
            case Number n -> Value.of(n.doubleValue());
            default -> Value.of(plain.toString());
        };
    }

    static Condition is(String property, Object value) {
        return new Condition.Is(ref(property), new Condition.Test.Equal(value(value)));
    }

    static Step set(Object... pairs) {
        Map<PropertyRef, Value> values = new LinkedHashMap<>();
        for (int i = 0; i < pairs.length; i += 2) {
            values.put(ref((String) pairs[i]), value(pairs[i + 1]));
        }
        return Step.Set.to(values, Source.NONE);
    }

    static Step set(String property, Operand operand) {
        return new Step.Set(Map.of(ref(property), operand), Optional.empty(), Source.NONE);
    }

    /** The same set, to be reported within a time, and sent so often in all. */
    static Step confirmed(Step set, int ms, int times) {
        return new Step.Set(((Step.Set) set).values(),
                Optional.of(new Step.Confirm(Duration.ofMillis(ms), times)), Source.NONE);
    }

    /** A step that goes on when it fails. */
    static Step orGoOn(Step step) {
        return new Step.Guarded(step, new Step.Otherwise.GoOn());
    }

    static Step orStop(Step step) {
        return new Step.Guarded(step, new Step.Otherwise.Stop());
    }

    static Step orRun(Step step, String macro) {
        return new Step.Guarded(step, new Step.Otherwise.Instead(macro));
    }

    static Step run(String macro) {
        return new Step.Run(macro, Source.NONE);
    }

    @SafeVarargs
    @SuppressWarnings("varargs") // only read
    static Step together(List<Step>... branches) {
        return new Step.Together(List.of(branches), Source.NONE);
    }

    static Step stop(String... families) {
        return new Step.Stop(List.of(families), Source.NONE);
    }

    static Step act(String command) {
        return new Step.Do(ref(command).device(), ref(command).property(), Map.of(), Source.NONE);
    }

    static Step pause(int ms) {
        return new Step.Wait(Duration.ofMillis(ms), Source.NONE);
    }

    static Step until(Condition condition, int ms) {
        return new Step.Until(condition, Duration.ofMillis(ms), new Step.Otherwise.Stop(), Source.NONE);
    }

    static Step say(String text) {
        return new Step.Say(text, Source.NONE);
    }

    MacroBuilder macro(String name, Step... steps) {
        return new MacroBuilder(name, List.of(steps));
    }

    TestSite limits(Limits newLimits) {
        limits = newLimits;
        return this;
    }

    TestSite hold(String name, String macro, int ms) {
        buttons.put(name, Button.named(name, name, Source.NONE).onHold(Duration.ofMillis(ms), macro));
        lamps.put(name, Lamp.named(name, name, List.of(), Source.NONE));
        return this;
    }

    TestSite button(Button button) {
        Lamp lamp = button.lamp().orElse(Lamp.named(button.name(), button.label(), List.of(), Source.NONE));
        lamps.put(button.name(), lamp);
        buttons.put(button.name(), button.with(lamp));
        return this;
    }

    TestSite lamp(String name, LampRule... rules) {
        lamps.put(name, Lamp.named(name, name, List.of(rules), Source.NONE));
        return this;
    }

    static LampRule rule(Condition when, Look.Pattern pattern) {
        return new LampRule(Optional.ofNullable(when), Look.of(pattern), Source.NONE);
    }

    TestSite knob(String name, String turns, double step) {
        knobs.put(name, Knob.named(name, name, ref(turns), step, Source.NONE));
        return this;
    }

    /** A knob with everything, on pins. */
    TestSite knob(String name, String turns, double step, double faster, int perDetent, Knob.Push push) {
        Pin pin = new Pin.Gpio(5);
        knobs.put(name, new Knob(name, name, Optional.of(pin), Optional.of(pin), perDetent, ref(turns), step, faster,
                Optional.ofNullable(push), Optional.empty(), Source.NONE));
        return this;
    }

    /** Changes a button that is there already. */
    TestSite button(String name, UnaryOperator<Button> change) {
        buttons.compute(name, (_, button) -> change.apply(button));
        return this;
    }

    /** Changes a lamp that is there already. */
    TestSite lamp(String name, UnaryOperator<Lamp> change) {
        lamps.compute(name, (_, lamp) -> change.apply(lamp));
        return this;
    }

    /** @param wired whether it has a pin; else only the drawn panel has it */
    TestSite toggle(String name, boolean wired, String on, String off) {
        switches.put(name, new Switch(name, name, wired ? Optional.of(new Pin.Gpio(4)) : Optional.empty(), false,
                Button.LOCKOUT, Duration.ZERO, Optional.ofNullable(on), Optional.ofNullable(off), Optional.empty(),
                Source.NONE));
        return this;
    }

    static Fader fader(String name, String moves, double from, double to, Fader.Calibration calibration, double curve,
            double steadiness, boolean pickUp) {
        return new Fader(name, name, Optional.empty(), ref(moves), from, to, calibration, curve, steadiness, pickUp,
                Optional.empty(), Source.NONE);
    }

    TestSite fader(Fader fader) {
        faders.put(fader.name(), fader);
        return this;
    }

    static Joystick.Axis axis(String name, Joystick.Wire wire, String drives, double most) {
        return new Joystick.Axis(name, Optional.ofNullable(wire), ref(drives), most, Source.NONE);
    }

    TestSite joystick(String name, Joystick.Axis... axes) {
        Map<String, Joystick.Axis> byName = new LinkedHashMap<>();
        for (Joystick.Axis axis : axes) {
            byName.put(axis.name(), axis);
        }
        joysticks.put(name, new Joystick(name, name, byName, Optional.empty(), Source.NONE));
        return this;
    }

    final class MacroBuilder {
        private final String name;
        private final List<Step> steps;
        private List<String> lanes = List.of();
        private Macro.Again again = Macro.Again.IGNORE;
        private Step.Otherwise onFailure = new Step.Otherwise.Stop();
        private Optional<Condition> promise = Optional.empty();
        private String family;
        private boolean takesOver;
        private Optional<String> onTakeover = Optional.empty();
        private int repeatsMax = 1;
        private Duration within = Limits.DEFAULT.macro();

        private MacroBuilder(String name, List<Step> steps) {
            this.name = name;
            this.family = name;
            this.steps = steps;
        }

        MacroBuilder lane(String... names) {
            lanes = List.of(names);
            return this;
        }

        MacroBuilder again(Macro.Again what) {
            again = what;
            return this;
        }

        MacroBuilder family(String what) {
            family = what;
            return this;
        }

        MacroBuilder takesOver() {
            takesOver = true;
            return this;
        }

        MacroBuilder onTakeover(String macro) {
            onTakeover = Optional.of(macro);
            return this;
        }

        MacroBuilder queue(int most) {
            again = Macro.Again.QUEUE;
            repeatsMax = most;
            return this;
        }

        MacroBuilder within(int ms) {
            within = Duration.ofMillis(ms);
            return this;
        }

        MacroBuilder onFailure(Step.Otherwise what) {
            onFailure = what;
            return this;
        }

        MacroBuilder promise(Condition what) {
            promise = Optional.of(what);
            return this;
        }

        TestSite end() {
            macros.put(name, new Macro(name, family, name, lanes, takesOver, onTakeover, again, repeatsMax,
                    onFailure, within, steps, promise, Duration.ofSeconds(2), Source.NONE));
            List<LampRule> rules = promise.map(p -> List.of(rule(p, Look.Pattern.STEADY))).orElse(List.of());
            Lamp lamp = Lamp.named(name, name, rules, Source.NONE);
            lamps.put(name, lamp);
            buttons.put(name, Button.named(name, name, Source.NONE).onPress(name).with(lamp));
            return TestSite.this;
        }
    }

    Site site() {
        Map<String, Device> devices = new LinkedHashMap<>();
        devices.put("mixer", device("mixer", mixer()));
        devices.put("camera", device("camera", camera()));
        return new Site(Path.of("test"), "Test hall", new FrameRate(25, 1), limits,
                new Panel(Board.ANY, Map.of(), buttons, switches, knobs, faders, joysticks, lamps, List.of(),
                        Panel.Signs.DEFAULT, Optional.empty()),
                devices, macros);
    }

    private static Device device(String name, Kind kind) {
        return new Device(name, name, kind, "127.0.0.1", 1, Map.of(), Source.NONE);
    }

    private static Kind mixer() {
        Map<String, Property> properties = new LinkedHashMap<>();
        PropertyType flag = new PropertyType.Flag(Value.of(0), Value.of(1));
        Map<String, Value> fills = new LinkedHashMap<>();
        List.of("slides", "titles", "stills").forEach(n -> fills.put(n, Value.of(n)));
        put(properties, "onAir", flag, true, Duration.ZERO);
        put(properties, "fill", new PropertyType.Choice(fills), true, Duration.ZERO);
        put(properties, "preview", new PropertyType.Choice(fills), true, Duration.ZERO);
        put(properties, "left", new PropertyType.Whole(-1000, 1000, "", Optional.empty()), true, PACE);
        Map<String, Command> commands = new LinkedHashMap<>();
        commands.put("dissolve", new Command("dissolve", "", Map.of(), new Template.Text("D"),
                Map.of("onAir", new Command.Effect.Becomes(Value.of(true))), Duration.ofSeconds(1), Source.NONE,
                false));
        commands.put("move", new Command("move", "",
                Map.of("to", new PropertyType.Whole(-500, 500, "", Optional.empty())), new Template.Text("M {to}"),
                Map.of("left", new Command.Effect.FromArgument("to")), Duration.ZERO, Source.NONE, false));
        commands.put("swap", new Command("swap", "", Map.of(), new Template.Text("S"),
                Map.of("onAir", new Command.Effect.Opposite()), Duration.ZERO, Source.NONE, false));
        commands.put("stop", new Command("stop", "", Map.of(), new Template.Text("X"),
                Map.of("left", new Command.Effect.Unknown()), Duration.ZERO, Source.NONE, true));
        return kind("mixer", properties, commands, List.of("onAir", "fill", "left"));
    }

    private static Kind camera() {
        Map<String, Property> properties = new LinkedHashMap<>();
        put(properties, "speed", new PropertyType.Number(0, 1, 0.01, "", Optional.empty()), false, Duration.ZERO);
        put(properties, "turn", new PropertyType.Whole(-18, 18, "", Optional.empty()), false, PACE);
        put(properties, "rise", new PropertyType.Number(-1, 1, 0.01, "", Optional.empty()), false, PACE);
        where(properties, "pan", "AT {value} {tilt}");
        where(properties, "tilt", "AT {pan} {value}");
        Command halt = new Command("halt", "", Map.of(), new Template.Text("H"),
                Map.of("turn", new Command.Effect.Becomes(Value.of(0))), Duration.ZERO, Source.NONE, true);
        return kind("camera", properties, Map.of("halt", halt), List.of("pan", "tilt"));
    }

    /** Asked for in the same words as its like, and told with it. */
    private static void where(Map<String, Property> properties, String name, String answer) {
        properties.put(name, new Property(name, "", new PropertyType.Whole(0, 9, "", Optional.empty()),
                Optional.empty(), Optional.of(new Template.Text("WHERE?")), Optional.of(new Template.Text(answer)),
                Optional.empty(), true, Value.of(0), Duration.ZERO, Duration.ZERO, Optional.empty(), Source.NONE));
    }

    private static void put(Map<String, Property> properties, String name, PropertyType type, boolean reported,
            Duration fastest) {
        Optional<Template> template = Optional.of(new Template.Text(name + " {value}"));
        properties.put(name, new Property(name, "", type, template, reported ? template : Optional.empty(),
                Optional.empty(), reported ? template : Optional.empty(), reported, Value.of(false), fastest,
                Duration.ZERO, Optional.empty(), Source.NONE));
    }

    private static Kind kind(String name, Map<String, Property> properties, Map<String, Command> commands,
            List<String> asks) {
        return new Kind(name, "", "tcp", false, OptionalInt.empty(), new Framing.Slip(), Optional.empty(), properties,
                commands, List.of(), Optional.empty(), asks, Duration.ZERO, Optional.empty(), Duration.ZERO,
                Answers.NONE, Map.of(),
                Source.NONE);
    }
}
