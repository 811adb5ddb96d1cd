package bellpush.config.load.shape;

import bellpush.config.json.Node;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.function.UnaryOperator;
import java.util.regex.Pattern;

/** A text, perhaps of a certain pattern. Lengths count Unicode code points, as JSON Schema does. */
final class TextShape extends Shape {
    private final int least;
    private final int most;
    private final Pattern pattern;
    private final String wanted;
    private final String example;
    private final UnaryOperator<String> mended;

    private TextShape(int least, int most, Pattern pattern, String wanted, String example,
            UnaryOperator<String> mended) {
        this.least = least;
        this.most = most;
        this.pattern = pattern;
        this.wanted = wanted;
        this.example = example;
        this.mended = mended;
    }

    static TextShape any(int least, int most) {
        return new TextShape(least, most, null,
                least > 0
                        ? "a text of " + least + " to " + most + " characters"
                        : "a text of up to " + most + " characters",
                "a text in quotation marks", UnaryOperator.identity());
    }

    /** @param pattern begins with ^, ends with $, and means the same to Java and to ECMA-262 */
    static TextShape of(String pattern, String wanted, String example) {
        return new TextShape(0, Integer.MAX_VALUE, Pattern.compile(pattern), wanted, "\"" + example + "\"",
                UnaryOperator.identity());
    }

    /** @param mended turns what people write by mistake into what fits; what does not fit even then is not proposed */
    TextShape mending(UnaryOperator<String> mended) {
        return new TextShape(least, most, pattern, wanted, example, mended);
    }

    /** The same with another example. */
    TextShape such(String otherExample) {
        return new TextShape(least, most, pattern, wanted, "\"" + otherExample + "\"", mended);
    }

    /** What was probably meant by a text that does not fit. */
    Optional<String> mended(String written) {
        return Optional.of(written).filter(text -> text.length() <= 100 && pattern != null).map(mended)
                .filter(this::fits);
    }

    @Override
    Optional<String> cure(Node node) {
        Optional<String> written = switch (node) {
            case Node.Text text -> Optional.of(text.text());
            case Node.Num number -> Optional.of(number.written());
            default -> Optional.empty();
        };
        return written.flatMap(this::mended).map(text -> "Write \"" + text + "\".");
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
