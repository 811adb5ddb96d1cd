package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.model.Command;
import bellpush.config.model.Move;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Speeds;
import bellpush.config.model.Template;
import bellpush.config.model.Value;
import bellpush.config.problem.DidYouMean;
import bellpush.config.problem.Spot;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/** Reads how a number property moves: the device's own timed move, and how fast it goes at each of its speeds. */
final class MotionReader {
    private static final Set<String> OWN_DRIVERS = Set.of("tcp", "udp", "osc");

    private final Reading reading;
    private final Times times;
    private final TemplateReader templates;
    private final String driver;
    private final Map<String, Node.Member> properties;
    private final Map<String, Optional<PropertyType>> types;
    private final Map<String, Command> commands;
    private final Set<String> namedCommands;

    /** @param namedCommands names of all commands as written, also of those that could not be read */
    MotionReader(Reading reading, Times times, TemplateReader templates, String driver,
            Map<String, Node.Member> properties, Map<String, Optional<PropertyType>> types,
            Map<String, Command> commands, Set<String> namedCommands) {
        this.reading = reading;
        this.times = times;
        this.templates = templates;
        this.driver = driver;
        this.properties = properties;
        this.types = types;
        this.commands = commands;
        this.namedCommands = namedCommands;
    }

    Optional<Move> move(Node.Obj property, String name, PropertyType type) {
        return reading.object(property, "move").flatMap(object -> {
            if (!number(property, "move", name, type)) {
                return Optional.empty();
            }
            String counts = reading.text(object, "counts").orElse("ms");
            Duration longest = times.positive(object, "longest", Times.LONGEST);
            Move bare = new Move(new Template.ByDriver(), times.unit(counts), !counts.equals("s"), longest,
                    stop(object));
            FieldScope scope = new FieldScope(types, "the move of " + name).with("value", Optional.of(type))
                    .with("over", Optional.of(bare.type()));
            Optional<Message> send = templates.read(object, "send", scope);
            send.ifPresent(message -> carries(message, name, scope));
            return send.map(m -> new Move(m.template(), bare.unit(), bare.whole(), longest, bare.stop()));
        });
    }

    private boolean number(Node.Obj property, String key, String name, PropertyType type) {
        boolean number = type.range().isPresent();
        if (!number) {
            reading.problems.error(property.members().get(key).spot(), name + " is no number, so it has no \"" + key
                    + "\".", name + " takes " + Values.describe(type) + ", and there is nothing between two of them.",
                    "Remove it, or make the property a whole or a number.");
        }
        return number;
    }

    private void carries(Message message, String name, FieldScope scope) {
        if (message.template() instanceof Template.ByDriver || !OWN_DRIVERS.contains(driver)
                || !message.fields().stream().allMatch(scope::may)) {
            return;
        }
        boolean value = message.fields().contains("value") || message.fields().contains(name);
        if (!value || !message.fields().contains("over")) {
            reading.problems.error(message.spot(),
                    "The move of " + name + " has no field for " + (value ? "its time." : "its value."),
                    value
                            ? "The device could not know how long it has to take."
                            : "The same message would be sent whatever the value.",
                    value
                            ? "Write {over} where the time stands; \"counts\" says what it counts."
                            : "Write {value} where the value stands.");
        }
    }

    private Optional<String> stop(Node.Obj object) {
        return reading.textNode(object, "stop").flatMap(node -> {
            Command command = commands.get(node.text());
            if (!namedCommands.contains(node.text())) {
                reading.problems.error(node.spot(), "The kind has no command \"" + node.text() + "\".",
                        "\"stop\" names the command that ends the move where it is.",
                        DidYouMean.cure(node.text(), namedCommands, "Add the command, or remove \"stop\"."));
            } else if (command != null && !command.arguments().isEmpty()) {
                reading.problems.error(node.spot(), "The command " + node.text() + " needs "
                        + DidYouMean.list(List.copyOf(command.arguments().keySet())) + ".",
                        "Nobody is there to say it when a move has to end.", "Name a command without arguments.");
                return Optional.empty();
            }
            return Optional.ofNullable(command).map(Command::name);
        });
    }

