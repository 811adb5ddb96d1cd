package bellpush.config.load.shape;

import bellpush.config.json.Node;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.regex.Pattern;

/** A text, perhaps of a certain pattern. Lengths count Unicode code points, as JSON Schema does. */
final class TextShape extends Shape {
    private final int least;
    private final int most;
    private final Pattern pattern;
    private final String wanted;
    private final String example;

    private TextShape(int least, int most, Pattern pattern, String wanted, String example) {
        this.least = least;
        this.most = most;
        this.pattern = pattern;
        this.wanted = wanted;
        this.example = example;
    }

    static TextShape any(int least, int most) {
        return new TextShape(least, most, null,
                least > 0
                        ? "a text of " + least + " to " + most + " characters"
                        : "a text of up to " + most + " characters",
                "a text in quotation marks");
    }

    /** @param pattern begins with ^, ends with $, and means the same to Java and to ECMA-262 */
    static TextShape of(String pattern, String wanted, String example) {
        return new TextShape(0, Integer.MAX_VALUE, Pattern.compile(pattern), wanted, "\"" + example + "\"");
    }

    @Override
    public void check(Node node, Place place, Verdict verdict) {
        if (!(node instanceof Node.Text(String text, _))) {
            verdict.mismatch(node, place, this);
            return;
        }
        int length = text.codePointCount(0, text.length());
        if (length < least || length > most || pattern != null && !fits(text)) {
            verdict.mismatch(node, place, this);
        }
    }

    boolean fits(String text) {
        return pattern.matcher(text).matches();
    }

    String rule() {
        return wanted;
    }

    @Override
    boolean takes(Node node) {
        return node instanceof Node.Text;
    }

    @Override
    Map<String, Object> schema(Definitions definitions) {
        Map<String, Object> schema = new LinkedHashMap<>();
        schema.put("type", "string");
        if (least > 0) {
            schema.put("minLength", least);
        }
        if (most < Integer.MAX_VALUE) {
            schema.put("maxLength", most);
        }
        if (pattern != null) {
            schema.put("pattern", pattern.pattern());
        }
        return schema;
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
