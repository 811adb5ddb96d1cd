package bellpush.runtime.screen;

/**
 * The signs that the panel is drawn with. The shapes carry the meaning, so that it can be read without colours.
 *
 * @param ascii          whether text, too, is cut down to ASCII
 * @param corners        of a control: top left, top right, bottom left, bottom right
 * @param pressedCorners the same while it is pressed; so too the line and the side
 * @param lit            a lit lamp; {@code faint}: below half its brightness; {@code dark}: not lit
 * @param selected       left and right of what is selected
 * @param knob           what turns a knob down and up
 * @param links          a link that is up, down, stale
 * @param bar            of a fader, as far as its value and beyond it
 * @param more           where text was cut
 */
record Marks(boolean ascii, String corners, String pressedCorners, int line, int pressedLine, int side, int pressedSide,
        String lit, String faint, String dark, String selected, String knob, String links, String more, String bar) {

    static final Marks UNICODE = new Marks(false, "╭╮╰╯", "┏┓┗┛", '─', '━', '│', '┃', "●", "◐", "○", "»«", "−+",
            "✓✗~", "…", "█░");
    static final Marks ASCII = new Marks(true, "..''", "####", '-', '#', '|', '#', "(*)", "(+)", "( )", "><", "-+",
            "+x~", "...", "#.");

    /** Safe text in the characters that this set allows. */
    String text(String any) {
        String plain = PlainText.of(any);
        return ascii ? PlainText.ascii(plain) : plain;
    }

    String cut(String plain, int columns) {
        return PlainText.cut(plain, columns, more);
    }
}
