package bellpush.config.load.shape;

import bellpush.config.json.Node;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** Where a lead goes: a GPIO of the header by its number, or a pin of a chip by name. */
final class PinShape extends Shape {
    private static final Pattern NAMED = Pattern.compile("(?i)(?:gpio|bcm|pin)?[ _-]?0*([2-9]|1[0-9]|2[0-7])");
    /** BCM numbers by position on the 40-pin header, where the position itself is no BCM number (common practice, no source). */
    private static final Map<Integer, Integer> BY_POSITION = Map.of(29, 5, 31, 6, 32, 12, 33, 13, 35, 19, 36, 16, 37,
            26, 38, 20, 40, 21);

    private static final String GPIO_WANTED = "the BCM number of a GPIO on the 40-pin header, from 2 to 27";

    /** A header pin alone. */
    static final Shape GPIO = new NumberShape(true, 2, 27, 5) {
        @Override
        String wanted() {
            return GPIO_WANTED;
        }

        @Override
        Optional<String> cure(Node node) {
            return cureOf(node);
        }
    };

    /** A chip's pin alone: lower-case letters and digits, or the numbers of row and column, after the chip's name. */
    static final TextShape OF_CHIP = TextShape.of(
            "^[a-z][a-z0-9-]{0,63}\\.(?:[ab][0-7]|[0-9]{1,3}(?:\\.[0-9]{1,3})?)$",
            "a pin of a chip such as \"left.a3\", \"pad.1.3\" or \"adc.0\"", "left.a3").mending(PinShape::asOfChip);

    static final PinShape PIN = new PinShape();

    private PinShape() {}

    @Override
    public void check(Node node, Place place, Verdict verdict) {
        if (node instanceof Node.Text(String text, _) ? !OF_CHIP.fits(text) : !fits(node)) {
            verdict.mismatch(node, place, this);
        }
    }

    private static boolean fits(Node node) {
        return node instanceof Node.Num n && n.whole() && n.number() >= 2 && n.number() <= 27;
    }

    @Override
    boolean takes(Node node) {
        return node instanceof Node.Num || node instanceof Node.Text;
    }

    @Override
    Map<String, Object> schema(Definitions definitions) {
        Map<String, Object> schema = new LinkedHashMap<>();
        schema.put("anyOf", List.of(GPIO.schema(definitions), OF_CHIP.schema(definitions)));
        return schema;
    }

    @Override
    String wanted() {
        return GPIO_WANTED + ", or " + OF_CHIP.wanted();
    }

    @Override
    Optional<String> cure(Node node) {
        return cureOf(node).or(() -> node instanceof Node.Text ? OF_CHIP.cure(node) : Optional.empty())
                .or(() -> node instanceof Node.Text(String text, _) && text.indexOf('.') > 0
                        ? Optional
                                .of("After the dot write a0 to a7 or b0 to b7 for an expander, ROW.COLUMN for a matrix,"
                                        + " a number for a converter or a strip.")
                        : Optional.empty());
    }

    @Override
    String example() {
        return GPIO.example();
    }

    private static Optional<String> cureOf(Node node) {
        if (node instanceof Node.Text(String text, _)) {
            Matcher named = NAMED.matcher(text.strip());
            return named.matches()
                    ? Optional.of("Write " + Integer.valueOf(named.group(1)) + " without quotation marks.")
                    : Optional.empty();
        }
        return node instanceof Node.Num n && n.whole()
                ? Optional.ofNullable(BY_POSITION.get((int) n.number()))
                        .map(gpio -> "If position " + n.written() + " of the header is meant, write " + gpio + ".")
                : Optional.empty();
    }

    /** People write capitals, blanks, and GPA3 as the data sheet does. */
    private static String asOfChip(String written) {
        return written.strip().toLowerCase(Locale.ROOT).replaceAll("[ _:/]+", ".").replaceAll("\\.gp([ab][0-7])$",
                ".$1");
    }
}
