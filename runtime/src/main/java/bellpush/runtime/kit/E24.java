package bellpush.runtime.kit;

/**
 * Preferred values of resistors, series E24. Source: IEC 60063. A table, since eight of the values are not the rounded
 * 10·10^(i/24).
 */
final class E24 {
    private static final int[] VALUES = {10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62,
        68, 75,
        82, 91};
    /** A computed value that is a value of the series but for the rounding of doubles is that value. */
    private static final double SAME = 1e-9;

    private E24() {}

    /** The smallest value of the series that is not below {@code ohms}, which is from 1 to 10 million. */
    static double atLeast(double ohms) {
        for (double decade = decade(ohms);; decade *= 10) {
            for (int value : VALUES) {
                double candidate = value * decade / 10;
                if (candidate >= ohms * (1 - SAME)) {
                    return candidate;
                }
            }
        }
    }

    /** The largest value of the series that is not above {@code ohms}, which is from 1 to 10 million. */
    static double atMost(double ohms) {
        for (double decade = decade(ohms);; decade /= 10) {
            for (int i = VALUES.length - 1; i >= 0; i--) {
                double candidate = VALUES[i] * decade / 10;
                if (candidate <= ohms * (1 + SAME)) {
                    return candidate;
                }
            }
        }
    }

    private static double decade(double ohms) {
        if (!(ohms >= 1 && ohms <= 10_000_000)) {
            throw new IllegalArgumentException(ohms + " Ω is not from 1 to 10 million");
        }
        return Math.pow(10, Math.floor(Math.log10(ohms) + SAME));
    }

    /** Such as {@code 680 Ω} or {@code 1.5 kΩ}. */
    static String words(double ohms) {
        double shown = ohms >= 1_000_000 ? ohms / 1_000_000 : ohms >= 1_000 ? ohms / 1_000 : ohms;
        String unit = ohms >= 1_000_000 ? " MΩ" : ohms >= 1_000 ? " kΩ" : " Ω";
        return Plain.number(shown) + unit;
    }
}
