package bellpush.drivers.osc;

import bellpush.config.model.Answers;
import bellpush.config.model.Command;
import bellpush.config.model.Device;
import bellpush.config.model.Framing;
import bellpush.config.model.Kind;
import bellpush.config.model.Move;
import bellpush.config.model.Property;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Source;
import bellpush.config.model.Template;
import bellpush.config.model.Value;
import java.time.Duration;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;

/** A sound desk of our own invention, as a kind for the tests. */
final class OscTestKind {
    static final Template MUTE_SET = osc("/channel/1/mute", field("value"));
    static final Template LEVEL_SET = osc("/channel/1/level", field("value"));
    static final Template LEVEL_ASK = osc("/channel/1/level/ask");
    static final Template SCENE = osc("/scene/{number:dec2}/recall");
    static final Template LINE = osc("/line", field("title"), field("level"), field("mute"));

    private OscTestKind() {}

    static Template.Osc osc(String address, Template.OscArgument... arguments) {
        return new Template.Osc(address, List.of(arguments));
    }

    static Template.OscArgument field(String name) {
        return field(' ', name);
    }

    static Template.OscArgument field(char tag, String name) {
        return new Template.OscArgument(tag, Optional.of(name), Optional.empty());
    }

    static Template.OscArgument literal(char tag, Value value) {
        return new Template.OscArgument(tag, Optional.empty(), Optional.ofNullable(value));
    }

    static Kind datagrams() {
        return kind(false, new Framing.None(), Map.of());
    }

    static Kind stream(Framing framing) {
        return kind(true, framing, Map.of());
    }

    static Kind kind(boolean stream, Framing framing, Map<String, Object> settings) {
        return kind(stream, framing, settings, List.of(LINE));
    }

    static Kind kind(boolean stream, Framing framing, Map<String, Object> settings, List<Template> reports) {
        Map<String, Property> properties = new LinkedHashMap<>();
        add(properties, "mute", new PropertyType.Flag(Value.of(0), Value.of(1)), Value.of(false), MUTE_SET,
                Optional.empty());
        add(properties, "level", new PropertyType.Number(-60, 10, 0.1, "dB", Optional.empty()), Value.of(0), LEVEL_SET,
                Optional.of(LEVEL_ASK));
        Move glide = new Move(osc("/channel/1/glide", field('f', "value"), field('i', "over")), Duration.ofMillis(1),
                true, Duration.ofSeconds(60), Optional.empty());
        properties.compute("level", (_, level) -> level.moved(Optional.of(glide), Optional.empty()));
        add(properties, "title", new PropertyType.Text(80), Value.of(""), osc("/channel/1/title", field("value")),
                Optional.empty());
        add(properties, "count", new PropertyType.Whole(0, 1_000_000, "", Optional.empty()), Value.of(0),
                osc("/count", field("value")), Optional.empty());
        Map<String, PropertyType> arguments = Map.of("number", new PropertyType.Whole(1, 99, "", Optional.empty()));
        Command scene = new Command("scene", "", arguments, SCENE, Map.of(), Duration.ZERO, Source.NONE, false);
        return new Kind("hall-desk", "", "osc", stream, OptionalInt.empty(), framing, Optional.empty(), properties,
                Map.of("scene", scene), new ArrayList<>(reports), Optional.empty(), List.of("level"), Duration.ZERO,
                Optional.empty(),
                Duration.ZERO, new Answers(List.of(), List.of(), Duration.ofSeconds(5), 0), settings, Source.NONE);
    }

    private static void add(Map<String, Property> properties, String name, PropertyType type, Value initial,
            Template set, Optional<Template> ask) {
        properties.put(name, new Property(name, "", type, Optional.of(set), ask, Optional.empty(), Optional.of(set),
                true, initial, Duration.ZERO, Duration.ZERO, Optional.empty(), Source.NONE));
    }

    static Device device(Kind kind, int port, Map<String, Object> settings) {
        return new Device("desk", "Sound desk", kind, "127.0.0.1", port, settings, Source.NONE);
    }
}
