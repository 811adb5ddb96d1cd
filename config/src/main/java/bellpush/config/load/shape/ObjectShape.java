package bellpush.config.load.shape;

import bellpush.config.json.Node;
import bellpush.config.problem.DidYouMean;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** An object with known keys, with keys of a pattern, or with both. Any other key is a mistake. */
public final class ObjectShape extends Shape {
    private record Key(boolean required, Shape shape, String about) {}

    private record Entries(TextShape names, String noun, Shape shape, String about) {}

    private final String noun;
    private final Map<String, Key> keys;
    private final Entries entries;
    private final int least;

    private ObjectShape(String noun, Map<String, Key> keys, Entries entries, int least) {
        this.noun = noun;
        this.keys = keys;
        this.entries = entries;
        this.least = least;
    }

    /** @param noun what the object is, with its article: {@code a button} */
    static ObjectShape of(String noun) {
        return new ObjectShape(noun, Map.of(), null, 0);
    }

    /** With a key that must be there. */
    ObjectShape need(String key, Shape shape, String about) {
        return with(key, new Key(true, shape, about));
    }

    /** With a key that may be there. */
    ObjectShape may(String key, Shape shape, String about) {
        return with(key, new Key(false, shape, about));
    }

    private ObjectShape with(String name, Key key) {
        Map<String, Key> more = new LinkedHashMap<>(keys);
        more.put(name, key);
        return new ObjectShape(noun, more, entries, least);
    }

    /** With any number of keys that fit {@code names}; {@code entryNoun} is what one of them is: {@code device}. */
    ObjectShape entries(TextShape names, String entryNoun, Shape shape, String about) {
        return new ObjectShape(noun, keys, new Entries(names, entryNoun, shape, about), least);
    }

    /** With at least {@code count} keys. */
    ObjectShape atLeast(int count) {
        return new ObjectShape(noun, keys, entries, count);
    }

    @Override
    public void check(Node node, Place place, Verdict verdict) {
        if (!(node instanceof Node.Obj object)) {
            verdict.mismatch(node, place, this);
            return;
        }
        for (Node.Member member : object.members().values()) {
            Key key = keys.get(member.key());
            if (key != null) {
                key.shape.check(member.value(), new Place("\"" + member.key() + "\"", key.about), verdict);
            } else if (entries != null && entries.names.fits(member.key())) {
                entries.shape.check(member.value(),
                        new Place("The " + entries.noun + " \"" + member.key() + "\"", entries.about), verdict);
            } else {
                unknown(member, verdict);
            }
        }
        keys.forEach((name, key) -> {
            if (key.required && !object.members().containsKey(name)) {
                verdict.problem(node.spot(), "The key \"" + name + "\" is missing in " + noun + ".", key.about,
                        "Add \"" + name + "\": " + key.shape.example() + ".");
            }
        });
        if (object.members().size() < least) {
            verdict.bad(node, node.spot(), place.name() + " is empty.", place.about(), "Write something into it.");
        }
    }

    private void unknown(Node.Member member, Verdict verdict) {
        String key = member.key();
        List<String> missing = new ArrayList<>(keys.keySet());
        var close = DidYouMean.closest(key, missing);
        if (entries != null && close.isEmpty()) {
            verdict.problem(member.spot(), "\"" + key + "\" cannot be the name of " + article(entries.noun) + ".",
                    "The name must be " + entries.names.rule() + ".",
                    entries.names.mended(key).map(name -> "Write \"" + name + "\".")
                            .orElseGet(() -> "Write a name such as " + entries.names.example() + "."));
            return;
        }
        verdict.problem(member.spot(), "There is no key \"" + key + "\" in " + noun + ".",
                "A key that nothing reads would look as if it did something.",
                close.map(name -> "Did you mean \"" + name + "\"?").orElseGet(
                        () -> missing.isEmpty() ? "Remove it." : "Known here: " + DidYouMean.list(missing) + "."));
    }

    private static String article(String noun) {
        return ("aeiou".indexOf(noun.charAt(0)) < 0 ? "a " : "an ") + noun;
    }

    /** The keys that a value of this shape must have. */
    List<String> required() {
        return keys.entrySet().stream().filter(key -> key.getValue().required).map(Map.Entry::getKey).toList();
    }

    @Override
    boolean takes(Node node) {
        return node instanceof Node.Obj;
    }

    @Override
    Map<String, Object> schema(Definitions definitions) {
        Map<String, Object> properties = new LinkedHashMap<>();
        keys.forEach((name, key) -> {
            Map<String, Object> schema = new LinkedHashMap<>();
            schema.put("description", key.about);
            schema.putAll(key.shape.schema(definitions));
            properties.put(name, schema);
        });
        Map<String, Object> schema = new LinkedHashMap<>();
        schema.put("type", "object");
        if (!properties.isEmpty()) {
            schema.put("properties", properties);
        }
        if (!required().isEmpty()) {
            schema.put("required", required());
        }
        if (entries != null) {
            Map<String, Object> entry = new LinkedHashMap<>();
            entry.put("description", entries.about);
            entry.putAll(entries.shape.schema(definitions));
            schema.put("patternProperties",
                    Map.of(String.valueOf(entries.names.schema(definitions).get("pattern")), entry));
        }
        if (least > 0) {
            schema.put("minProperties", least);
        }
        schema.put("additionalProperties", false);
        return schema;
    }

    @Override
    String wanted() {
        return noun + " in braces";
    }

    @Override
    String example() {
        if (keys.isEmpty() && entries != null) {
            return "{ " + entries.names.example() + ": " + entries.shape.example() + " }";
        }
        String inside = String.join(", ", required().stream().map(key -> "\"" + key + "\": ...").toList());
        return inside.isEmpty() ? noun + " in braces" : "{ " + inside + " }";
    }
}
