package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.model.Answers;
import bellpush.config.model.Command;
import bellpush.config.model.Condition;
import bellpush.config.model.Framing;
import bellpush.config.model.Heartbeat;
import bellpush.config.model.Kind;
import bellpush.config.model.Property;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Template;
import bellpush.config.model.Value;
import bellpush.config.problem.DidYouMean;
import bellpush.config.problem.Spot;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/** Reads one kind. */
final class KindReader {
    /** Where a kind says nothing: fast enough for a hand on a knob, and no device is flooded. Common practice, no source. */
    private static final Duration PROPERTY_PACE = Duration.ofMillis(20);
    private static final Set<String> OWN_DRIVERS = Set.of("tcp", "udp", "osc");

    private final Reading reading;
    private final Times times;
    private final Values values;
    private final TypeReader types;
    private final String name;
    private final Node.Obj root;
    private final String driver;
    private final TemplateReader templates;
    private MotionReader motion;

    private final Map<String, Optional<PropertyType>> typeOf = new LinkedHashMap<>();
    private final Map<String, Node.Member> propertyMembers = new LinkedHashMap<>();
    /** Properties that a report of the whole kind tells. */
    private final Set<String> toldTogether = new LinkedHashSet<>();
    private final Set<String> changedByCommands = new LinkedHashSet<>();

    KindReader(Reading reading, Times times, Values values, String name, Node.Obj root) {
        this.reading = reading;
        this.times = times;
        this.values = values;
        this.types = new TypeReader(reading);
        this.name = name;
        this.root = root;
        this.driver = reading.text(root, "driver").orElse("");
        this.templates = new TemplateReader(reading, driver);
    }

    KindDraft read(Set<String> driverNames) {
        Spot driverSpot = reading.node(root, "driver").map(Node::spot).orElse(root.spot());
        driver(driverNames, driverSpot);
        boolean stream = stream();
        Framing framing = new FramingReader(reading).read(root, driverSpot, driver, stream);
        templates.framing(framing);
        readTypes();
        List<Template> reports = reports();
        Map<String, Command> commands = new CommandReader(reading, times, values, types, templates, typeOf, name)
                .read(reading.members(root, "commands"), changedByCommands);
        Set<String> namedCommands = new LinkedHashSet<>();
        reading.members(root, "commands").forEach(m -> namedCommands.add(m.key()));
        motion = new MotionReader(reading, times, templates, driver, propertyMembers, typeOf, commands, namedCommands);
        Map<String, Property> properties = unsettledBySpeeds(properties());
        Kind kind = new Kind(name, reading.text(root, "about").orElse(""), driver, stream, reading.whole(root, "port"),
                framing, templates.envelope(root, "envelope").map(Message::template), properties, commands, reports,
                templates.read(root, "greeting", FieldScope.none("the greeting")).map(Message::template),
                asks(properties),
                times.positive(root, "askEvery", Duration.ZERO), heartbeat(),
                times.orZero(root, "fastest", Duration.ZERO), answers(), settings(root), root.spot().at());
        Map<String, Node.Member> commandMembers = new LinkedHashMap<>();
        reading.members(root, "commands").forEach(m -> commandMembers.put(m.key(), m));
        return new KindDraft(kind, propertyMembers, commandMembers);
    }

    private void driver(Set<String> driverNames, Spot spot) {
        if (!driver.isEmpty() && !driverNames.contains(driver)) {
            reading.problems.error(spot, "There is no driver \"" + driver + "\".",
                    "Without its driver no device of this kind can be reached.",
                    DidYouMean.closest(driver, driverNames).map(close -> "Did you mean \"" + close + "\"?")
                            .orElse("Known here: " + DidYouMean.list(driverNames.stream().sorted().toList())
                                    + ". A driver from another jar must be on the class path."));
        }
    }

    private boolean stream() {
        Optional<Node> node = reading.node(root, "stream");
        boolean stream = reading.flag(root, "stream").orElse(false);
        if (stream && OWN_DRIVERS.contains(driver) && !driver.equals("osc")) {
            reading.problems.error(node.orElseThrow().spot(),
                    "\"stream\" is for osc only, and the driver is " + driver + ".",
                    "tcp is always a stream, and udp never.", "Remove it.");
        }
        return stream;
    }

    private void readTypes() {
        for (Node.Member member : reading.members(root, "properties")) {
            propertyMembers.put(member.key(), member);
            typeOf.put(member.key(), reading.object(member.value()).flatMap(types::read));
        }
    }

    private FieldScope scope(String purpose) {
        return new FieldScope(typeOf, purpose);
    }

