package bellpush.config.load.shape;

import bellpush.config.json.Node;
import bellpush.config.problem.DidYouMean;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/** One of several objects, told apart by the one key that each of them must have. */
final class ByKeyShape extends Shape {
    private final String noun;
    private final Map<String, ObjectShape> byKey;

    ByKeyShape(String noun, Map<String, ObjectShape> byKey) {
        this.noun = noun;
        this.byKey = byKey;
    }

    @Override
    public void check(Node node, Place place, Verdict verdict) {
        if (!(node instanceof Node.Obj object)) {
            verdict.mismatch(node, place, this);
            return;
        }
        Optional<String> key = object.members().keySet().stream().filter(byKey::containsKey).findFirst();
        if (key.isPresent()) {
            byKey.get(key.get()).check(node, place, verdict);
            return;
        }
        List<String> known = new ArrayList<>(byKey.keySet());
        for (Node.Member member : object.members().values()) {
            Optional<String> close = DidYouMean.closest(member.key(), known);
            if (close.isPresent()) {
                verdict.bad(node, member.spot(), "There is no key \"" + member.key() + "\" in " + noun + ".",
                        place.about(), "Did you mean \"" + close.get() + "\"?");
                return;
            }
        }
        verdict.bad(node, node.spot(), "None of the keys " + DidYouMean.list(known) + " is in this object.",
                place.about(), "Write one of them, so that it becomes " + noun + ".");
    }

    @Override
    boolean takes(Node node) {
        return node instanceof Node.Obj;
    }

    @Override
    Map<String, Object> schema(Definitions definitions) {
        Map<String, Object> schema = new LinkedHashMap<>();
        schema.put("type", "object");
        schema.put("oneOf", byKey.values().stream().map(shape -> shape.schema(definitions)).toList());
        return schema;
    }

    @Override
    String wanted() {
        return noun + " in braces";
    }

    @Override
    String example() {
        return byKey.values().iterator().next().example();
    }
}
