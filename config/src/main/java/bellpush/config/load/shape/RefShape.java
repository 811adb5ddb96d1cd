package bellpush.config.load.shape;

import bellpush.config.json.Node;
import java.util.Map;
import java.util.function.Supplier;

/** A shape by name, looked up when needed, so that a shape can hold itself. */
final class RefShape extends Shape {
    private final String name;
    private final Supplier<Shape> shape;

    RefShape(String name, Supplier<Shape> shape) {
        this.name = name;
        this.shape = shape;
    }

    @Override
    public void check(Node node, Place place, Verdict verdict) {
        shape.get().check(node, place, verdict);
    }

    @Override
    boolean takes(Node node) {
        return shape.get().takes(node);
    }

    @Override
    Map<String, Object> schema(Definitions definitions) {
        return definitions.reference(name, shape);
    }

    @Override
    String wanted() {
        return shape.get().wanted();
    }

    @Override
    String example() {
        return shape.get().example();
    }
}