    private List<Template> reports() {
        List<Template> reports = new ArrayList<>();
        for (Node node : reading.list(root, "reports")) {
            templates.read(node, scope("a report")).ifPresent(message -> {
                reports.add(message.template());
                toldTogether.addAll(message.fields());
            });
        }
        return List.copyOf(reports);
    }

    private Map<String, Property> properties() {
        Map<String, Property> properties = new LinkedHashMap<>();
        propertyMembers.forEach((property, member) -> typeOf.get(property).ifPresent(type -> reading
                .object(member.value()).ifPresent(object -> properties.put(property, property(member, object, type)))));
        return Collections.unmodifiableMap(properties);
    }

    private Property property(Node.Member member, Node.Obj object, PropertyType type) {
        String property = member.key();
        Optional<Message> set = carrying(object, "set", property, type);
        Optional<Message> ask = templates.read(object, "ask", scope("the ask of " + property));
        Optional<Message> answer = carrying(object, "answer", property, type);
        Optional<Message> report = carrying(object, "report", property, type);
        boolean told = object.members().containsKey("answer") || object.members().containsKey("report");
        boolean reported = told || toldTogether.contains(property);
        if (ask.isPresent() && !reported && OWN_DRIVERS.contains(driver)) {
            reading.problems.error(object.members().get("ask").spot(),
                    property + " is asked for, but nothing says what the device answers.",
                    "The answer could not be understood, and the property would stay unknown.",
                    "Add an \"answer\" or a \"report\" to it, or name it in a report of the kind.");
        }
        boolean anything = object.members().containsKey("set") || object.members().containsKey("move") || reported
                || changedByCommands.contains(property);
        if (!anything && OWN_DRIVERS.contains(driver)) {
            reading.problems.warning(member.spot(),
                    property + " is neither set nor reported, and no command changes it.",
                    "Nothing can ever be done with it or known about it.",
                    "Give it a \"set\", an \"answer\" or a \"report\", or remove it.");
        }
        return new Property(property, reading.text(object, "about").orElse(""), type, set.map(Message::template),
                ask.map(Message::template), answer.map(Message::template), report.map(Message::template), reported,
                initial(object, property, type), times.orZero(object, "fastest", PROPERTY_PACE),
                times.orZero(object, "takes", Duration.ZERO), steadyWhile(object), unsettles(object, property),
                motion.move(object, property, type), motion.speeds(object, property, type), member.spot().at());
    }

    /** What is driven by a speed is somewhere else once that was set, whether or not the kind says so. */
    private static Map<String, Property> unsettledBySpeeds(Map<String, Property> read) {
        Map<String, Property> properties = new LinkedHashMap<>(read);
        read.values().forEach(moved -> moved.speeds().ifPresent(speeds -> properties.computeIfPresent(speeds.by(),
                (_, by) -> {
                    Set<String> unsettles = new LinkedHashSet<>(by.unsettles());
                    unsettles.add(moved.name());
                    return by.unsettling(List.copyOf(unsettles));
                })));
        return Collections.unmodifiableMap(properties);
    }

    /** A template that must carry the property's value. */
    private Optional<Message> carrying(Node.Obj object, String key, String property, PropertyType type) {
        FieldScope scope = scope("the " + key + " of " + property).with("value", Optional.of(type));
        Optional<Message> message = templates.read(object, key, scope);
        message.filter(m -> !(m.template() instanceof Template.ByDriver) && OWN_DRIVERS.contains(driver))
                .filter(m -> !m.fields().contains("value") && !m.fields().contains(property)
                        && m.fields().stream().allMatch(scope::may) // else one is misspelt, which is a problem already
                        && !(m.fields().contains("any") && !(m.template() instanceof Template.Osc)))
                .ifPresent(m -> reading.problems.error(m.spot(),
                        "The " + key + " of " + property + " has no field for its value.",
                        key.equals("set")
                                ? "The same message would be sent whatever the value."
                                : "Nobody could tell from it which value the property has.",
                        "Write {value} where the value stands."));
        return message;
    }

    private Value initial(Node.Obj object, String property, PropertyType type) {
        return reading.node(object, "initial").flatMap(node -> values.read(node, type, "\"initial\" of " + property))
                .orElseGet(() -> switch (type) {
                    case PropertyType.Flag _ -> Value.of(false);
                    case PropertyType.Choice c -> Value.of(c.wireByName().keySet().iterator().next());
                    case PropertyType.Whole w -> Value.of(Math.clamp(0, w.min(), w.max()));
                    case PropertyType.Number n -> Value.of(Math.clamp(0.0, n.min(), n.max()));
                    case PropertyType.Text _ -> Value.of("");
                });
    }

    private Optional<Condition> steadyWhile(Node.Obj object) {
        ConditionReader conditions = new ConditionReader(reading, values, new Names(reading.problems), this::own, true);
        return conditions.read(object, "steadyWhile");
    }

