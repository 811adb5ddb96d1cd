package bellpush.config.load.shape;

import bellpush.config.json.Node;
import bellpush.config.problem.Problems;
import bellpush.config.problem.Spot;
import java.util.Collections;
import java.util.IdentityHashMap;
import java.util.Set;

/**
 * What checking shapes found: the problems, and which values are so wrong that nothing can be read from them. Reading goes
 * on around those without complaining a second time.
 */
public final class Verdict {
    private final Problems problems;
    private final Set<Node> bad = Collections.newSetFromMap(new IdentityHashMap<>());
    private int count;

    public Verdict(Problems problems) {
        this.problems = problems;
    }

    /** Whether nothing can be read from this value. */
    public boolean bad(Node node) {
        return bad.contains(node);
    }

    /** How many problems of shape were found. */
    public int count() {
        return count;
    }

    void bad(Node node, Spot spot, String found, String why, String cure) {
        bad.add(node);
        problem(spot, found, why, cure);
    }

    void problem(Spot spot, String found, String why, String cure) {
        count++;
        problems.error(spot, found, why, cure);
    }

    /** The value is of the wrong JSON type, or not one of those allowed. */
    void mismatch(Node node, Place place, Shape shape) {
        bad(node, node.spot(), place.name() + " is " + node.described() + ", and must be " + shape.wanted() + ".",
                place.about(), cure(node, shape));
    }

    private static String cure(Node node, Shape shape) {
        Node.Text none = new Node.Text("", Spot.NONE);
        if (node instanceof Node.Text(String text, _)) {
            boolean number = text.matches("-?(0|[1-9]\\d{0,15})(\\.\\d{1,15})?");
            if (number && shape.takes(new Node.Num(0, text, Spot.NONE)) && !shape.takes(none)) {
                return "Write " + text + " without quotation marks.";
            }
            if ((text.equals("true") || text.equals("false")) && shape.takes(new Node.Flag(true, Spot.NONE))
                    && !shape.takes(none)) {
                return "Write " + text + " without quotation marks.";
            }
        }
        return shape.cure(node).orElseGet(() -> "Write " + shape.example() + ".");
    }
}
