package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.model.PropertyType;
import bellpush.config.model.PropertyType.WireRange;
import bellpush.config.model.Template;
import bellpush.config.model.Template.OscArgument;
import bellpush.config.model.Value;
import bellpush.config.problem.Spot;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * Reads one OSC template. Which names an address may hold and what the type tags mean: The Open Sound Control 1.0
 * Specification (2002), sections on addresses and type tags.
 */
final class OscTemplateReader {
    /** Complains about a field that is not known, and says whether it did. */
    interface Unknown {
        boolean test(String name, Spot spot, FieldScope scope);
    }

    private static final Pattern FIELD = Pattern.compile("\\{\\{|\\}\\}|\\{([^{}]*)\\}|[{}]");
    private static final Pattern WHOLE_FIELD = Pattern.compile("\\{([^{}:]+)(?::([^{}]*))?\\}");
    private static final String VALUE_TAGS = "ifhdsSTFcbrmt";

    private final Reading reading;
    private final Unknown unknown;
    private final FieldScope scope;
    private final Set<String> fields = new LinkedHashSet<>();

    OscTemplateReader(Reading reading, Unknown unknown, FieldScope scope) {
        this.reading = reading;
        this.unknown = unknown;
        this.scope = scope;
    }

    Optional<Message> read(Node.Obj object) {
        Optional<Node.Text> address = reading.textNode(object, "osc");
        address.ifPresent(this::address);
        List<OscArgument> arguments = new ArrayList<>();
        reading.list(object, "args").forEach(node -> argument(node).ifPresent(arguments::add));
        return address
                .map(node -> new Message(new Template.Osc(node.text(), List.copyOf(arguments)), node.spot(), fields));
    }

    private void address(Node.Text node) {
        Matcher m = FIELD.matcher(node.text());
        StringBuilder literal = new StringBuilder();
        int at = 0;
        while (m.find()) {
            literal.append(node.text(), at, m.start());
            at = m.end();
            Spot spot = node.spot().part(node.text(), m.start(), m.end());
            if (m.group(1) != null) {
                addressField(m.group(1), spot);
            } else if (m.group().length() == 1) {
                reading.problems.error(spot, "The brace " + m.group() + " has no partner in this address.",
                        "Braces hold fields.",
                        "Close the field, or write " + m.group().repeat(2) + " for a brace itself.");
            }
        }
        literal.append(node.text().substring(at));
        Matcher forbidden = Pattern.compile("[#*,?\\[\\]]").matcher(literal);
        if (forbidden.find()) {
            int where = node.text().indexOf(forbidden.group());
            reading.problems.error(node.spot().part(node.text(), where, where + 1),
                    "The character " + forbidden.group() + " cannot stand in an OSC address.",
                    "OSC keeps # * , ? [ ] { } and the space for other purposes (OSC 1.0).",
                    "Write the address as the device's manual has it.");
        }
        if (node.text().contains("//") || node.text().endsWith("/") || node.text().length() < 2) {
            reading.problems.error(node.spot(), "A part of this address is empty.",
                    "Between two slashes, and after the last, stands a name.", "Remove the slash that is too many.");
        }
    }

    private void addressField(String inside, Spot spot) {
        int colon = inside.indexOf(':');
        String name = colon < 0 ? inside : inside.substring(0, colon);
        if (colon >= 0 && !inside.substring(colon + 1).matches("dec[1-9]")) {
            reading.problems.error(spot, "In an address a field is {name} or {name:decN} with N digits.",
                    "An address is text.", "Write {" + name + "} or, for two digits, {" + name + ":dec2}.");
        }
        if (use(name, spot)) {
            scope.type(name).ifPresent(type -> addressType(name, type, spot));
        }
    }

    private void addressType(String name, PropertyType type, Spot spot) {
        if (type instanceof PropertyType.Number) {
            disagree(spot, "{" + name + "} may have a fraction, and a point cannot be told from a name in an address",
                    "Make it whole, or send it as an argument.");
        }
    }

