package bellpush.config.load.shape;

import bellpush.config.json.Node;
import java.util.LinkedHashMap;
import java.util.Map;

/** JSON's null. */
final class NullShape extends Shape {
    @Override
    public void check(Node node, Place place, Verdict verdict) {
        if (!takes(node)) {
            verdict.mismatch(node, place, this);
        }
    }

    @Override
    boolean takes(Node node) {
        return node instanceof Node.Null;
    }

    @Override
    Map<String, Object> schema(Definitions definitions) {
        Map<String, Object> schema = new LinkedHashMap<>();
        schema.put("type", "null");
        return schema;
    }

    @Override
    String wanted() {
        return "null";
    }

    @Override
    String example() {
        return "null";
    }
}
