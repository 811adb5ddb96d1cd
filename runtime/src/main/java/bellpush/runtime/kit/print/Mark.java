package bellpush.runtime.kit.print;

/** Something on a sheet. All lengths are millimetres from the sheet's upper left corner, downwards and to the right. */
sealed interface Mark {
    /** A hair line that a drill or a knife follows. */
    double HAIR_MM = 0.15;

    record Line(double x1, double y1, double x2, double y2, double widthMm, boolean dashed) implements Mark {}

    record Box(double x, double y, double width, double height, double widthMm, boolean dashed) implements Mark {}

    record Ring(double x, double y, double diameter, double widthMm, boolean dashed) implements Mark {}

    /**
     * One line of text.
     *
     * @param x        of its left end, its middle or its right end
     * @param baseline where the letters stand
     * @param sizeMm   of the font: the height of a line set solid, of which a capital letter takes about seven tenths
     */
    record Text(String text, double x, double baseline, double sizeMm, Align align) implements Mark {}

    /** A part of another sheet, from ({@code fromX}, {@code fromY}), at the same scale; what lies outside of it is cut off. */
    record Window(double x, double y, double width, double height, double fromX, double fromY,
            Sheet of) implements Mark {}

    enum Align {
        LEFT, MIDDLE, RIGHT
    }
}
