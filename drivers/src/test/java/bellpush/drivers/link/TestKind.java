package bellpush.drivers.link;

import bellpush.config.model.Answers;
import bellpush.config.model.Command;
import bellpush.config.model.Device;
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

/** Kinds put together by hand for tests. */
public final class TestKind {
    public static final Framing LINES = new Framing.Delimiter("\n".getBytes(StandardCharsets.US_ASCII));
    static final PropertyType LEVEL = new PropertyType.Whole(0, 100, "", Optional.empty());
    static final PropertyType SWITCH = new PropertyType.Flag(Value.of("OFF"), Value.of("ON"));

    private final String driver;
    private Framing framing;
    private Optional<Template> envelope = Optional.empty();
    private final Map<String, Property> properties = new LinkedHashMap<>();
    private final Map<String, Command> commands = new LinkedHashMap<>();
    private final List<Template> reports = new ArrayList<>();
    private Optional<Template> greeting = Optional.empty();
    private Optional<Heartbeat> heartbeat = Optional.empty();
    private final List<Template> ok = new ArrayList<>();
    private final List<Answers.Refusal> refused = new ArrayList<>();
    private Duration within = Duration.ofSeconds(1);
    private int again;

    private TestKind(String driver, Framing framing) {
        this.driver = driver;
        this.framing = framing;
    }

    public static TestKind tcp() {
        return new TestKind("tcp", LINES);
    }

    public static TestKind udp() {
        return new TestKind("udp", new Framing.None());
    }

    static TestKind of(String driver) {
        return new TestKind(driver, new Framing.None());
    }

    TestKind framing(Framing framing) {
        this.framing = framing;
        return this;
    }

    static Template text(String text) {
        return new Template.Text(text);
    }

    static Template hex(String hex) {
        return new Template.Hex(hex);
    }

    TestKind envelope(Template template) {
        envelope = Optional.of(template);
        return this;
    }

    /** {@code level 5} sets and reports, {@code level?} asks; the answer to that is the report, or {@code level=5}. */
    public TestKind level(String name, boolean ownAnswer) {
        return property(name, LEVEL, ownAnswer);
    }

    TestKind onOff(String name, boolean ownAnswer) {
        return property(name, SWITCH, ownAnswer);
    }

    TestKind words(String name) {
        return property(name, new PropertyType.Text(10_000), false);
    }

    private TestKind property(String name, PropertyType type, boolean ownAnswer) {
        return property(new Property(name, "", type, Optional.of(text(name + " {value}")),
                Optional.of(text(name + "?")),
                ownAnswer ? Optional.of(text(name + "={value}")) : Optional.empty(),
                Optional.of(text(name + " {value}")), true, Value.of(0), Duration.ZERO, Duration.ZERO, Optional.empty(),
                Source.NONE));
    }

    TestKind property(Property property) {
        properties.put(property.name(), property);
        return this;
    }

    TestKind command(String name, Template send, Map<String, PropertyType> arguments) {
        commands.put(name, new Command(name, "", arguments, send, Map.of(), Duration.ZERO, Source.NONE, false));
        return this;
    }

    /** A stop of what the properties tell. */
    TestKind urgent(String name, Template send, String... properties) {
        var effect = new LinkedHashMap<String, Command.Effect>();
        for (String property : properties) {
            effect.put(property, new Command.Effect.Unknown());
        }
        commands.put(name, new Command(name, "", Map.of(), send, effect, Duration.ZERO, Source.NONE, true));
        return this;
    }

    TestKind report(Template template) {
        reports.add(template);
        return this;
    }

    TestKind greeting(Template template) {
        greeting = Optional.of(template);
        return this;
    }

    TestKind heartbeat(Template send, Template reply, long everyMs, long withinMs) {
        heartbeat = Optional.of(new Heartbeat(send, Optional.ofNullable(reply), Duration.ofMillis(everyMs),
                Duration.ofMillis(withinMs)));
        return this;
    }

    TestKind ok(Template template) {
        ok.add(template);
        return this;
    }

    TestKind refused(Template template, String means) {
        refused.add(new Answers.Refusal(template, means));
        return this;
    }

    TestKind within(long ms, int again) {
        within = Duration.ofMillis(ms);
        this.again = again;
        return this;
    }

    public Kind kind() {
        return new Kind("test-kind", "", driver, false, OptionalInt.empty(), framing, envelope, properties, commands,
                reports, greeting, List.of(), Duration.ZERO, heartbeat, Duration.ZERO,
                new Answers(ok, refused, within, again),
                Map.of(),
                Source.NONE);
    }

    public Device at(String address, int port) {
        return new Device("gear", "Some gear", kind(), address, port, Map.of(), Source.NONE);
    }
}
