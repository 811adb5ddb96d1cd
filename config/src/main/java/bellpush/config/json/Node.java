package bellpush.config.json;

import bellpush.config.problem.Spot;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/** A JSON value and where it stands. An object's or list's spot is its opening brace or bracket. */
public sealed interface Node {
    Spot spot();

    /** Members in the order written. */
    record Obj(Map<String, Member> members, Spot spot) implements Node {
        public Optional<Node> get(String key) {
            return Optional.ofNullable(members.get(key)).map(Member::value);
        }
    }

    /** One key of an object with its value. */
    record Member(String key, Spot spot, Node value) {}

    record Arr(List<Node> items, Spot spot) implements Node {}

    record Text(String text, Spot spot) implements Node {}

    /** @param written the number as it stands in the file */
    record Num(double number, String written, Spot spot) implements Node {
        public boolean whole() {
            return number == Math.rint(number);
        }
    }

    record Flag(boolean on, Spot spot) implements Node {}

    record Null(Spot spot) implements Node {}

    /** The value in a few words for a sentence: {@code the number 5}, {@code a list}. */
    default String described() {
        return switch (this) {
            case Obj _ -> "an object in braces";
            case Arr _ -> "a list in brackets";
            case Text(String text, _) -> text.isEmpty() ? "an empty text" : "the text \"" + shortened(text) + "\"";
            case Num n -> "the number " + shortened(n.written);
            case Flag f -> Boolean.toString(f.on);
            case Null _ -> "null";
        };
    }

    private static String shortened(String text) {
        return text.length() <= 40 ? text : text.substring(0, 40) + "...";
    }
}
