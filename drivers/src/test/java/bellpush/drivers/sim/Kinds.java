package bellpush.drivers.sim;

import bellpush.config.model.Answers;
import bellpush.config.model.Command;
import bellpush.config.model.Framing;
import bellpush.config.model.Heartbeat;
import bellpush.config.model.Kind;
import bellpush.config.model.Property;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Source;
import bellpush.config.model.Template;
import bellpush.config.model.Value;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.function.UnaryOperator;

/** Builds kinds for tests, with text templates unless told otherwise. */
final class Kinds {
    static final PropertyType FLAG = new PropertyType.Flag(Value.of(0), Value.of(1));

    private final Map<String, Property> properties = new LinkedHashMap<>();
    private final Map<String, Command> commands = new LinkedHashMap<>();
    private final List<Template> reports = new ArrayList<>();
    private final List<Template> ok = new ArrayList<>();
    private final List<Answers.Refusal> refused = new ArrayList<>();
    private Optional<Template> greeting = Optional.empty();
    private Optional<Heartbeat> heartbeat = Optional.empty();
    private Optional<Template> envelope = Optional.empty();
    private String driver = "tcp";
    private boolean stream;
    private Framing framing = new Framing.Delimiter("\r\n".getBytes(StandardCharsets.US_ASCII));
    private int again;
    private Duration within = Duration.ofSeconds(1);

    static Template text(String text) {
        return new Template.Text(text);
    }

    static PropertyType choice(String... names) {
        Map<String, Value> wire = new LinkedHashMap<>();
        for (String name : names) {
            wire.put(name, Value.of(name));
        }
        return new PropertyType.Choice(wire);
    }

    static PropertyType whole(long min, long max) {
        return new PropertyType.Whole(min, max, "", Optional.empty());
    }

    Kinds driver(String name) {
        driver = name;
        framing = name.equals("tcp") ? framing : new Framing.None();
        return this;
    }

    Kinds stream(Framing framing) {
        this.stream = true;
        this.framing = framing;
        return this;
    }

    Kinds framing(Framing framing) {
        this.framing = framing;
        return this;
    }

    Kinds envelope(Template template) {
        envelope = Optional.of(template);
        return this;
    }

    Kinds within(Duration time) {
        within = time;
        return this;
    }

    Kinds again(int times) {
        again = times;
        return this;
    }

    /** With text templates; an empty text for a template that is not there. */
    Kinds property(String name, PropertyType type, Value initial, Duration takes, String set, String ask, String answer,
            String report) {
        return property(name, type, initial, takes, optional(set), optional(ask), optional(answer), optional(report));
    }

    Kinds property(String name, PropertyType type, Value initial, String set, String ask, String answer,
            String report) {
        return property(name, type, initial, Duration.ZERO, set, ask, answer, report);
    }

    Kinds property(String name, PropertyType type, Value initial, Duration takes, Optional<Template> set,
            Optional<Template> ask, Optional<Template> answer, Optional<Template> report) {
        properties.put(name, new Property(name, "", type, set, ask, answer, report,
                answer.isPresent() || report.isPresent(), initial, Duration.ZERO, takes, Optional.empty(),
                Source.NONE));
        return this;
    }

    /** A speed, which the device does not tell: setting it makes others something else. */
    Kinds speed(String name, String set, String... unsettles) {
        properties.put(name, new Property(name, "", whole(-9, 9), optional(set), Optional.empty(), Optional.empty(),
                Optional.empty(), false, Value.of(0), Duration.ZERO, Duration.ZERO, Optional.empty(),
                List.of(unsettles), Source.NONE));
        return this;
    }

    /** Changes a property that is there already. */
    Kinds changed(String name, UnaryOperator<Property> change) {
        properties.compute(name, (_, property) -> change.apply(property));
        return this;
    }

    Kinds command(String name, Map<String, PropertyType> arguments, Template send, Map<String, Command.Effect> effect,
            Duration takes) {
        commands.put(name, new Command(name, "", arguments, send, effect, takes, Source.NONE, false));
        return this;
    }

    Kinds command(String name, String send, Map<String, Command.Effect> effect) {
        return command(name, Map.of(), text(send), effect, Duration.ZERO);
    }

    Kinds report(Template template) {
        reports.add(template);
        return this;
    }

    Kinds ok(String... templates) {
        for (String t : templates) {
            ok.add(text(t));
        }
        return this;
    }

    Kinds ok(Template template) {
        ok.add(template);
        return this;
    }

    Kinds refused(Template template) {
        refused.add(new Answers.Refusal(template, "not possible now"));
        return this;
    }

    Kinds greeting(String template) {
        greeting = Optional.of(text(template));
        return this;
    }

    Kinds heartbeat(Template send, Optional<Template> reply, Duration every, Duration within) {
        heartbeat = Optional.of(new Heartbeat(send, reply, every, within));
        return this;
    }

    Kind kind() {
        return new Kind("test-kind", "", driver, stream, OptionalInt.empty(), framing, envelope, properties, commands,
                reports, greeting,
                properties.values().stream().filter(p -> p.ask().isPresent()).map(Property::name).toList(),
                Duration.ZERO, heartbeat, Duration.ZERO, new Answers(ok, refused, within, again), Map.of(),
                Source.NONE);
    }

    private static Optional<Template> optional(String template) {
        return template.isEmpty() ? Optional.empty() : Optional.of(text(template));
    }
}