    Optional<Speeds> speeds(Node.Obj property, String name, PropertyType type) {
        return reading.object(property, "speeds").flatMap(object -> {
            if (!number(property, "speeds", name, type)) {
                return Optional.empty();
            }
            return reading.textNode(object, "by").flatMap(by -> by(by, name))
                    .flatMap(by -> table(object, by).map(table -> Speeds.of(by, table)));
        });
    }

    /** The speed property's name, if it can be one. */
    private Optional<String> by(Node.Text node, String name) {
        String by = node.text();
        Node.Member member = properties.get(by);
        if (member == null) {
            reading.problems.error(node.spot(), "The kind has no property \"" + by + "\".",
                    "\"by\" names the property that is the speed of " + name + ".",
                    DidYouMean.cure(by, properties.keySet(), "Add the property."));
            return Optional.empty();
        }
        Optional<PropertyType> type = types.getOrDefault(by, Optional.empty());
        if (type.isEmpty()) {
            return Optional.empty();
        }
        boolean set = reading.object(member.value()).filter(o -> o.members().containsKey("set")).isPresent();
        if (by.equals(name) || !stands(type.get()) || !set) {
            reading.problems.error(node.spot(), by + " cannot be the speed of " + name + ".",
                    by.equals(name)
                            ? "A property is not its own speed."
                            : !set
                                    ? by + " has no \"set\", so nobody can say how fast."
                                    : by + " takes " + Values.describe(type.get())
                                            + ", and a speed must be a number that can be 0, which stands still.",
                    "Name a number property with a \"set\" whose range has 0 in it.");
            return Optional.empty();
        }
        return Optional.of(by);
    }

    private static boolean stands(PropertyType type) {
        return type.range().isPresent() && type.accepts(Value.of(0));
    }

    private Optional<List<Speeds.Entry>> table(Node.Obj object, String by) {
        List<Speeds.Entry> table = new ArrayList<>();
        for (Node node : reading.list(object, "table")) {
            List<Node> pair = reading.list(node);
            if (pair.size() != 2 || !(pair.get(0) instanceof Node.Num speed)
                    || !(pair.get(1) instanceof Node.Num rate)) {
                return Optional.empty();
            }
            Optional<String> wrong = wrong(table, by, speed.number(), rate.number());
            if (wrong.isPresent()) {
                complain(node.spot(), speed.written(), rate.written(), wrong.get());
                return Optional.empty();
            }
            table.add(new Speeds.Entry(speed.number(), rate.number()));
        }
        if (table.stream().allMatch(entry -> entry.speed() == 0)) {
            return Optional.empty(); // an empty list, which the shape refuses, or standstill only
        }
        return Optional.of(List.copyOf(table));
    }

    private Optional<String> wrong(List<Speeds.Entry> before, String by, double speed, double rate) {
        PropertyType type = types.get(by).orElseThrow();
        if (!type.accepts(Value.of(speed))) {
            return Optional.of(by + " takes " + Values.describe(type) + ".");
        }
        if (speed == 0 != (rate == 0)) {
            return Optional.of("A speed of 0 stands still, and every other speed moves.");
        }
        if (before.isEmpty()) {
            return Optional.empty();
        }
        Speeds.Entry last = before.getLast();
        if (speed <= last.speed()) {
            return Optional.of("Speeds must rise from one entry to the next.");
        }
        boolean rises = rate > last.perSecond();
        boolean before2 = before.size() < 2 || last.perSecond() > before.get(before.size() - 2).perSecond();
        boolean sign = last.speed() == 0 || speed == 0
                || Math.signum(rate / speed) == Math.signum(last.perSecond() / last.speed());
        if (rate == last.perSecond() || !sign || before.size() > 1 && rises != before2) {
            return Optional.of("A greater speed must go faster, and speeds above and below 0 must go opposite ways.");
        }
        return Optional.empty();
    }

    private void complain(Spot spot, String speed, String rate, String why) {
        reading.problems.error(spot, "The entry [" + speed + ", " + rate + "] cannot stand here.", why,
                "Write a speed and how many units it makes per second, from the least speed to the greatest.");
    }
}
