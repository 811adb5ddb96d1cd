package bellpush.config.load.shape;

import bellpush.config.json.Node;
import java.util.Map;
import java.util.Optional;

/** What a JSON value may look like. Immutable; {@link RefShape} makes recursion possible. */
public abstract class Shape {
    Shape() {}

    /** Adds a problem for everything in the tree that does not have this shape. */
    public abstract void check(Node node, Place place, Verdict verdict);

    /** Whether a value is of a JSON type that this shape can take, whatever is in it. */
    abstract boolean takes(Node node);

    /** The same as a JSON Schema object. */
    abstract Map<String, Object> schema(Definitions definitions);

    /** Completes "must be ...": {@code a whole number from 0 to 27}. */
    abstract String wanted();

    /** What the person probably meant by a value of the wrong shape, as a sentence; empty where nobody can tell. */
    Optional<String> cure(Node node) {
        return Optional.empty();
    }

    /** Completes "Write ...", a valid value as it stands in a file. */
    abstract String example();
}
