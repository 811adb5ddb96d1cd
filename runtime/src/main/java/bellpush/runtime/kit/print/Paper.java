package bellpush.runtime.kit.print;

import java.util.Locale;

/** Sheets of paper, upright. A4: ISO 216; letter: ANSI/ASME Y14.1, 8.5 by 11 inches of 25.4 mm. */
public enum Paper {
    A4(210, 297), LETTER(215.9, 279.4);

    /** What a printer may leave white at each edge (common practice, no source). */
    static final double MARGIN_MM = 10;

    private final double widthMm;
    private final double heightMm;

    Paper(double widthMm, double heightMm) {
        this.widthMm = widthMm;
        this.heightMm = heightMm;
    }

    double widthMm(boolean onItsSide) {
        return onItsSide ? heightMm : widthMm;
    }

    double heightMm(boolean onItsSide) {
        return onItsSide ? widthMm : heightMm;
    }

    /** The word used on the command line. */
    public String word() {
        return name().toLowerCase(Locale.ROOT);
    }
}
