package bellpush.config.problem;

/**
 * A line made fit for a terminal: tabs become spaces, control characters are escaped, and a line wider than the screen is
 * cut to a window around the caret.
 */
record ShownLine(String text, int caretAt, String caret) {
    static final int WIDEST = 120;
    private static final int TAB = 4;
    private static final String CUT = "...";

    /** @param column where the caret begins, from 1 */
    static ShownLine of(String line, int column, int length) {
        StringBuilder text = new StringBuilder();
        int start = -1;
        int end = -1;
        for (int i = 0; i < line.length(); i++) {
            start = i == column - 1 ? text.length() : start;
            end = i == column - 1 + length ? text.length() : end;
            char c = line.charAt(i);
            if (c == '\t') {
                text.append(" ".repeat(TAB - text.length() % TAB));
            } else {
                append(text, c);
            }
        }
        start = start < 0 ? text.length() : start;
        end = end < 0 ? text.length() : end;
        return window(text.toString(), start, Math.max(start + 1, end));
    }

    private static ShownLine window(String text, int start, int end) {
        if (text.length() <= WIDEST) {
            return new ShownLine(text.stripTrailing(), start, "^".repeat(end - start));
        }
        int room = WIDEST - 2 * CUT.length();
        int shown = Math.min(end - start, room);
        int from = Math.clamp(start - (room - shown) / 2L, 0, text.length() - room);
        int to = from + room;
        String before = from > 0 ? CUT : "";
        String after = to < text.length() ? CUT : "";
        return new ShownLine(before + text.substring(from, to) + after, before.length() + start - from,
                "^".repeat(Math.max(1, Math.min(end, to) - start)));
    }

    /** The text with control and formatting characters escaped, so that a file cannot steer the terminal. */
    static String visible(String text) {
        StringBuilder out = new StringBuilder();
        text.chars().forEach(c -> append(out, (char) c));
        return out.toString();
    }

    private static void append(StringBuilder out, char c) {
        if (Character.isISOControl(c) || Character.getType(c) == Character.FORMAT || c == '\u2028' || c == '\u2029') {
            out.append(String.format("\\u%04x", (int) c));
        } else {
            out.append(c);
        }
    }
}
