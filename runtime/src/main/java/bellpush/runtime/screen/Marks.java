package bellpush.runtime.screen;

/**
 * The signs that the panel is drawn with. The shapes carry the meaning, so that it can be read without colours.
 *
 * @param corners   top left, top right, bottom left, bottom right; then the same for a pressed control
 * @param lit       a lamp that is lit, faintly lit, dark
 * @param selected  left and right of what is selected
 * @param links     a link that is up, down, stale
 */
record Marks(boolean ascii, String corners, String pressedCorners, int line, int pressedLine, int side, int pressedSide,
        String lit, String faint, String dark, String selected, String knob, String links, String more) {

    static final Marks UNICODE = new Marks(false, "╭╮╰╯", "┏┓┗┛", '─', '━', '│', '┃', "●", "◐", "○", "»«", "−+",
            "✓✗~", "…");
    static final Marks ASCII = new Marks(true, "..''", "####", '-', '#', '|', '#', "(*)", "(+)", "( )", "><", "-+",
            "+x~", "...");

    /** Safe text in the characters that this set allows. */
    String text(String any) {
        String plain = PlainText.of(any);
        return ascii ? PlainText.ascii(plain) : plain;
    }

    String cut(String plain, int columns) {
        return PlainText.cut(plain, columns, more);
    }
}
