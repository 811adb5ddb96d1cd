package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.model.Command;
import bellpush.config.model.Macro;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Step;
import bellpush.config.model.Value;
import bellpush.config.problem.DidYouMean;
import bellpush.config.load.shape.FileShape;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Collections;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/** Reads one macro. */
final class MacroReader {
    private static final Duration UNTIL_WITHIN = Duration.ofSeconds(2);
    private static final Duration PROMISE_WITHIN = Duration.ofSeconds(3);

    private final Rules rules;
    private final Reading reading;
    private final MacroCalls calls;
    private final String name;

    MacroReader(Rules rules, MacroCalls calls, String name) {
        this.rules = rules;
        this.reading = rules.reading;
        this.calls = calls;
        this.name = name;
    }

    Macro read(Node.Obj root) {
        List<Step> steps = steps(reading.list(root, "steps"), new HashSet<>());
        if (reading.node(root, "steps").filter(n -> n instanceof Node.Arr list && list.items().isEmpty()).isPresent()) {
            reading.problems.warning(reading.node(root, "steps").get().spot(), "The macro " + name + " has no steps.",
                    "Running it does nothing.", "Write a step, or remove the macro.");
        }
        return new Macro(name, reading.text(root, "label").orElse(name), lanes(root), again(root),
                rules.otherwise(root, "onFailure", name, calls), steps, rules.condition(root, "promise"),
                rules.times.positive(root, "promiseWithin", PROMISE_WITHIN), root.spot().at());
    }

    private List<String> lanes(Node.Obj root) {
        List<String> lanes = new ArrayList<>();
        reading.text(root, "lane").ifPresent(lanes::add);
        for (Node node : reading.list(root, "lane")) {
            if (node instanceof Node.Text(String lane, _) && !lanes.contains(lane)) {
                lanes.add(lane);
            }
        }
        return List.copyOf(lanes);
    }

    private Macro.Again again(Node.Obj root) {
        return reading.text(root, "again").map(word -> Macro.Again.valueOf(word.toUpperCase(Locale.ROOT)))
                .orElse(Macro.Again.IGNORE);
    }

    /** @param remembered what the steps before have remembered; steps add to it */
    private List<Step> steps(List<Node> nodes, Set<PropertyRef> remembered) {
        List<Step> steps = new ArrayList<>();
        for (Node node : nodes) {
            reading.object(node).flatMap(object -> step(object, remembered)).ifPresent(steps::add);
        }
        return List.copyOf(steps);
    }

    private Optional<Step> step(Node.Obj object, Set<PropertyRef> remembered) {
        for (String word : object.members().keySet()) {
            switch (word) {
                case "set" -> {
                    Map<PropertyRef, Value> values = rules.assignments(object, "set", true);
                    return Optional.of(new Step.Set(values, object.spot().at()));
                }
                case "do" -> {
                    return command(object);
                }
                case "wait" -> {
                    Duration time = rules.times.positive(object, "wait", Duration.ZERO);
                    return Optional.of(new Step.Wait(time, object.spot().at()));
                }
                case "until" -> {
                    return until(object);
                }
                case "if" -> {
                    return branch(object, remembered);
                }
                case "remember" -> {
                    return property(object, "remember").map(found -> {
                        remembered.add(found.ref());
                        return new Step.Remember(found.ref(), object.spot().at());
                    });
                }
                case "restore" -> {
                    return restore(object, remembered);
                }
                case "run" -> {
                    return run(object);
                }
                case "glide" -> {
                    return Optional.of(new GlideReader(rules).read(object));
                }
                case "say" -> {
                    return reading.text(object, "say").map(text -> new Step.Say(text, object.spot().at()));
                }
                default -> {
                }
            }
        }
        return Optional.empty();
    }

    private Optional<Names.Found> property(Node.Obj object, String key) {
        return reading.textNode(object, key).flatMap(node -> rules.names.property(node.spot(), node.text()));
    }

    private Optional<Step> until(Node.Obj object) {
        Duration within = rules.times.positive(object, "within", UNTIL_WITHIN);
        Step.Otherwise otherwise = rules.otherwise(object, "else", name, calls);
        return rules.condition(object, "until").map(c -> new Step.Until(c, within, otherwise, object.spot().at()));
    }

    /** What is remembered in one branch only is not remembered for sure afterwards. */
    private Optional<Step> branch(Node.Obj object, Set<PropertyRef> remembered) {
        Set<PropertyRef> inThen = new HashSet<>(remembered);
        Set<PropertyRef> inElse = new HashSet<>(remembered);
        List<Step> then = steps(reading.list(object, "then"), inThen);
        List<Step> otherwise = steps(reading.list(object, "else"), inElse);
        inThen.retainAll(inElse);
        remembered.addAll(inThen);
        return rules.condition(object, "if").map(c -> new Step.If(c, then, otherwise, object.spot().at()));
    }

    private Optional<Step> restore(Node.Obj object, Set<PropertyRef> remembered) {
        Optional<Names.Found> found = property(object, "restore");
        found.ifPresent(f -> {
            Node.Text node = reading.textNode(object, "restore").orElseThrow();
            rules.settable(node.spot(), f);
            if (!remembered.contains(f.ref())) {
                reading.problems.error(node.spot(), f.ref() + " is restored, but was not remembered before.",
                        "There is no value to go back to, so the step would fail.",
                        "Write { \"remember\": \"" + f.ref() + "\" } earlier in this macro, on every way to here.");
            }
        });
        return found.map(f -> new Step.Restore(f.ref(), object.spot().at()));
    }

    private Optional<Step> run(Node.Obj object) {
        return reading.textNode(object, "run").flatMap(node -> {
            calls.add(name, node.text(), node.spot());
            return rules.names.macro(node.spot(), node.text(), name)
                    .map(macro -> new Step.Run(macro, object.spot().at()));
        });
    }

    private Optional<Step> command(Node.Obj object) {
        return reading.textNode(object, "do").flatMap(node -> {
            String device = node.text().substring(0, node.text().indexOf('.'));
            return rules.names.command(node.spot(), node.text()).map(command -> new Step.Do(device, command.name(),
                    arguments(object, node, command), object.spot().at()));
        });
    }

    private Map<String, Value> arguments(Node.Obj object, Node.Text written, Command command) {
        Map<String, Value> arguments = new LinkedHashMap<>();
        boolean strangers = false; // one of them may be the argument that seems to be missing
        for (Node.Member member : reading.members(object, "with")) {
            var type = command.arguments().get(member.key());
            if (type != null) {
                rules.values.read(member.value(), type, "the argument " + member.key())
                        .ifPresent(value -> arguments.put(member.key(), value));
                continue;
            }
            strangers = true;
            if (FileShape.isPropertyName(member.key())) {
                reading.problems.error(member.spot(),
                        "The command " + written.text() + " has no argument \"" + member.key() + "\".",
                        "Only arguments named in its kind can be given.",
                        DidYouMean.cure(member.key(), command.arguments().keySet(), "Remove it; it takes none."));
            }
        }
        List<String> missing = command.arguments().keySet().stream()
                .filter(argument -> reading.members(object, "with").stream().noneMatch(m -> m.key().equals(argument)))
                .toList();
        if (!missing.isEmpty() && !strangers) {
            String first = missing.getFirst();
            reading.problems.error(written.spot(),
                    "The command " + written.text() + " needs " + DidYouMean.list(missing) + ".",
                    first + " takes " + Values.describe(command.arguments().get(first)) + ".",
                    "Add \"with\": { \"" + first + "\": ... }.");
        }
        return Collections.unmodifiableMap(arguments);
    }
}
