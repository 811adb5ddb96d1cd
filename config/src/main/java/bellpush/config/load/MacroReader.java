package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.model.Macro;
import bellpush.config.model.Operand;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Step;
import bellpush.config.model.Value;
import bellpush.config.problem.Spot;
import java.time.Duration;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.Collectors;

/** Reads one macro. */
final class MacroReader {
    private static final Duration UNTIL_WITHIN = Duration.ofSeconds(2);
    private static final Duration PROMISE_WITHIN = Duration.ofSeconds(3);
    private static final int CONFIRM_TIMES = 3;

    private final Rules rules;
    private final Reading reading;
    private final OperandReader operands;
    private final MacroCalls calls;
    private final Branches branches;
    private final Duration within;
    private final String name;

    /**
     * @param within how long a macro may take that does not say so itself
     * @param name   of its file
     */
    MacroReader(Rules rules, MacroCalls calls, Branches branches, Duration within, String name) {
        this.rules = rules;
        this.reading = rules.reading;
        this.operands = new OperandReader(rules);
        this.calls = calls;
        this.branches = branches;
        this.within = within;
        this.name = name;
    }

    /** The macro of a file that has no arguments; of one that has, a stand-in that only shows what is wrong in it. */
    Macro read(Node.Obj root) {
        return read(name, root, rules.families.of(name));
    }

    /** One of the macros that are made of a file with arguments. */
    Macro read(String macro, Node.Obj root, Arguments arguments) {
        Arguments before = rules.values.within(arguments);
        try {
            return read(macro, root, label(root, arguments.values()));
        } finally {
            rules.values.within(before);
        }
    }

    private Macro read(String macro, Node.Obj root, String label) {
        List<Step> steps = steps(reading.list(root, "steps"), new HashSet<>());
        if (reading.node(root, "steps").filter(n -> n instanceof Node.Arr list && list.items().isEmpty()).isPresent()) {
            reading.problems.warning(reading.node(root, "steps").get().spot(), "The macro " + name + " has no steps.",
                    "Running it does nothing.", "Write a step, or remove the macro.");
        }
        Duration itsWithin = rules.times.positive(root, "within", within);
        inTime(root, steps, itsWithin);
        return new Macro(macro, name, label, lanes(root), reading.flag(root, "takesOver").orElse(false),
                reading.object(root, "onTakeover").flatMap(object -> rules.run(object, name, calls)), again(root),
                reading.object(root, "again").map(object -> reading.whole(object, "queue").orElse(1)).orElse(1),
                rules.otherwise(root, "onFailure", name, calls), itsWithin, steps, rules.condition(root, "promise"),
                rules.times.positive(root, "promiseWithin", PROMISE_WITHIN), root.spot().at());
    }

    /** What people call it, with the values of its arguments: {@code Stage preset 3}. */
    private String label(Node.Obj root, Map<String, Value> values) {
        return reading.text(root, "label").orElse(name)
                + values.values().stream().map(value -> " " + value).collect(Collectors.joining());
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
        return reading.object(root, "again").map(_ -> Macro.Again.QUEUE).or(() -> reading.text(root, "again")
                .map(word -> Macro.Again.valueOf(word.toUpperCase(Locale.ROOT)))).orElse(Macro.Again.IGNORE);
    }

    private void inTime(Node.Obj root, List<Step> steps, Duration itsWithin) {
        Duration least = Chains.least(steps);
        if (least.compareTo(itsWithin) >= 0) {
            Node where = reading.node(root, "within").or(() -> reading.node(root, "steps")).orElse(root);
            reading.problems.error(where.spot(),
                    "The waits and glides of " + name + " take " + Times.words(least) + " in all, and it may take "
                            + Times.words(itsWithin) + ".",
                    "It would fail every time before its last step.",
                    "Write a longer \"within\", or shorter waits.");
        }
    }

    /** @param remembered what the steps before have remembered; steps add to it */
    private List<Step> steps(List<Node> nodes, Set<PropertyRef> remembered) {
        List<Step> steps = new ArrayList<>();
        for (Node node : nodes) {
            reading.object(node).flatMap(object -> step(object, remembered).map(step -> guarded(object, step)))
                    .ifPresent(steps::add);
        }
        return List.copyOf(steps);
    }