    private List<String> unsettles(Node.Obj object, String property) {
        List<String> names = new ArrayList<>();
        for (Node node : reading.list(object, "unsettles")) {
            if (node instanceof Node.Text(String other, Spot spot)) {
                if (propertyMembers.containsKey(other) && !other.equals(property)) {
                    names.add(other);
                } else {
                    reading.problems.error(spot,
                            other.equals(property)
                                    ? property + " cannot unsettle itself."
                                    : "The kind has no property \"" + other + "\".",
                            "\"unsettles\" lists what is not known any more once " + property + " has been set.",
                            other.equals(property)
                                    ? "Remove it."
                                    : DidYouMean.cure(other, propertyMembers.keySet(), "Remove it."));
                }
            }
        }
        return List.copyOf(names);
    }

    private Optional<ConditionReader.Target> own(Spot spot, String property) {
        if (!propertyMembers.containsKey(property)) {
            reading.problems.error(spot, "The kind has no property \"" + property + "\".",
                    "Inside a kind only its own properties can be spoken of, without a device's name.",
                    DidYouMean.cure(property, propertyMembers.keySet(), "Add the property."));
        }
        return typeOf.getOrDefault(property, Optional.empty())
                .map(type -> new ConditionReader.Target(new PropertyRef("", property), type, true));
    }

    private List<String> asks(Map<String, Property> properties) {
        if (!root.members().containsKey("asks")) {
            return properties.values().stream().filter(p -> p.ask().isPresent()).map(Property::name).toList();
        }
        List<String> asks = new ArrayList<>();
        for (Node node : reading.list(root, "asks")) {
            if (node instanceof Node.Text(String property, Spot spot)) {
                ask(property, spot, properties);
                asks.add(property);
            }
        }
        return List.copyOf(asks);
    }

    private void ask(String property, Spot spot, Map<String, Property> properties) {
        if (!propertyMembers.containsKey(property)) {
            reading.problems.error(spot, "The kind has no property \"" + property + "\".",
                    "\"asks\" lists what is asked after each connect.",
                    DidYouMean.cure(property, propertyMembers.keySet(), "Remove it."));
        } else if (properties.containsKey(property)
                && reading.object(propertyMembers.get(property).value()).filter(o -> !o.members().containsKey("ask"))
                        .isPresent()) {
            reading.problems.error(spot, property + " has no \"ask\".", "Nothing says how to ask for it.",
                    "Give the property an \"ask\", or remove it from \"asks\".");
        }
    }

    private Optional<Heartbeat> heartbeat() {
        return reading.object(root, "heartbeat").flatMap(object -> {
            Duration every = times.positive(object, "every", Duration.ofSeconds(2));
            Duration within = times.positive(object, "within", Duration.ofSeconds(1));
            if (within.compareTo(every) > 0) {
                reading.problems.error(reading.node(object, "within").map(Node::spot).orElse(object.spot()),
                        "The heartbeat's answer may take longer than the time to the next heartbeat.",
                        "An answer could not be told from the answer to the one before.",
                        "Write a \"within\" that is not longer than \"every\".");
            }
            Optional<Template> reply = templates.read(object, "reply", FieldScope.none("the heartbeat's reply"))
                    .map(Message::template);
            return templates.read(object, "send", FieldScope.none("the heartbeat"))
                    .map(send -> new Heartbeat(send.template(), reply, every, within));
        });
    }

    private Answers answers() {
        return reading.object(root, "answers").map(object -> {
            List<Template> ok = new ArrayList<>();
            reading.list(object, "ok").forEach(node -> templates.read(node, FieldScope.none("an answer"))
                    .ifPresent(m -> ok.add(m.template())));
            List<Answers.Refusal> refused = new ArrayList<>();
            for (Node node : reading.list(object, "refused")) {
                reading.object(node).ifPresent(inner -> templates.read(inner, "message", FieldScope.none("a refusal"))
                        .ifPresent(m -> refused
                                .add(new Answers.Refusal(m.template(), reading.text(inner, "means").orElse("")))));
            }
            int again = reading.whole(object, "again").orElse(0);
            if (again > 0 && driver.equals("tcp")) {
                reading.problems.warning(reading.node(object, "again").orElseThrow().spot(),
                        "\"again\" does nothing with tcp.",
                        "Only datagrams get lost, so only they are ever sent again.",
                        "Remove it.");
            }
            return new Answers(List.copyOf(ok), List.copyOf(refused),
                    times.positive(object, "within", Answers.NONE.within()), again);
        }).orElse(Answers.NONE);
    }

    private Map<String, Object> settings(Node.Obj object) {
        return reading.object(object, "settings").map(PlainValues::of).orElse(Map.of());
    }
}
