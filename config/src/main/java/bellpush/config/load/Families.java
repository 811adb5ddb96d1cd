package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.load.shape.FileShape;
import bellpush.config.model.Macro;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Value;
import java.util.ArrayDeque;
import java.util.Collections;
import java.util.Deque;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;

/**
 * Macros with arguments: of one file, a macro is made for each different way in which the site runs it. What is wrong in the
 * file is told when the file itself is checked, so making them is silent.
 */
final class Families {
    /** How many macros may be made of files with arguments, in one site. */
    static final int MOST = 1_000;

    /** Reads a file once more, with values for its arguments. */
    interface Maker {
        Macro make(String name, String family, Node.Obj root, Arguments arguments);
    }

    private record Family(Node.Obj root, Map<String, Optional<PropertyType>> types) {}

    private record Call(String name, String family, Map<String, Value> values) {}

    private final Reading reading;
    private final Values values;
    private final Map<String, Family> families = new LinkedHashMap<>();
    /** What was made, or is about to be. */
    private final Map<String, Optional<Macro>> made = new LinkedHashMap<>();
    private final Deque<Call> wanted = new ArrayDeque<>();
    private Optional<Maker> maker = Optional.empty();
    private boolean tooMany;

    Families(Reading reading, Values values) {
        this.reading = reading;
        this.values = values;
    }

    /** A macro's file, before any of them is read. */
    void declare(String name, Node.Obj root) {
        Map<String, Optional<PropertyType>> types = new LinkedHashMap<>();
        TypeReader reader = new TypeReader(reading);
        reading.members(root, "arguments").stream().filter(member -> FileShape.isPropertyName(member.key()))
                .forEach(member -> types.put(member.key(), reading.object(member.value()).flatMap(reader::read)));
        families.put(name, new Family(root, types));
    }

    /** The arguments of a file, without values. */
    Arguments of(String name) {
        Family family = families.get(name);
        return family == null ? Arguments.NONE : new Arguments(family.types, Map.of());
    }

    /**
     * The name of the macro that is run: the file's, or the one that is made for these arguments.
     *
     * @param object has {@code run}, perhaps {@code with}
     */
    Optional<String> called(Node.Text name, Node.Obj object) {
        Family family = families.get(name.text());
        if (family == null) { // unknown, or not read
            return Optional.of(name.text());
        }
        Map<String, Optional<PropertyType>> types = family.types;
        Map<String, Value> given = new GivenArguments(reading, "The macro " + name.text(), name,
                "Only what its file names under \"arguments\" can be given.", types.keySet())
                .read(object, member -> types.get(member.key())
                        .flatMap(type -> values.read(member.value(), type, "the argument " + member.key())),
                        first -> types.get(first).map(type -> first + " takes " + Values.describe(type) + ".")
                                .orElse("Its file names it under \"arguments\"."),
                        first -> "Write { \"run\": \"" + name.text() + "\", \"with\": { \"" + first
                                + "\": ... } }.");
        if (given.size() < types.size()) {
            return Optional.empty();
        }
        return Optional.of(types.isEmpty() ? name.text() : wanted(name.text(), family, given));
    }

    private String wanted(String name, Family family, Map<String, Value> given) {
        Map<String, Value> inOrder = new LinkedHashMap<>(); // as declared, however they were written
        family.types.keySet().forEach(argument -> inOrder.put(argument, given.get(argument)));
        String whole = name + inOrder.entrySet().stream()
                .map(each -> " " + each.getKey() + "=" + written(each.getValue())).collect(Collectors.joining());
        if (!values.arguments().unbound() && !made.containsKey(whole)) {
            if (made.size() == MOST) {
                tooMany = true;
            } else {
                made.put(whole, Optional.empty());
                wanted.add(new Call(whole, name, inOrder));
                makeWanted();
            }
        }
        return whole;
    }

    private static String written(Value value) {
        String plain = value.toString();
        return plain.matches("[\\w.+-]+") ? plain : "\"" + plain.replace("\\", "\\\\").replace("\"", "\\\"") + "\"";
    }

    /** From now on macros are made as they are wanted. No file may run itself, in whatever circle. */
    void open(Maker newMaker) {
        maker = Optional.of(newMaker);
        makeWanted();
    }

    private void makeWanted() {
        while (maker.isPresent() && !wanted.isEmpty()) {
            Call call = wanted.remove();
            Family family = families.get(call.family);
            made.put(call.name, Optional.of(reading.problems.quietly(() -> maker.get().make(call.name, call.family,
                    family.root, new Arguments(family.types, call.values)))));
        }
    }

    /** All that were made, once everything is read; too many are a problem. */
    Map<String, Macro> made() {
        if (tooMany) {
            families.values().stream().filter(family -> !family.types.isEmpty()).findFirst()
                    .ifPresent(family -> reading.problems.error(family.root.get("arguments").orElseThrow().spot(),
                            "Macros with arguments are run in more than " + MOST + " different ways.",
                            "Each way is a macro of its own, and no site needs so many.",
                            "Give macros that run others fewer arguments."));
        }
        Map<String, Macro> all = new LinkedHashMap<>();
        made.forEach((name, macro) -> macro.ifPresent(m -> all.put(name, m)));
        return Collections.unmodifiableMap(all);
    }

    Optional<Macro> made(String name) {
        return made.getOrDefault(name, Optional.empty());
    }
}
