package bellpush.config.load.shape;

import bellpush.config.json.Node;
import java.util.Map;
import java.util.function.Supplier;

/** A shape by name, looked up when needed, so that a shape can hold itself. Its words do not come from the shape, since those
 * of a shape that holds itself would never end. */
final class RefShape extends Shape {
    private final String name;
    private final Supplier<Shape> shape;
    private final String wanted;
    private final String example;
    /** Made when first needed. Two threads may both make it: shapes are immutable and equal ones are as good. */
    private Shape made;

    RefShape(String name, Supplier<Shape> shape, String wanted, String example) {
        this.name = name;
        this.shape = shape;
        this.wanted = wanted;
        this.example = example;
    }

    private Shape shape() {
        Shape ready = made;
        if (ready == null) {
            ready = shape.get();
            made = ready;
        }
        return ready;
    }

    @Override
    public void check(Node node, Place place, Verdict verdict) {
        shape().check(node, place, verdict);
    }

    @Override
    boolean takes(Node node) {
        return shape().takes(node);
    }

    @Override
    Map<String, Object> schema(Definitions definitions) {
        return definitions.reference(name, this::shape);
    }

    @Override
    String wanted() {
        return wanted;
    }

    @Override
    String example() {
        return example;
    }
}
