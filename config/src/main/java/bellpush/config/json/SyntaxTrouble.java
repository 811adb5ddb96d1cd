package bellpush.config.json;

import bellpush.config.problem.Problems;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.Locale;

/**
 * Says in plain words why a text is not JSON. The parser only tells that it gave up; this walks the text once more, token
 * by token, to the first one that cannot stand where it stands. Runs for broken files only.
 */
final class SyntaxTrouble {
    private static final String WHY = "The file cannot be read beyond this place, so nothing in it was checked.";

    private final SourceText source;
    private final Problems problems;

    private SyntaxTrouble(SourceText source, Problems problems) {
        this.source = source;
        this.problems = problems;
    }

    /** @param done how far the parser got; used only if this walk finds nothing wrong */
    static void report(SourceText source, int done, Problems problems) {
        SyntaxTrouble trouble = new SyntaxTrouble(source, problems);
        if (!trouble.walk()) {
            trouble.say(source.skipBlanks(done), 1, "This is not JSON.", "Look at what stands here and before it.");
        }
    }

    private enum Expect {
        VALUE, KEY, COLON, COMMA
    }

    private boolean walk() {
        Deque<Integer> open = new ArrayDeque<>();
        Expect expect = Expect.VALUE;
        int last = 0;
        int i = source.skipBlanks(0);
        while (true) {
            if (i >= source.text.length()) {
                return atEnd(open, expect, last);
            }
            char c = source.text.charAt(i);
            boolean inObject = !open.isEmpty() && source.text.charAt(open.peek()) == '{';
            boolean closes = c == '}' || c == ']';
            if (source.text.startsWith("/*", i)) {
                return say(i, 2, "A comment begins here and never ends.", "Write */ where it ends.");
            }
            if (closes && expect != Expect.COLON && !(expect == Expect.VALUE && (inObject || open.isEmpty()))) {
                if (open.isEmpty() || inObject != (c == '}')) {
                    return wrongClose(i, open);
                }
                open.pop();
                expect = Expect.COMMA;
                last = ++i;
            } else {
                switch (expect) {
                    case COMMA -> {
                        if (open.isEmpty()) {
                            return say(i, 1, "Something follows the end of the JSON.",
                                    "Remove what follows, or a closing brace that comes too early.");
                        }
                        if (c != ',' && lostQuote(i, last)) {
                            return true;
                        }
                        if (c != ',') {
                            return say(i, source.endOfWord(i) - i, "A comma is missing before this.",
                                    "Write a comma after the value before.");
                        }
                        expect = inObject ? Expect.KEY : Expect.VALUE;
                        last = ++i;
                    }
                    case COLON -> {
                        if (c != ':') {
                            return say(i, 1, "A colon is missing after the key.", "Write \"key\": value.");
                        }
                        expect = Expect.VALUE;
                        last = ++i;
                    }
                    case KEY -> {
                        if (c != '"') {
                            return badKey(i, c);
                        }
                        if (badText(i)) {
                            return true;
                        }
                        expect = Expect.COLON;
                        last = i = source.endOfQuoted(i);
                    }
                    case VALUE -> {
                        if (c == '{' || c == '[') {
                            open.push(i);
                            expect = c == '{' ? Expect.KEY : Expect.VALUE;
                            last = ++i;
                        } else if (c == '"') {
                            if (badText(i)) {
                                return true;
                            }
                            expect = Expect.COMMA;
                            last = i = source.endOfQuoted(i);
                        } else if (badWord(i, c)) {
                            return true;
                        } else {
                            expect = Expect.COMMA;
                            last = i = source.endOfWord(i);
                        }
                    }
                }
            }
            i = source.skipBlanks(i);
        }
    }

    private boolean atEnd(Deque<Integer> open, Expect expect, int last) {
        int at = Math.max(0, last - 1);
        if (!open.isEmpty()) {
            int start = open.peek();
            boolean object = source.text.charAt(start) == '{';
            return say(at, 1,
                    "The file ends before " + (object ? "the brace { " : "the bracket [ ") + "of line "
                            + source.spot(start, 1).at().line() + " is closed.",
                    "Write " + (object ? "}" : "]") + " where it ends.");
        }
        return expect == Expect.VALUE && say(0, 1, "The file holds nothing but comments.",
                "Write { } and put the keys between the braces, or remove the file.");
    }

    private boolean wrongClose(int i, Deque<Integer> open) {
        char c = source.text.charAt(i);
        if (open.isEmpty()) {
            return say(i, 1, "Nothing is open that this " + c + " could close.", "Remove it.");
        }
        int start = open.peek();
        char opened = source.text.charAt(start);
        return say(i, 1,
                "This " + c + " does not close the " + opened + " of line " + source.spot(start, 1).at().line() + ".",
                "Write " + (opened == '{' ? "}" : "]") + " first.");
    }

