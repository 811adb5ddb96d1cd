package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.model.FrameRate;
import java.util.LinkedHashMap;
import java.util.Map;

/** Reads {@code frameRate}. The decimal names of the fractional rates are those of ITU-R BT.709 part 2 and SMPTE ST 12-1. */
final class FrameRates {
    private static final Map<Double, FrameRate> FRACTIONAL = fractional();

    private FrameRates() {}

    private static Map<Double, FrameRate> fractional() {
        Map<Double, FrameRate> rates = new LinkedHashMap<>();
        rates.put(23.976, new FrameRate(24_000, 1001));
        rates.put(23.98, new FrameRate(24_000, 1001));
        rates.put(29.97, new FrameRate(30_000, 1001));
        rates.put(59.94, new FrameRate(60_000, 1001));
        return Map.copyOf(rates);
    }

    /** The exact rate; a problem and 25 if it is none. */
    static FrameRate read(Node node, Reading reading) {
        FrameRate rate = switch (node) {
            case Node.Num n -> n.whole() ? new FrameRate((long) n.number(), 1) : FRACTIONAL.get(n.number());
            case Node.Text(String text, _) -> fraction(text);
            default -> null;
        };
        if (rate != null && rate.numerator() >= rate.denominator() && rate.numerator() / rate.denominator() <= 1000) {
            return rate;
        }
        reading.problems.error(node.spot(), "\"frameRate\" is " + node.described() + ", which is no exact rate.",
                "Durations in frames are kept as exact fractions, and rounded decimals drift.",
                "Write 24, 25, 30, 50, 60, 23.976, 29.97 or 59.94, or a fraction from 1 to 1000 such as \"30000/1001\".");
        return new FrameRate(25, 1);
    }

    private static FrameRate fraction(String text) {
        int slash = text.indexOf('/');
        return slash < 0
                ? new FrameRate(Long.parseLong(text), 1)
                : new FrameRate(Long.parseLong(text.substring(0, slash)), Long.parseLong(text.substring(slash + 1)));
    }
}
