package bellpush.config.load;

import bellpush.config.json.Node;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.Map;

/** Settings for drivers as plain Java values: Map, List, String, Boolean, Long for whole numbers and else Double. */
final class PlainValues {
    private PlainValues() {}

    static Map<String, Object> of(Node.Obj object) {
        Map<String, Object> values = new LinkedHashMap<>();
        object.members().forEach((key, member) -> values.put(key, value(member.value())));
        return Collections.unmodifiableMap(values);
    }

    private static Object value(Node node) {
        return switch (node) {
            case Node.Obj object -> of(object);
            case Node.Arr list -> list.items().stream().map(PlainValues::value).toList();
            case Node.Text text -> text.text();
            case Node.Flag flag -> flag.on();
            case Node.Num n when n.whole() && Math.abs(n.number()) < 0x1p53 -> (long) n.number();
            case Node.Num n -> n.number();
            case Node.Null _ -> ""; // its shape has been refused: the site is not handed out
        };
    }
}