    private boolean badKey(int i, char c) {
        if (c == ',') {
            return say(i, 1, "There is a comma too many.", "Remove it.");
        }
        if (c == '{' || c == '[') {
            return say(i, 1, "A key in quotation marks is expected here, and not another " + c + ".",
                    "Write the key and a colon before it, or close the { before this with }.");
        }
        if (curly(c)) {
            return curlyQuote(i, c);
        }
        if (c == '#') {
            return hash(i);
        }
        int length = source.endOfWord(i) - i;
        return say(i, length, "A key in quotation marks is expected here.",
                c == '\'' ? "Write \" instead of '." : "Write \"" + source.text.substring(i, i + length) + "\".");
    }

    private boolean badText(int start) {
        int i = start + 1;
        while (i < source.text.length()) {
            char c = source.text.charAt(i);
            if (c == '"') {
                return false;
            }
            if (c == '\n' || c == '\r') {
                return say(start, i - start, "This text has no closing quotation mark in its line.",
                        "Write \" where the text ends; a line break inside it is written \\n.");
            }
            if (c < ' ') {
                return say(i, 1, "A control character stands in this text.",
                        c == '\t' ? "Write \\t, or spaces." : String.format("Write \\u%04x, or remove it.", (int) c));
            }
            if (c == '\\') {
                char next = i + 1 < source.text.length() ? source.text.charAt(i + 1) : 0;
                boolean unicode = next == 'u' && source.text.substring(Math.min(i + 2, source.text.length()),
                        Math.min(i + 6, source.text.length())).matches("[0-9a-fA-F]{4}");
                if (!unicode && (next == 0 || "\"\\/bfnrt".indexOf(next) < 0)) {
                    return say(i, 2,
                            "A backslash must be followed by one of \" \\ / b f n r t, or u and four hex digits.",
                            "Write \\\\ for a backslash itself.");
                }
                i++;
            }
            i++;
        }
        return say(start, 1, "The text that begins here never ends.", "Write \" where it ends.");
    }

    private boolean badWord(int i, char c) {
        int length = source.endOfWord(i) - i;
        String word = source.text.substring(i, i + length);
        if (word.equals("true") || word.equals("false") || word.equals("null")) {
            return false;
        }
        if (word.matches("-?(0|[1-9][0-9]*)(\\.[0-9]+)?([eE][+-]?[0-9]+)?")) {
            return length > 1000 && say(i, 40, "This number is too long.", "Write it with fewer digits.");
        }
        if (c == '\'') {
            return say(i, 1, "Texts stand in double quotation marks.", "Write \" instead of '.");
        }
        if (curly(c)) {
            return curlyQuote(i, c);
        }
        if (c == '#') {
            return hash(i);
        }
        if (c == ',' || c == ':' || c == '}' || c == ']') {
            return say(i, 1, "A value is missing before this.",
                    "Write the value, or remove the key or comma before it.");
        }
        if (word.matches("[-+.]*[0-9].*")) {
            return say(i, length, word + " is not a number as JSON writes them.",
                    "Write digits with at most one point between them, no + and no zeros in front, such as 0.5 or -12;"
                            + " with a unit it must be a text in quotation marks.");
        }
        String meant = switch (word.toLowerCase(Locale.ROOT)) {
            case "true", "yes", "on" -> "true";
            case "false", "no", "off" -> "false";
            default -> "";
        };
        if (!meant.isEmpty()) {
            return say(i, length, "The word " + word + " means nothing here.",
                    "Write " + meant + ", or \"" + word + "\" if it is a text.");
        }
        return say(i, length, "The word " + word + " means nothing here.",
                "Write a text in quotation marks, a number, true, false, an object in { } or a list in [ ].");
    }

    private static boolean curly(char c) {
        return "\u201c\u201d\u201e\u2018\u2019\u00ab\u00bb".indexOf(c) >= 0;
    }

    private boolean curlyQuote(int i, char c) {
        return say(i, 1, "Texts and keys stand in straight quotation marks.", "Write \" instead of " + c + ".");
    }

    private boolean hash(int i) {
        return say(i, 1, "A comment does not begin with # here.", "Write // instead of #.");
    }

    /**
     * A text that is not closed goes on to the quotation mark that opens the next one, and what follows touches it:
     * {@code "POEM,    "pin"}. No one writes a missing comma like that.
     */
    private boolean lostQuote(int i, int last) {
        int start = last - 1;
        boolean text = i == last && start > 0 && source.text.charAt(start) == '"'
                && (Character.isLetterOrDigit(source.text.charAt(i)) || "_.{[/".indexOf(source.text.charAt(i)) >= 0);
        if (!text) {
            return false;
        }
        do {
            start--;
        } while (start > 0 && source.text.charAt(start) != '"');
        return say(start, last - start, "A quotation mark is missing in or before this text.",
                "Write \" at the end of the text that has none; the marks after it then pair up again.");
    }

    private boolean say(int at, int length, String found, String cure) {
        problems.error(source.spot(at, length), found, WHY, cure);
        return true;
    }
}