    private Step guarded(Node.Obj object, Step step) {
        return object.members().containsKey("onFailure")
                ? new Step.Guarded(step, rules.otherwise(object, "onFailure", name, calls))
                : step;
    }

    private Optional<Step> step(Node.Obj object, Set<PropertyRef> remembered) {
        for (String word : object.members().keySet()) {
            switch (word) {
                case "set" -> {
                    return Optional.of(set(object));
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
                    return rules.run(object, name, calls).map(macro -> new Step.Run(macro, object.spot().at()));
                }
                case "together" -> {
                    return Optional.of(together(object, remembered));
                }
                case "stop" -> {
                    return Optional.of(stop(object));
                }
                case "glide" -> {
                    return Optional.of(new GlideReader(rules, operands).read(object));
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

    private Optional<Step> command(Node.Obj object) {
        return reading.textNode(object, "do").flatMap(node -> {
            String device = node.text().substring(0, node.text().indexOf('.'));
            return rules.names.command(node.spot(), node.text()).map(command -> new Step.Do(device, command.name(),
                    operands.arguments(object, node, command), object.spot().at()));
        });
    }

    private Step set(Node.Obj object) {
        Map<PropertyRef, Operand> values = operands.set(object);
        Optional<Step.Confirm> confirm = reading.node(object, "confirm").map(node -> node instanceof Node.Obj inner
                ? new Step.Confirm(rules.times.positive(inner, "within", UNTIL_WITHIN),
                        reading.whole(inner, "times").orElse(CONFIRM_TIMES))
                : new Step.Confirm(rules.times.positive(object, "confirm", UNTIL_WITHIN), CONFIRM_TIMES));
        if (confirm.isPresent()) {
            for (Node.Member member : reading.members(object, "set")) {
                values.keySet().stream().filter(ref -> ref.toString().equals(member.key()))
                        .filter(ref -> !rules.names.reported(ref)).forEach(ref -> reading.problems.error(member.spot(),
                                member.key() + " cannot be confirmed.",
                                "Its kind " + rules.names.kindOf(ref.device()) + " has no answer and no report of it.",
                                "Give the property an \"answer\" or a \"report\" in its kind, or set it in a step of"
                                        + " its own without \"confirm\"."));
            }
        }
        return new Step.Set(values, confirm, object.spot().at());
    }

    /** All branches come to their end, so what each of them remembers is remembered afterwards. */
    private Step together(Node.Obj object, Set<PropertyRef> remembered) {
        List<List<Step>> branches = new ArrayList<>();
        Set<PropertyRef> afterwards = new HashSet<>();
        List<Spot> spots = new ArrayList<>();
        List<Node> written = object.get("together").orElseThrow() instanceof Node.Arr list ? list.items() : List.of();
        for (Node node : written) {
            Set<PropertyRef> inBranch = new HashSet<>(remembered);
            branches.add(steps(reading.list(node), inBranch));
            spots.add(node.spot());
            afterwards.addAll(inBranch);
        }
        remembered.addAll(afterwards);
        this.branches.add(spots, branches, rules.values.arguments().unbound());
        return new Step.Together(List.copyOf(branches), object.spot().at());
    }

    private Step stop(Node.Obj object) {
        List<String> families = new ArrayList<>();
        for (Node node : reading.list(object, "stop")) {
            if (node instanceof Node.Text(String macro, Spot spot)) {
                rules.names.macroMentioned(spot, macro).ifPresent(families::add);
                if (macro.equals(name)) {
                    reading.problems.warning(spot, "The macro " + name + " names itself.",
                            "A stop step ends other runs, never the one it is in.", "Remove the name.");
                }
            }
        }
        Spot spot = reading.node(object, "stop").map(Node::spot).orElse(object.spot());
        calls.stops(name, spot);
        return new Step.Stop(List.copyOf(families), object.spot().at());
    }
}
