package bellpush.config.load;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;
import tools.jackson.core.json.JsonReadFeature;
import tools.jackson.databind.node.ArrayNode;
import tools.jackson.databind.node.ObjectNode;

/** Changes a JSON tree at random, from a seed: keys go, come and change their names, values change places and types. */
final class Mutations {
    static final JsonMapper MAPPER = JsonMapper.builder()
            .enable(JsonReadFeature.ALLOW_JAVA_COMMENTS, JsonReadFeature.ALLOW_TRAILING_COMMA).build();

    private static final List<String> KEYS = List.of("label", "pin", "lamp", "press", "set", "do", "with", "wait",
            "until",
            "within", "else", "if", "then", "any", "all", "not", "link", "running", "failed", "above", "below", "type",
            "range",
            "wire", "choices", "hex", "osc", "args", "unit", "step", "show", "rules", "when", "mixer.key.onAir",
            "key.onAir",
            "poem", "Poem", "", "a b", "for", "run", "by", "hold", "turn", "gear", "drops", "slow", "longest",
            "opposite", "i", "argument", "property", "arguments", "together", "stop", "confirm", "times", "onFailure",
            "takesOver", "onTakeover", "again", "queue", "macro", "page", "steps",
            "$schema", "counts", "length", "bytes", "mixer", "x.any", "any.x", "a.b.c.d.e.f");
    private static final List<String> TEXTS = List.of("", "poem", "Poem", "200 ms", "5 frames", "1.5 s", "-1 s", "1 h",
            "0s",
            "whole", "number", "flag", "text", "choice", "steady", "stop", "go on", "mixer.key.onAir", "mixer", "slip",
            "u16le",
            "ff", "0a0b0c0d", "81 {value:u8}", "/a", "a", "up", "off", "works", "red", "$schema", "30000/1001", "0/1",
            "everything", "preset", "page", "mixer.program",
            "x".repeat(70), "\uD83C\uDFB5", "ä", "tab\there");
    private static final double[] NUMBERS = {0, 1, 2, 4, -1, 0.5, 27, 28, 1e3, 65_535, 65_536, 1e9, 1e15, -1e13, 3.5,
        1e-10};

    private final Random random;
    private final List<JsonNode> pool;

    /** @param pool trees from which parts are taken */
    Mutations(Random random, List<JsonNode> pool) {
        this.random = random;
        this.pool = pool;
    }

    JsonNode mutate(JsonNode original) {
        JsonNode root = original.deepCopy();
        for (int i = random.nextInt(3); i >= 0; i--) {
            root = once(root);
        }
        return root;
    }

    private JsonNode once(JsonNode root) {
        List<JsonNode> inner = new ArrayList<>();
        collect(root, inner);
        if (inner.isEmpty() || random.nextInt(200) == 0) {
            return value();
        }
        switch (inner.get(random.nextInt(inner.size()))) {
            case ObjectNode object -> change(object);
            case ArrayNode list -> change(list);
            default -> throw new IllegalStateException();
        }
        return root;
    }

    private void change(ObjectNode object) {
        List<String> keys = new ArrayList<>(object.propertyNames());
        String key = keys.isEmpty() ? "" : keys.get(random.nextInt(keys.size()));
        switch (random.nextInt(5)) {
            case 0 -> object.remove(key);
            case 1 -> {
                JsonNode value = object.remove(key);
                object.set(one(KEYS), value == null ? value() : value);
            }
            case 2 -> object.set(one(KEYS), value());
            default -> object.set(keys.isEmpty() ? one(KEYS) : key, value());
        }
    }

    private void change(ArrayNode list) {
        switch (random.nextInt(3)) {
            case 0 -> list.add(value());
            case 1 -> list.insert(0, list.isEmpty() ? value() : list.get(random.nextInt(list.size())).deepCopy());
            default -> {
                if (!list.isEmpty()) {
                    int at = random.nextInt(list.size());
                    if (random.nextBoolean()) {
                        list.remove(at);
                    } else {
                        list.set(at, value());
                    }
                }
            }
        }
    }

    private static void collect(JsonNode node, List<JsonNode> into) {
        if (node.isContainer()) {
            into.add(node);
            node.forEach(child -> collect(child, into));
        }
    }

    private JsonNode value() {
        return switch (random.nextInt(8)) {
            case 0 -> MAPPER.getNodeFactory().numberNode(NUMBERS[random.nextInt(NUMBERS.length)]);
            case 1 -> MAPPER.getNodeFactory().numberNode((long) NUMBERS[random.nextInt(NUMBERS.length)]);
            case 2 -> MAPPER.getNodeFactory().booleanNode(random.nextBoolean());
            case 3, 4 -> MAPPER.getNodeFactory().stringNode(one(TEXTS));
            case 5 -> random.nextBoolean()
                    ? MAPPER.getNodeFactory().nullNode()
                    : random.nextBoolean() ? MAPPER.createObjectNode() : MAPPER.createArrayNode();
            default -> part();
        };
    }

    private JsonNode part() {
        JsonNode node = pool.get(random.nextInt(pool.size()));
        while (node.isContainer() && !node.isEmpty() && random.nextInt(4) > 0) {
            List<JsonNode> children = new ArrayList<>();
            node.forEach(children::add);
            node = children.get(random.nextInt(children.size()));
        }
        return node.deepCopy();
    }

    private String one(List<String> from) {
        return from.get(random.nextInt(from.size()));
    }
}
