package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.load.shape.FileShape;
import bellpush.config.model.Condition;
import bellpush.config.model.Condition.Test;
import bellpush.config.model.LinkState;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Value;
import bellpush.config.problem.Spot;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;

/** Reads conditions. What a property's name means is given by the caller: in a kind it has no device. */
final class ConditionReader {
    /** Finds what a written reference means, or adds the problem. */
    interface Lookup {
        Optional<Target> find(Spot spot, String written);
    }

    /** @param sure whether its value can ever be known: it is reported, set, or an effect of a command */
    record Target(PropertyRef ref, PropertyType type, boolean sure) {}

    private final Reading reading;
    private final Values values;
    private final Names names;
    private final Lookup lookup;
    private final boolean inKind;

    /** @param inKind whether references have no device, and links and macros cannot be spoken of */
    ConditionReader(Reading reading, Values values, Names names, Lookup lookup, boolean inKind) {
        this.reading = reading;
        this.values = values;
        this.names = names;
        this.lookup = lookup;
        this.inKind = inKind;
    }

    Optional<Condition> read(Node.Obj object, String key) {
        return reading.object(object, key).map(this::read);
    }

    Condition read(Node.Obj object) {
        List<Condition> terms = new ArrayList<>();
        for (Node.Member member : object.members().values()) {
            if (!reading.verdict.bad(member.value())) {
                term(member, terms);
            }
        }
        return terms.size() == 1 ? terms.getFirst() : new Condition.All(List.copyOf(terms));
    }

    private void term(Node.Member member, List<Condition> terms) {
        Node value = member.value();
        if (!inKind && ofRuntime(member, terms)) {
            return;
        }
        switch (member.key()) {
            case "any" -> terms.add(new Condition.Any(conditions(value)));
            case "all" -> terms.add(new Condition.All(conditions(value)));
            case "not" -> reading.object(value).ifPresent(inner -> terms.add(new Condition.Not(read(inner))));
            default -> property(member, terms);
        }
    }

    /** Terms about links and macros, of which a kind knows nothing. Whether it was one. */
    private boolean ofRuntime(Node.Member member, List<Condition> terms) {
        switch (member.key()) {
            case "link" ->
                reading.object(member.value()).ifPresent(o -> o.members().values().forEach(m -> link(m, terms)));
            case "switch" ->
                reading.object(member.value()).ifPresent(o -> o.members().values().forEach(m -> toggle(m, terms)));
            case "running" -> macro(member.value()).ifPresent(name -> terms.add(new Condition.Running(name)));
            case "failed" -> macro(member.value()).ifPresent(name -> terms.add(new Condition.Failed(name)));
            default -> {
                return false;
            }
        }
        return true;
    }

    private Optional<String> macro(Node node) {
        return node instanceof Node.Text(String name, Spot spot) ? names.macroMentioned(spot, name) : Optional.empty();
    }

    private List<Condition> conditions(Node list) {
        return reading.list(list).stream().flatMap(item -> reading.object(item).stream()).map(this::read).toList();
    }

    private void link(Node.Member member, List<Condition> terms) {
        if (names.device(member.spot(), member.key()) && member.value() instanceof Node.Text(String word, _)
                && !reading.verdict.bad(member.value())) {
            terms.add(new Condition.LinkIs(member.key(), LinkState.valueOf(word.toUpperCase(Locale.ROOT))));
        }
    }

    private void toggle(Node.Member member, List<Condition> terms) {
        if (names.toggle(member.spot(), member.key()) && member.value() instanceof Node.Text(String word, _)
                && !reading.verdict.bad(member.value())) {
            terms.add(new Condition.SwitchIs(member.key(), word.equals("on")));
        }
    }

    private void property(Node.Member member, List<Condition> terms) {
        boolean possible = inKind ? FileShape.isPropertyName(member.key()) : FileShape.isReference(member.key());
        if (!possible) {
            return; // the shape has refused the key
        }
        lookup.find(member.spot(), member.key()).ifPresent(target -> {
            if (!target.sure()) {
                reading.problems.error(member.spot(),
                        "Nothing can ever be known about " + member.key() + ".",
                        "It is neither set nor reported, and no command changes it, so this could never hold for certain.",
                        "Give it a set, an answer or a report in its kind, or ask for something else here.");
            }
            test(member, target).ifPresent(terms::add);
        });
    }

    private Optional<Condition> test(Node.Member member, Target target) {
        if (!(member.value() instanceof Node.Obj comparison) || comparison.members().containsKey("argument")) {
            return values.read(member.value(), target.type(), member.key())
                    .map(value -> new Condition.Is(target.ref(), new Test.Equal(value)));
        }
        Optional<Condition> not = reading.node(comparison, "not")
                .flatMap(node -> values.read(node, target.type(), member.key()))
                .map(value -> new Condition.Not(new Condition.Is(target.ref(), new Test.Equal(value))));
        if (not.isPresent()) {
            return not;
        }
        for (String word : List.of("above", "below")) {
            Optional<Node.Num> limit = reading.number(comparison, word);
            if (limit.isPresent() && limit(member, target, word, limit.get())) {
                double number = limit.get().number();
                return Optional.of(new Condition.Is(target.ref(),
                        word.equals("above") ? new Test.Above(number) : new Test.Below(number)));
            }
        }
        return Optional.empty();
    }

    private boolean limit(Node.Member member, Target target, String word, Node.Num limit) {
        Optional<PropertyType.Range> range = target.type().range();
        if (range.isEmpty()) {
            reading.problems.error(limit.spot(),
                    member.key() + " is compared with \"" + word + "\", but it is no number.",
                    member.key() + " takes " + Values.describe(target.type()) + ".", "Compare it with one value.");
            return false;
        }
        boolean never = word.equals("above")
                ? limit.number() >= range.get().max()
                : limit.number() <= range.get().min();
        if (never) { // "always" is left alone: it is a way to say "as soon as it is known"
            reading.problems.error(limit.spot(),
                    member.key() + " is never " + word + " " + Value.of(limit.number()) + ".",
                    member.key() + " takes " + Values.describe(target.type()) + ".",
                    "Write a limit inside that range.");
        }
        return true;
    }
}
