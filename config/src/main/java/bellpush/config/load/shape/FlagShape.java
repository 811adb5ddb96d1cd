package bellpush.config.load.shape;

import bellpush.config.json.Node;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;

/** True or false, or only one of them. */
final class FlagShape extends Shape {
    private final Optional<Boolean> only;

    FlagShape(Optional<Boolean> only) {
        this.only = only;
    }

    @Override
    public void check(Node node, Place place, Verdict verdict) {
        if (!(node instanceof Node.Flag flag) || only.isPresent() && only.get() != flag.on()) {
            verdict.mismatch(node, place, this);
        }
    }

    @Override
    boolean takes(Node node) {
        return node instanceof Node.Flag;
    }

    @Override
    Map<String, Object> schema(Definitions definitions) {
        Map<String, Object> schema = new LinkedHashMap<>();
        if (only.isPresent()) {
            schema.put("const", only.get());
        } else {
            schema.put("type", "boolean");
        }
        return schema;
    }

    @Override
    String wanted() {
        return only.map(Object::toString).orElse("true or false");
    }

    @Override
    String example() {
        return only.map(Object::toString).orElse("true or false, without quotation marks");
    }
}
