package bellpush.config.load.shape;

import bellpush.config.json.Node;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;

/** One of several shapes, told apart by the JSON type of the value: no two of them take the same type. */
final class EitherShape extends Shape {
    private final List<Shape> shapes;

    EitherShape(List<Shape> shapes) {
        this.shapes = shapes;
    }

    @Override
    public void check(Node node, Place place, Verdict verdict) {
        for (Shape shape : shapes) {
            if (shape.takes(node)) {
                shape.check(node, place, verdict);
                return;
            }
        }
        verdict.mismatch(node, place, this);
    }

    @Override
    boolean takes(Node node) {
        return shapes.stream().anyMatch(shape -> shape.takes(node));
    }

    @Override
    Map<String, Object> schema(Definitions definitions) {
        Map<String, Object> schema = new LinkedHashMap<>();
        schema.put("anyOf", shapes.stream().map(shape -> shape.schema(definitions)).toList());
        return schema;
    }

    @Override
    String wanted() {
        return shapes.stream().map(Shape::wanted).distinct().collect(Collectors.joining(", or "));
    }

    @Override
    Optional<String> cure(Node node) {
        return shapes.stream().flatMap(shape -> shape.cure(node).stream()).findFirst();
    }

    @Override
    String example() {
        return shapes.getFirst().example();
    }
}