    private boolean use(String name, Spot spot) {
        fields.add(name);
        if (Set.of("length", "check", "body").contains(name)) {
            reading.problems.error(spot, "The field {" + name + "} means nothing in an OSC message.",
                    "OSC has its own framing.", "Remove it.");
            return false;
        }
        return !unknown.test(name, spot, scope) && !scope.broken(name);
    }

    private Optional<OscArgument> argument(Node node) {
        return switch (node) {
            case Node.Text text -> Optional.of(text(text));
            case Node.Num n -> Optional.of(number(n));
            case Node.Flag flag -> Optional.of(literal(' ', Value.of(flag.on())));
            case Node.Null _ -> Optional.of(new OscArgument('N', Optional.empty(), Optional.empty()));
            case Node.Obj object -> tagged(object);
            case Node.Arr _ -> Optional.empty();
        };
    }

    private static OscArgument literal(char tag, Value value) {
        return new OscArgument(tag, Optional.empty(), Optional.of(value));
    }

    /** A number written with a point is a float; OSC tells 3 from 3.0. */
    private OscArgument number(Node.Num n) {
        boolean whole = n.written().matches("-?\\d+");
        if (whole && (n.number() < Integer.MIN_VALUE || n.number() > Integer.MAX_VALUE)) {
            reading.problems.error(n.spot(), n.written() + " does not fit in 32 bits.",
                    "A whole number is sent with the type tag i, which has 32 bits.",
                    "Write { \"h\": " + n.written() + " } for 64 bits.");
        }
        return literal(whole ? ' ' : 'f', Value.of(n.number()));
    }

    private Optional<OscArgument> tagged(Node.Obj object) {
        for (Map.Entry<String, Node.Member> entry : object.members().entrySet()) {
            if (entry.getKey().equals("I")) {
                return Optional.of(new OscArgument('I', Optional.empty(), Optional.empty()));
            }
            Node node = entry.getValue().value();
            if (entry.getKey().length() == 1 && !reading.verdict.bad(node)) {
                if (entry.getKey().equals("b") && node instanceof Node.Text(String hex, _) && hex.length() % 2 == 1) {
                    reading.problems.error(node.spot(), "The blob has an odd number of hexadecimal digits.",
                            "Two digits make one byte.", "Add or remove a digit.");
                }
                return Values.plain(node).map(value -> literal(entry.getKey().charAt(0), value));
            }
        }
        return Optional.empty();
    }

    private OscArgument text(Node.Text node) {
        String text = node.text();
        Matcher field = WHOLE_FIELD.matcher(text);
        if (field.matches()) {
            String name = field.group(1);
            String format = field.group(2) == null ? " " : field.group(2);
            if (format.length() != 1 || format.charAt(0) != ' ' && VALUE_TAGS.indexOf(format.charAt(0)) < 0) {
                reading.problems.error(node.spot(), "\"" + format + "\" is no OSC type tag that a value can have.",
                        "After the colon stands how the argument is sent: i whole 32 bits, h whole 64 bits, f and d numbers,"
                                + " s and S texts, T a flag.",
                        "Write {" + name + "}, or for example {" + name + ":f}.");
                format = " ";
            }
            if (use(name, node.spot())) {
                char tag = format.charAt(0);
                scope.type(name).ifPresent(type -> tagType(name, tag, type, node.spot()));
            }
            return new OscArgument(format.charAt(0), Optional.of(name), Optional.empty());
        }
        Matcher inside = FIELD.matcher(text);
        while (inside.find()) {
            if (!inside.group().equals("{{") && !inside.group().equals("}}")) {
                reading.problems.error(node.spot().part(text, inside.start(), inside.end()),
                        "A field must be the whole argument.",
                        "OSC arguments have types, so they are not put together.",
                        "Write the field as an argument of its own, or {{ and }} for braces themselves.");
                break;
            }
        }
        return literal('s', Value.of(text.replace("{{", "{").replace("}}", "}")));
    }

