package bellpush.runtime.kit;

import java.math.BigDecimal;
import java.math.MathContext;

/** Numbers and counts as people write them. */
final class Plain {
    private static final MathContext THREE_DIGITS = new MathContext(3);

    private Plain() {}

    /** Three digits that count, without a tail of noughts or an exponent. */
    static String number(double number) {
        BigDecimal rounded = BigDecimal.valueOf(number).round(THREE_DIGITS).stripTrailingZeros();
        return rounded.signum() == 0 ? "0" : rounded.toPlainString();
    }

    static String many(int count, String word) {
        return count + " " + word + (count == 1 ? "" : "s");
    }
}
