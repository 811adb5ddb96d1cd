package bellpush.config.load.shape;

import bellpush.config.json.Node;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;

/** One of a few whole numbers. */
final class NumberWordShape extends Shape {
    private final List<Integer> numbers = new ArrayList<>();

    NumberWordShape(int... numbers) {
        for (int number : numbers) {
            this.numbers.add(number);
        }
    }

    @Override
    public void check(Node node, Place place, Verdict verdict) {
        if (!(node instanceof Node.Num n) || !n.whole() || !numbers.contains((int) n.number())) {
            verdict.mismatch(node, place, this);
        }
    }

    @Override
    boolean takes(Node node) {
        return node instanceof Node.Num;
    }

    @Override
    Map<String, Object> schema(Definitions definitions) {
        Map<String, Object> schema = new LinkedHashMap<>();
        schema.put("enum", numbers);
        return schema;
    }

    @Override
    String wanted() {
        return "one of " + numbers.stream().map(Object::toString).collect(Collectors.joining(", "));
    }

    @Override
    String example() {
        return numbers.getFirst().toString();
    }
}
