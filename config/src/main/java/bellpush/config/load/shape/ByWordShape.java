package bellpush.config.load.shape;

import bellpush.config.json.Node;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** One of several objects, told apart by the word that stands under one key. */
final class ByWordShape extends Shape {
    private final String noun;
    private final String key;
    private final String about;
    private final Map<String, ObjectShape> byWord = new LinkedHashMap<>();
    private final WordShape words;

    ByWordShape(String noun, String key, String about, Map<String, ObjectShape> byWord) {
        this.noun = noun;
        this.key = key;
        this.about = about;
        this.words = new WordShape(List.copyOf(byWord.keySet()));
        byWord.forEach((word, shape) -> this.byWord.put(word, shape.need(key, new WordShape(List.of(word)), about)));
    }

    /** Keeps the order in which the pairs are given. */
    static Map<String, ObjectShape> choices(List<Map.Entry<String, ObjectShape>> pairs) {
        Map<String, ObjectShape> choices = new LinkedHashMap<>();
        pairs.forEach(pair -> choices.put(pair.getKey(), pair.getValue()));
        return choices;
    }

    @Override
    public void check(Node node, Place place, Verdict verdict) {
        if (!(node instanceof Node.Obj object)) {
            verdict.mismatch(node, place, this);
            return;
        }
        Node word = object.get(key).orElse(null);
        if (word == null) {
            verdict.bad(node, node.spot(), "The key \"" + key + "\" is missing in " + noun + ".", about,
                    "Add \"" + key + "\" with one of " + String.join(", ", new ArrayList<>(byWord.keySet())) + ".");
        } else if (word instanceof Node.Text(String text, _) && byWord.containsKey(text)) {
            byWord.get(text).check(node, place, verdict);
        } else {
            words.check(word, new Place("\"" + key + "\"", about), verdict);
        }
    }

    @Override
    boolean takes(Node node) {
        return node instanceof Node.Obj;
    }

    @Override
    Map<String, Object> schema(Definitions definitions) {
        Map<String, Object> schema = new LinkedHashMap<>();
        schema.put("type", "object");
        schema.put("required", List.of(key));
        schema.put("oneOf", byWord.values().stream().map(shape -> shape.schema(definitions)).toList());
        return schema;
    }

    @Override
    String wanted() {
        return noun + " in braces";
    }

    @Override
    String example() {
        return "{ \"" + key + "\": \"" + byWord.keySet().iterator().next() + "\", ... }";
    }
}
