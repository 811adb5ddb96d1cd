package bellpush.config.load.shape;

import bellpush.config.json.Node;
import bellpush.config.model.Value;
import java.util.LinkedHashMap;
import java.util.Map;

/** A number within limits, both included. */
class NumberShape extends Shape {
    private final boolean whole;
    private final double min;
    private final double max;
    private final String example;

    NumberShape(boolean whole, double min, double max, double example) {
        this.whole = whole;
        this.min = min;
        this.max = max;
        this.example = plain(example);
    }

    private static String plain(double number) {
        return Value.of(number).toString();
    }

    @Override
    public void check(Node node, Place place, Verdict verdict) {
        if (!(node instanceof Node.Num n) || whole && !n.whole() || n.number() < min || n.number() > max) {
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
        schema.put("type", whole ? "integer" : "number");
        schema.put("minimum", number(min));
        schema.put("maximum", number(max));
        return schema;
    }

    private static Object number(double number) {
        if (number == Math.rint(number) && Math.abs(number) < 1e15) {
            return (long) number;
        }
        return number;
    }

    @Override
    String wanted() {
        return (whole ? "a whole number" : "a number")
                + (Math.abs(max) >= 1e9 ? "" : " from " + plain(min) + " to " + plain(max));
    }

    @Override
    String example() {
        return "a number such as " + example;
    }
}
