package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.load.shape.Verdict;
import bellpush.config.problem.Problems;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;

/**
 * Typed looks into trees whose shape was checked. What is absent and what has the wrong shape are both empty here: the
 * latter has its problem already. State of one load, shared by its readers.
 */
final class Reading {
    final Problems problems = new Problems();
    final Verdict verdict = new Verdict(problems);

    /** The value under a key, unless its shape is wrong. */
    Optional<Node> node(Node.Obj object, String key) {
        return object.get(key).filter(node -> !verdict.bad(node));
    }

    Optional<Node.Text> textNode(Node.Obj object, String key) {
        return node(object, key).flatMap(node -> node instanceof Node.Text text ? Optional.of(text) : Optional.empty());
    }

    Optional<String> text(Node.Obj object, String key) {
        return textNode(object, key).map(Node.Text::text);
    }

    Optional<Boolean> flag(Node.Obj object, String key) {
        return node(object, key)
                .flatMap(node -> node instanceof Node.Flag flag ? Optional.of(flag.on()) : Optional.empty());
    }

    Optional<Node.Num> number(Node.Obj object, String key) {
        return node(object, key).flatMap(node -> node instanceof Node.Num n ? Optional.of(n) : Optional.empty());
    }

    OptionalInt whole(Node.Obj object, String key) {
        return number(object, key).map(n -> OptionalInt.of((int) n.number())).orElse(OptionalInt.empty());
    }

    Optional<Node.Obj> object(Node.Obj object, String key) {
        return node(object, key).flatMap(this::object);
    }

    Optional<Node.Obj> object(Node node) {
        return node instanceof Node.Obj object && !verdict.bad(node) ? Optional.of(object) : Optional.empty();
    }

    /** The items of a list whose shape is right, each of which may still be wrong inside; none if there is no list. */
    List<Node> list(Node.Obj object, String key) {
        return node(object, key).map(this::list).orElse(List.of());
    }

    List<Node> list(Node node) {
        return node instanceof Node.Arr list && !verdict.bad(node)
                ? list.items().stream().filter(item -> !verdict.bad(item)).toList()
                : List.of();
    }

    /** The members of an object under a key; none if there is no such object. */
    List<Node.Member> members(Node.Obj object, String key) {
        return object(object, key).map(inner -> List.copyOf(inner.members().values())).orElse(List.of());
    }
}
