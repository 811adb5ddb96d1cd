package bellpush.config.json;

import bellpush.config.problem.Problems;
import bellpush.config.problem.Spot;
import java.util.ArrayList;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import tools.jackson.core.JacksonException;
import tools.jackson.core.JsonParser;
import tools.jackson.core.JsonToken;
import tools.jackson.core.ObjectReadContext;
import tools.jackson.core.json.JsonFactory;
import tools.jackson.core.json.JsonReadFeature;

/** Reads one text into a tree. What is wrong with its JSON becomes problems; nothing is thrown. */
public final class TreeReader {
    /** Objects and lists inside each other. */
    public static final int DEEPEST = 64;

    private static final JsonFactory JSON = JsonFactory.builder().enable(JsonReadFeature.ALLOW_JAVA_COMMENTS)
            .enable(JsonReadFeature.ALLOW_TRAILING_COMMA).build();

    private final SourceText source;
    private final Problems problems;
    private JsonParser parser;
    private int done;
    private int depth;
    private boolean tooDeep;

    private TreeReader(SourceText source, Problems problems) {
        this.source = source;
        this.problems = problems;
    }

    /** The tree, or empty if the text is not JSON; then the problem has been added. */
    public static Optional<Node> read(String file, String text, Problems problems) {
        return new TreeReader(new SourceText(file, text), problems).read();
    }

    private Optional<Node> read() {
        try (JsonParser opened = JSON.createParser(ObjectReadContext.empty(), source.text)) {
            parser = opened;
            if (parser.nextToken() == null) {
                problems.error(source.spot(0, 1), "The file is empty.", "It must hold one JSON object.",
                        "Write { } and put the keys between the braces, or remove the file.");
                return Optional.empty();
            }
            Node root = value();
            if (tooDeep) {
                return Optional.empty();
            }
            if (parser.nextToken() != null) {
                problems.error(source.spot(start(), 1), "Something follows the end of the JSON.",
                        "A file holds one value, and this one ended before here.",
                        "Remove what follows, or a closing brace that comes too early.");
                return Optional.empty();
            }
            return Optional.of(root);
        } catch (JacksonException _) {
            SyntaxTrouble.report(source, done, problems);
            return Optional.empty();
        }
    }

    private int start() {
        return (int) parser.currentTokenLocation().getCharOffset();
    }

    private Node value() {
        int start = start();
        return switch (parser.currentToken()) {
            case START_OBJECT -> object(start);
            case START_ARRAY -> list(start);
            case VALUE_STRING -> {
                String text = parser.getString(); // lazily scanned: an error in it shows here
                done = source.endOfQuoted(start);
                yield new Node.Text(text, source.spot(start, done - start));
            }
            case VALUE_NUMBER_INT, VALUE_NUMBER_FLOAT -> number(start);
            case VALUE_TRUE, VALUE_FALSE -> new Node.Flag(parser.currentToken() == JsonToken.VALUE_TRUE, word(start));
            default -> new Node.Null(word(start));
        };
    }

    private Spot word(int start) {
        done = source.endOfWord(start);
        return source.spot(start, done - start);
    }

    private Node number(int start) {
        String written = parser.getString();
        done = start + written.length();
        Spot spot = source.spot(start, written.length());
        double number = Double.parseDouble(written);
        if (!Double.isFinite(number)) {
            problems.error(spot, "The number " + written + " is too large.", "Nothing here counts that far.",
                    "Write a smaller number.");
            number = 0;
        }
        return new Node.Num(number, written, spot);
    }

    private Node object(int start) {
        Spot spot = source.spot(start, 1);
        Map<String, Node.Member> members = new LinkedHashMap<>();
        if (enter(start)) {
            while (!tooDeep && parser.nextToken() != JsonToken.END_OBJECT) {
                String key = parser.currentName();
                int at = start();
                done = source.skipBlanks(source.endOfQuoted(at)) + 1;
                Spot keySpot = source.spot(at, source.endOfQuoted(at) - at);
                parser.nextToken();
                Node value = value();
                Node.Member first = members.putIfAbsent(key, new Node.Member(key, keySpot, value));
                if (first != null) {
                    problems.error(keySpot,
                            "The key \"" + key + "\" is used twice; first in line " + first.spot().at().line() + ".",
                            "Only one of the two could count, and nobody could tell which.",
                            "Remove one of them, or give it another name.");
                }
            }
            leave();
        }
        return new Node.Obj(Collections.unmodifiableMap(members), spot);
    }

    private Node list(int start) {
        Spot spot = source.spot(start, 1);
        List<Node> items = new ArrayList<>();
        if (enter(start)) {
            while (!tooDeep && parser.nextToken() != JsonToken.END_ARRAY) {
                items.add(value());
            }
            leave();
        }
        return new Node.Arr(Collections.unmodifiableList(items), spot);
    }

    private boolean enter(int start) {
        done = start + 1;
        if (++depth > DEEPEST) {
            tooDeep = true;
            problems.error(source.spot(start, 1), "Objects and lists are more than " + DEEPEST + " deep here.",
                    "Nobody can follow a file that is nested like this, and nothing in a site needs it.",
                    "Move the inner part into a macro of its own.");
        }
        return !tooDeep;
    }

    private void leave() {
        depth--;
        if (!tooDeep) {
            done = start() + 1;
        }
    }
}