    private void tagType(String name, char tag, PropertyType type, Spot spot) {
        switch (tag) {
            case 'i', 'h' -> wholeTag(name, tag, type, spot);
            case 'f', 'd' -> words(type).ifPresent(
                    word -> disagree(spot,
                            "{" + name + "} may be the word \"" + word + "\", and " + tag + " holds numbers",
                            "Write {" + name + ":s}, or give it a number on the wire."));
            case 'T', 'F' -> flagTag(name, type, spot);
            case 'c', 'b', 'r', 'm', 't' -> {
                if (type instanceof PropertyType.Number || type instanceof PropertyType.Flag) {
                    disagree(spot,
                            "{" + name + "} takes " + Values.describe(type) + ", and " + tag + " holds none of that",
                            "Write {" + name + "} without a tag.");
                }
            }
            default -> {
            }
        }
    }

    private void flagTag(String name, PropertyType type, Spot spot) {
        boolean flags = type instanceof PropertyType.Flag(Value off, Value on)
                && off.equals(Value.of(0)) && on.equals(Value.of(1));
        if (!flags) {
            disagree(spot, "{" + name + "} is no flag with 0 and 1 on the wire, and T and F hold nothing else",
                    "Write {" + name + "} without a tag.");
        }
    }

    private void wholeTag(String name, char tag, PropertyType type, Spot spot) {
        Optional<String> word = words(type);
        if (word.isPresent()) {
            disagree(spot, "{" + name + "} may be the word \"" + word.get() + "\", and " + tag + " holds whole numbers",
                    "Write {" + name + ":s}, or give it a number on the wire.");
            return;
        }
        double limit = tag == 'i' ? Integer.MAX_VALUE : 0x1p53;
        double[] ends = switch (type) {
            case PropertyType.Whole w -> ends(w.min(), w.max(), w.wire());
            case PropertyType.Number n -> ends(n.min(), n.max(), n.wire());
            default -> new double[0];
        };
        boolean fractions = switch (type) {
            case PropertyType.Whole w -> w.wire().filter(wire -> !wire.whole()).isPresent();
            case PropertyType.Number n -> n.wire().filter(WireRange::whole).isEmpty();
            default -> false;
        };
        if (ends.length == 2) {
            if (fractions) {
                disagree(spot, "{" + name + "} may have a fraction on the wire, and " + tag + " holds whole numbers",
                        "Write {" + name + ":f}, or make it whole.");
            } else if (Math.abs(ends[0]) > limit || Math.abs(ends[1]) > limit) {
                disagree(spot, "{" + name + "} goes beyond what " + tag + " holds",
                        tag == 'i' ? "Write {" + name + ":h}, or a smaller range." : "Write a smaller range.");
            }
        }
    }

    private static double[] ends(double min, double max, Optional<WireRange> wire) {
        return wire.map(w -> new double[]{w.from(), w.to()}).orElse(new double[]{min, max});
    }

    /** A word that the type may put on the wire where a number is needed. */
    private static Optional<String> words(PropertyType type) {
        return switch (type) {
            case PropertyType.Text _ -> Optional.of("any text");
            case PropertyType.Choice c -> c.wireByName().values().stream().filter(Value.Text.class::isInstance)
                    .map(Value::toString).findFirst();
            case PropertyType.Flag(Value off, Value on) -> off instanceof Value.Text
                    ? Optional.of(off.toString())
                    : on instanceof Value.Text ? Optional.of(on.toString()) : Optional.empty();
            default -> Optional.empty();
        };
    }

    private void disagree(Spot spot, String found, String cure) {
        reading.problems.error(spot, "In " + scope.purpose() + ": " + found + ".",
                "A message that cannot carry its values can neither be sent nor understood.", cure);
    }
}
