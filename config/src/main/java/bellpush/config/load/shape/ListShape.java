package bellpush.config.load.shape;

import bellpush.config.json.Node;
import java.util.LinkedHashMap;
import java.util.Map;

/** A list of values of one shape. */
final class ListShape extends Shape {
    private final Shape item;
    private final String itemName;
    private final int least;
    private final int most;

    ListShape(Shape item, String itemName, int least, int most) {
        this.item = item;
        this.itemName = itemName;
        this.least = least;
        this.most = most;
    }

    @Override
    public void check(Node node, Place place, Verdict verdict) {
        if (!(node instanceof Node.Arr list)) {
            verdict.mismatch(node, place, this);
            return;
        }
        int size = list.items().size();
        if (size < least || size > most) {
            verdict.bad(node, node.spot(),
                    place.name() + " has " + size + (size == 1 ? " entry" : " entries") + ", and must be " + wanted()
                            + ".",
                    place.about(), "Write " + example() + ".");
        }
        Place inside = new Place(itemName, place.about());
        list.items().forEach(entry -> item.check(entry, inside, verdict));
    }

    @Override
    boolean takes(Node node) {
        return node instanceof Node.Arr;
    }

    @Override
    Map<String, Object> schema(Definitions definitions) {
        Map<String, Object> schema = new LinkedHashMap<>();
        schema.put("type", "array");
        schema.put("items", item.schema(definitions));
        if (least > 0) {
            schema.put("minItems", least);
        }
        schema.put("maxItems", most);
        return schema;
    }

    @Override
    String wanted() {
        String entries = ", each of them " + item.wanted();
        if (least == most) {
            return "a list in brackets of exactly " + least + " entries" + entries;
        }
        return (least > 0 ? "a list in brackets of " + least + " to " + most + " entries" : "a list in brackets")
                + entries;
    }

    @Override
    String example() {
        String entry = item.example().replaceFirst("^a (number|list) such as ", "");
        return "a list in brackets such as [" + entry + (least > 1 ? ", ..." : "") + "]";
    }
}
