package bellpush.runtime.prove;

import bellpush.config.json.Node;
import bellpush.config.json.TreeReader;
import bellpush.config.model.Device;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Site;
import bellpush.config.model.Value;
import bellpush.config.problem.Problems;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.UnaryOperator;
import java.util.stream.Stream;

/**
 * Every single mistake of some kinds in the files of a site's macros, as an admin makes them in an editor. Nothing is taken
 * out of what a macro promises, since that is what the other mistakes are held against; lines for the log are left alone.
 */
final class Mutants {
    /**
     * One file with one mistake in it.
     *
     * @param kind   of the mistake, in a word or two
     * @param family the macro's file, without its ending
     * @param text   what the file says then
     */
    record Mutant(String kind, String words, String family, String text) {}

    private final Site site;
    private final List<Mutant> all = new ArrayList<>();
    private String family = "";
    private List<String> families = List.of();
    private Map<String, Object> arguments = Map.of();

    private Mutants(Site site) {
        this.site = site;
    }

    /** @param site what the folder says, to know what else a value could be */
    static List<Mutant> of(Path folder, Site site) {
        Mutants mutants = new Mutants(site);
        try (Stream<Path> files = Files.list(folder.resolve("macros"))) {
            List<Path> sorted = files.sorted().toList();
            mutants.families = sorted.stream().map(Mutants::name).toList();
            for (Path file : sorted) {
                mutants.family = name(file);
                Node tree = TreeReader.read(file.toString(), Files.readString(file), new Problems()).orElseThrow();
                mutants.file(map(plain(tree)));
            }
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
        return mutants.all;
    }

    private static String name(Path file) {
        return file.getFileName().toString().replace(".json", "");
    }

    // --- where mistakes are made

    private void file(Map<String, Object> file) {
        arguments = file.get("arguments") instanceof Map<?, ?> some ? map(some) : Map.of();
        Object lanes = file.get("lane");
        if (lanes instanceof List<?> list) {
            for (int i = 0; i < list.size(); i++) {
                note("lane", "is without the lane " + list.get(i), with(file, "lane", without(list, i)));
            }
        } else if (lanes != null) {
            note("lane", "is without the lane " + lanes, without(file, "lane"));
        }
        for (String key : List.of("onFailure", "onTakeover", "takesOver", "again", "within")) {
            if (file.containsKey(key)) {
                note("policy", "is without its " + key, without(file, key));
            }
        }
        if (file.get("promise") instanceof Map<?, ?> promise) {
            map(promise).forEach((name, value) -> {
                if (name.contains(".")) {
                    other(site.property(ref(name)).type(), value).ifPresent(to -> note("promise",
                            "promises " + name + " "
                                    + JsonWords.of(to) + " and not " + JsonWords.of(value),
                            with(file, "promise", with(map(promise), name, to))));
                }
            });
        }
        chain(list(file.get("steps")), steps -> with(file, "steps", steps));
    }

    /** @param whole puts a changed chain where it belongs in the file */
    private void chain(List<Object> steps, UnaryOperator<Object> whole) {
        for (int i = 0; i < steps.size(); i++) {
            Map<String, Object> step = map(steps.get(i));
            if (step.containsKey("say")) {
                continue;
            }
            note("drop", "drops " + JsonWords.of(step), whole.apply(without(steps, i)));
            List<Object> twice = new ArrayList<>(steps);
            twice.add(i, step);
            note("twice", "does twice " + JsonWords.of(step), whole.apply(twice));
            if (i + 1 < steps.size() && !map(steps.get(i + 1)).containsKey("say")) {
                List<Object> swapped = new ArrayList<>(steps);
                swapped.set(i, steps.get(i + 1));
                swapped.set(i + 1, step);
                note("swap", "swaps with the next " + JsonWords.of(step), whole.apply(swapped));
            }
            int at = i;
            step(step, changed -> {
                List<Object> other = new ArrayList<>(steps);
                other.set(at, changed);
                return whole.apply(other);
            });
        }
    }

    private void step(Map<String, Object> step, UnaryOperator<Object> whole) {
        if (step.containsKey("onFailure")) {
            note("policy", "has no onFailure at " + JsonWords.of(step), whole.apply(without(step, "onFailure")));
        }
        if (step.get("set") instanceof Map<?, ?> set) {
            values(map(set), values -> whole.apply(with(step, "set", values)));
            if (step.containsKey("confirm")) {
                note("confirm", "does not confirm " + JsonWords.of(step), whole.apply(without(step, "confirm")));
            }
        } else if (step.get("glide") instanceof Map<?, ?> glide) {
            values(map(glide), values -> whole.apply(with(step, "glide", values)));
            shorter(step, "over", whole);
        } else if (step.get("do") instanceof String command && step.get("with") instanceof Map<?, ?> given) {
            PropertyRef ref = ref(command);
            Map<String, PropertyType> types = site.devices().get(ref.device()).kind().commands().get(ref.property())
                    .arguments();
            given(map(given), types, changed -> whole.apply(with(step, "with", changed)), command);
        } else if (step.get("run") instanceof String run) {
            if (step.get("with") instanceof Map<?, ?> given) {
                map(given).forEach((name, value) -> {
                    if (value instanceof Double number) {
                        note("argument", "gives " + run + " another " + name, whole.apply(
                                with(step, "with", with(map(given), name, number >= 1 ? number - 1 : number + 1))));
                    }
                });
            } else {
                String other = families.get((families.indexOf(run) + 1) % families.size());
                note("run", "runs " + other + " and not " + run, whole.apply(with(step, "run", other)));
            }
        } else if (step.get("until") instanceof Map<?, ?> until) {
            condition(map(until), changed -> whole.apply(with(step, "until", changed)), "waits");
            shorter(step, "within", whole);
            if (step.containsKey("else")) {
                note("policy", "has no else at " + JsonWords.of(step), whole.apply(without(step, "else")));
            }
        } else if (step.containsKey("wait")) {
            shorter(step, "wait", whole);
        } else if (step.get("if") instanceof Map<?, ?> condition) {
            condition(map(condition), changed -> whole.apply(with(step, "if", changed)), "asks");
            List<Object> then = list(step.get("then"));
            List<Object> otherwise = list(step.getOrDefault("else", List.of()));
            note("branches", "has then and else the wrong way round at " + JsonWords.of(step),
                    whole.apply(with(with(step, "then", otherwise), "else", then)));
            chain(then, inner -> whole.apply(with(step, "then", inner)));
            chain(otherwise, inner -> whole.apply(with(step, "else", inner)));
        } else if (step.get("together") instanceof List<?> branches) {
            for (int i = 0; i < branches.size(); i++) {
                int at = i;
                chain(list(branches.get(i)), inner -> {
                    List<Object> other = new ArrayList<>(branches);
                    other.set(at, inner);
                    return whole.apply(with(step, "together", other));
                });
            }
        } else if (step.get("remember") instanceof String ref) {
            another(ref).ifPresent(other -> note("value", "remembers " + other + " and not " + ref,
                    whole.apply(with(step, "remember", other))));
        }
    }

    private void values(Map<String, Object> values, UnaryOperator<Object> whole) {
        values.forEach((name, value) -> {
            PropertyType type = site.property(ref(name)).type();
            other(type, value).ifPresent(to -> note("value", "gives " + name + " " + JsonWords.of(to) + " and not "
                    + JsonWords.of(value), whole.apply(with(values, name, to))));
            if (values.size() > 1) {
                note("drop", "does not set " + name, whole.apply(without(values, name)));
            }
        });
    }

    private void given(Map<String, Object> given, Map<String, PropertyType> types, UnaryOperator<Object> whole,
            String to) {
        given.forEach((name, value) -> other(types.get(name), value).ifPresent(changed -> note("argument", "gives "
                + to + " " + name + " " + JsonWords.of(changed), whole.apply(with(given, name, changed)))));
    }

    private void condition(Map<String, Object> condition, UnaryOperator<Object> whole, String does) {
        condition.forEach((name, value) -> {
            if (List.of("link", "running", "failed", "switch", "any", "all", "not").contains(name)) {
                return;
            }
            PropertyType type = site.property(ref(name)).type();
            other(type, value).ifPresent(to -> note("condition", does + " for " + name + " " + JsonWords.of(to)
                    + " and not " + JsonWords.of(value), whole.apply(with(condition, name, to))));
            if (condition.size() > 1) {
                note("condition", does + " not for " + name, whole.apply(without(condition, name)));
            }
        });
    }

    /** A zero forgotten, or seconds taken for tenths of them. */
    private void shorter(Map<String, Object> step, String key, UnaryOperator<Object> whole) {
        if (step.get(key) instanceof String time) {
            String[] parts = time.split(" ");
            double tenth = Double.parseDouble(parts[0]) / 10;
            String to = parts[1].equals("s")
                    ? Math.max(1, Math.round(tenth * 1000)) + " ms"
                    : Math.max(1, Math.round(tenth)) + " " + parts[1];
            note("time", "has " + to + " and not " + time + " at " + JsonWords.of(step),
                    whole.apply(with(step, key, to)));
        }
    }

    private void note(String kind, String words, Object file) {
        all.add(new Mutant(kind, family + " " + words, family, JsonWords.of(file)));
    }

    // --- what else a value could be

    private static PropertyRef ref(String name) {
        int dot = name.indexOf('.');
        return new PropertyRef(name.substring(0, dot), name.substring(dot + 1));
    }

    /** Another property of the device, of the same type. */
    private Optional<String> another(String name) {
        PropertyRef ref = ref(name);
        Device device = site.devices().get(ref.device());
        PropertyType type = site.property(ref).type();
        return device.kind().properties().values().stream()
                .filter(p -> p.type().equals(type) && !p.name().equals(ref.property()))
                .findFirst().map(p -> ref.device() + "." + p.name());
    }

    private Optional<Object> other(PropertyType type, Object value) {
        return switch (value) {
            case Boolean on -> Optional.of(!on);
            case String word when type instanceof PropertyType.Choice choice -> choice.wireByName().keySet().stream()
                    .filter(other -> !other.equals(word)).<Object>map(w -> w).findFirst();
            case String text -> Optional.of(text + "s");
            case Double number -> Stream.of(number + 5, number - 5, number + 1, number - 1)
                    .filter(n -> type.accepts(Value.of(n))).<Object>map(n -> n).findFirst();
            case Map<?, ?> operand -> operand(type, map(operand));
            default -> Optional.empty();
        };
    }

    private Optional<Object> operand(PropertyType type, Map<String, Object> operand) {
        if (operand.containsKey("opposite")) {
            return Optional.of(true);
        }
        if (operand.get("by") instanceof Double by) {
            return Optional.of(with(operand, "by", -by));
        }
        if (operand.get("property") instanceof String name) {
            return another(name).map(other -> with(operand, "property", other));
        }
        if (operand.get("argument") instanceof String name) { // somebody wrote what it was for the button at hand
            return arguments.get(name) instanceof Map<?, ?> argument && argument.get("range") instanceof List<?> range
                    ? Optional.ofNullable(range.getFirst())
                    : Optional.empty();
        }
        for (String key : List.of("above", "below", "not")) {
            if (operand.get(key) != null) {
                return other(type, operand.get(key)).map(to -> with(operand, key, to));
            }
        }
        return Optional.empty();
    }

    // --- plain trees

    private static Object plain(Node node) {
        return switch (node) {
            case Node.Obj(var members, _) -> {
                Map<String, Object> map = new LinkedHashMap<>();
                members.forEach((key, member) -> map.put(key, plain(member.value())));
                yield map;
            }
            case Node.Arr(var items, _) -> new ArrayList<>(items.stream().map(Mutants::plain).toList());
            case Node.Text(var text, _) -> text;
            case Node.Num(double number, _, _) -> number;
            case Node.Flag(boolean on, _) -> on;
            case Node.Null _ -> throw new IllegalArgumentException("a null");
        };
    }

    private static Map<String, Object> map(Object tree) {
        Map<String, Object> map = new LinkedHashMap<>();
        ((Map<?, ?>) tree).forEach((key, value) -> map.put((String) key, value));
        return map;
    }

    private static List<Object> list(Object tree) {
        return new ArrayList<>((List<?>) tree);
    }

    private static Map<String, Object> with(Map<String, Object> map, String key, Object value) {
        Map<String, Object> other = new LinkedHashMap<>(map);
        other.put(key, value);
        return other;
    }

    private static Map<String, Object> without(Map<String, Object> map, String key) {
        Map<String, Object> other = new LinkedHashMap<>(map);
        other.remove(key);
        return other;
    }

    private static List<Object> without(List<?> list, int index) {
        List<Object> other = new ArrayList<>(list);
        other.remove(index);
        return other;
    }
}
