package bellpush.config.load.shape;

import bellpush.config.json.Node;
import bellpush.config.problem.DidYouMean;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** One of a few words. */
final class WordShape extends Shape {
    private final List<String> words;

    WordShape(List<String> words) {
        this.words = words;
    }

    @Override
    public void check(Node node, Place place, Verdict verdict) {
        if (!(node instanceof Node.Text(String text, _))) {
            verdict.mismatch(node, place, this);
        } else if (!words.contains(text)) {
            verdict.bad(node, node.spot(), place.name() + " is " + node.described() + ", and must be " + wanted() + ".",
                    place.about(), DidYouMean.closest(text, words).map(word -> "Did you mean \"" + word + "\"?")
                            .orElse(words.size() == 1
                                    ? "Write " + example() + "."
                                    : "Write the one of these words that you mean."));
        }
    }

    @Override
    boolean takes(Node node) {
        return node instanceof Node.Text;
    }

    @Override
    Map<String, Object> schema(Definitions definitions) {
        Map<String, Object> schema = new LinkedHashMap<>();
        schema.put("enum", words);
        return schema;
    }

    @Override
    String wanted() {
        return words.size() == 1 ? "\"" + words.getFirst() + "\"" : "one of " + DidYouMean.list(words);
    }

    @Override
    String example() {
        return "\"" + words.getFirst() + "\"";
    }
}
