package bellpush.runtime.show;

import bellpush.config.model.Answers;
import bellpush.config.model.Button;
import bellpush.config.model.Condition;
import bellpush.config.model.Device;
import bellpush.config.model.FrameRate;
import bellpush.config.model.Framing;
import bellpush.config.model.Kind;
import bellpush.config.model.Knob;
import bellpush.config.model.Lamp;
import bellpush.config.model.LampRule;
import bellpush.config.model.Limits;
import bellpush.config.model.Look;
import bellpush.config.model.Macro;
import bellpush.config.model.Panel;
import bellpush.config.model.Pin;
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
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;

/** One device with one flag and one number, one button with a lamp that sets the flag after a wait, one knob. */
public final class TinySite {
    public static final PropertyRef ON = new PropertyRef("dimmer", "on");

    private TinySite() {}

    /** @param wait before the flag is set */
    public static Site with(String driver, Duration wait) {
        Template set = new Template.Text("on {value}");
        Property on = property("on", new PropertyType.Flag(Value.of(0), Value.of(1)), set, Value.of(false));
        Property level = property("level", new PropertyType.Whole(0, 100, "%", Optional.empty()),
                new Template.Text("level {value}"), Value.of(0));
        Kind kind = new Kind("hall-dimmer", "", driver, false, OptionalInt.of(9000), new Framing.None(),
                Optional.empty(),
                Map.of("on", on, "level", level), Map.of(), List.of(), Optional.empty(), List.of(), Duration.ZERO,
                Optional.empty(), Duration.ZERO, Answers.NONE, Map.of(), Source.NONE);
        Device device = new Device("dimmer", "House lights", kind, "127.0.0.1", 9000, Map.of(), Source.NONE);
        Lamp lamp = Lamp.named("lights", "LIGHTS",
                List.of(new LampRule(
                        Optional.of(new Condition.Is(ON, new Condition.Test.Equal(Value.of(true)))),
                        Look.of(Look.Pattern.STEADY), Source.NONE)),
                Source.NONE).onPin(new Pin.Gpio(6));
        Button button = Button.named("lights", "LIGHTS", Source.NONE).onPin(new Pin.Gpio(5)).onPress("lights-up")
                .with(lamp);
        Knob knob = Knob.named("house", "HOUSE", new PropertyRef("dimmer", "level"), 1, Source.NONE)
                .onPins(new Pin.Gpio(17), new Pin.Gpio(27));
        Panel panel = Panel.of(Map.of("lights", button), Map.of("house", knob), Map.of("lights", lamp), List.of(),
                Panel.Signs.DEFAULT);
        Macro macro = new Macro("lights-up", "Lights up", List.of(), Macro.Again.IGNORE, new Step.Otherwise.Stop(),
                List.of(new Step.Wait(wait, Source.NONE), Step.Set.to(Map.of(ON, Value.of(true)), Source.NONE)),
                Optional.empty(), Duration.ofSeconds(3), Source.NONE);
        return new Site(Path.of("."), "Tiny hall", new FrameRate(25, 1), Limits.DEFAULT, panel,
                Map.of("dimmer", device), Map.of("lights-up", macro));
    }

    private static Property property(String name, PropertyType type, Template set, Value initial) {
        return new Property(name, "", type, Optional.of(set), Optional.empty(), Optional.empty(), Optional.of(set),
                true,
                initial, Duration.ZERO, Duration.ZERO, Optional.empty(), Source.NONE);
    }
}
