package bellpush.runtime.log;

/**
 * Text as a JSON string (RFC 8259 section 7). Besides what JSON asks for, it escapes whatever could play tricks on somebody who
 * reads the log in a terminal: C1 controls, line and paragraph separators, invisible and direction-changing characters.
 * Lone surrogates are escaped too, since UTF-8 has no form for them. What was escaped reads back as it was.
 */
final class JsonText {
    private JsonText() {}

    static String quoted(String text) {
        StringBuilder out = new StringBuilder(text.length() + 16).append('"');
        for (int i = 0; i < text.length(); i++) {
            char c = text.charAt(i);
            if (Character.isHighSurrogate(c) && i + 1 < text.length() && Character.isLowSurrogate(text.charAt(i + 1))) {
                appendPair(out, c, text.charAt(++i));
            } else {
                append(out, c);
            }
        }
        return out.append('"').toString();
    }

    private static void append(StringBuilder out, char c) {
        switch (c) {
            case '"' -> out.append("\\\"");
            case '\\' -> out.append("\\\\");
            case '\n' -> out.append("\\n");
            case '\r' -> out.append("\\r");
            case '\t' -> out.append("\\t");
            default -> {
                if (isTricky(c)) {
                    escape(out, c);
                } else {
                    out.append(c);
                }
            }
        }
    }

    private static void appendPair(StringBuilder out, char high, char low) {
        if (isTricky(Character.toCodePoint(high, low))) {
            escape(out, high);
            escape(out, low);
        } else {
            out.append(high).append(low);
        }
    }

    private static boolean isTricky(int codePoint) {
        return switch (Character.getType(codePoint)) {
            case Character.CONTROL, Character.FORMAT, Character.SURROGATE, Character.LINE_SEPARATOR,
                    Character.PARAGRAPH_SEPARATOR ->
                true;
            default -> false;
        };
    }

    private static void escape(StringBuilder out, char c) {
        out.append("\\u");
        for (int shift = 12; shift >= 0; shift -= 4) {
            out.append(Character.forDigit(c >> shift & 0xf, 16));
        }
    }
}
