package bellpush.runtime.screen;

import java.util.Optional;

/**
 * How a cell is drawn. Numbers are the eight colours of ECMA-48 (SGR 30 to 37, 40 to 47), {@link #NONE} for the terminal's
 * own. On a terminal without colours a cell with a {@code paper} is drawn in reverse, so that nothing is said by colour alone.
 */
record Ink(int text, int paper, boolean bold, boolean faint, boolean underlined, boolean reverse) {
    static final int NONE = -1;

    private static final int BLACK = 0;
    private static final int RED = 1;
    private static final int GREEN = 2;
    private static final int YELLOW = 3;
    private static final int BLUE = 4;
    private static final int WHITE = 7;

    static final Ink PLAIN = new Ink(NONE, NONE, false, false, false, false);
    static final Ink BOLD = new Ink(NONE, NONE, true, false, false, false);
    static final Ink FAINT = new Ink(NONE, NONE, false, true, false, false);
    static final Ink REVERSE = new Ink(NONE, NONE, false, false, false, true);
    static final Ink FAULT = new Ink(RED, NONE, true, false, false, false);
    static final Ink WARNING = new Ink(YELLOW, NONE, true, false, false, false);

    /** A lit surface in the lamp's own colour, or in reverse for a lamp without one. */
    static Ink lit(Optional<String> colour) {
        return switch (colour.orElse("")) {
            case "red" -> new Ink(WHITE, RED, true, false, false, false);
            case "yellow" -> new Ink(BLACK, YELLOW, false, false, false, false);
            case "green" -> new Ink(BLACK, GREEN, false, false, false, false);
            case "blue" -> new Ink(WHITE, BLUE, true, false, false, false);
            case "white" -> new Ink(BLACK, WHITE, false, false, false, false);
            default -> new Ink(NONE, NONE, true, false, false, true);
        };
    }

    Ink underline() {
        return new Ink(text, paper, bold, faint, true, reverse);
    }

    /** The SGR sequence that selects exactly this, whatever was selected before. */
    String select(boolean colours) {
        StringBuilder codes = new StringBuilder("\u001b[0");
        codes.append(bold ? ";1" : "").append(faint ? ";2" : "").append(underlined ? ";4" : "");
        if (colours) {
            codes.append(text == NONE ? "" : ";" + (30 + text)).append(paper == NONE ? "" : ";" + (40 + paper));
        }
        return codes.append(reverse || paper != NONE && !colours ? ";7" : "").append('m').toString();
    }
}
