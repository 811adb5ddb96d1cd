package bellpush.config.wire;

import java.io.ByteArrayOutputStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/** Turns a template's text into parts. One use, one thread. */
final class TemplateReader {
    /** Longest template, in UTF-16 units. */
    static final int LONGEST = 4096;
    /** Most fields in one template. */
    static final int FIELDS = 64;

    final List<Part> parts = new ArrayList<>();
    final List<String> names = new ArrayList<>();
    final List<WireTemplate.Field> fields = new ArrayList<>();

    private final String template;
    private final boolean hexTemplate;
    private final Set<String> once = new HashSet<>();
    private final ByteArrayOutputStream literal = new ByteArrayOutputStream();
    private int at;

    // The half of a byte that has been read and waits for the other half, in hex templates.
    private boolean pending;
    private int pendingAt;
    private int pendingDigit;
    private Part.Slot pendingSlot;

    TemplateReader(String template, boolean hexTemplate) {
        this.template = template;
        this.hexTemplate = hexTemplate;
    }

    void read() {
        if (template.length() > LONGEST) {
            throw new TemplateException(LONGEST,
                    "the template has " + template.length() + " characters; the longest allowed is "
                            + LONGEST);
        }
        while (at < template.length()) {
            char c = template.charAt(at);
            if (c == '{' && !(twice(c) && !hexTemplate)) {
                field();
            } else if (hexTemplate) {
                digit(c);
            } else {
                character(c);
            }
        }
        if (pending) {
            throw oddDigit(pendingAt);
        }
        endLiteral();
        if (parts.isEmpty()) {
            throw new TemplateException(0,
                    "the template is empty; write what is sent or received, or leave the template out");
        }
    }

    private boolean twice(char c) {
        return at + 1 < template.length() && template.charAt(at + 1) == c;
    }

    private void character(char c) {
        if (c == '}' && !twice(c)) {
            throw new TemplateException(at, "} without a { before it; for a brace itself write }}");
        }
        int end = at + 1;
        if (Character.isHighSurrogate(c) && end < template.length() && Character.isLowSurrogate(template.charAt(end))) {
            end++;
        } else if (Character.isSurrogate(c)) {
            throw new TemplateException(at,
                    "half a character (an unpaired surrogate), which cannot be sent; remove it");
        }
        literal.writeBytes(template.substring(at, end).getBytes(StandardCharsets.UTF_8));
        at = c == '{' || c == '}' ? at + 2 : end;
    }

    private void digit(char c) {
        if (c == ' ' || c == '\t' || c == '\r' || c == '\n') {
            if (pending) {
                throw oddDigit(pendingAt);
            }
            at++;
            return;
        }
        int digit = c < 128 ? Character.digit(c, 16) : -1;
        if (digit < 0) {
            String found = c == '}'
                    ? "}"
                    : Character.isISOControl(c) || Character.isSurrogate(c) ? "an odd character" : "\"" + c + "\"";
            throw new TemplateException(at,
                    found + " is no hex digit; write digits 0 to 9 and a to f, spaces, "
                            + "and fields in braces, and text as its bytes");
        }
        half(digit, null, at);
        at++;
    }

    private void half(int digit, Part.Slot slot, int offset) {
        if (!pending) {
            pending = true;
            pendingAt = offset;
            pendingDigit = digit;
            pendingSlot = slot;
            return;
        }
        pending = false;
        if (pendingSlot == null && slot == null) {
            literal.write(pendingDigit << 4 | digit);
        } else {
            endLiteral();
            parts.add(new Part.Halves(pendingSlot, pendingDigit, slot, digit));
        }
    }

    private static TemplateException oddDigit(int offset) {
        return new TemplateException(offset,
                "half a byte: two hex digits make a byte, and a nibble field stands for one digit; "
                        + "add the other digit, such as a 0 before it");
    }

    private void endLiteral() {
        if (literal.size() > 0) {
            parts.add(new Part.Literal(literal.toByteArray()));
            literal.reset();
        }
    }

    private void field() {
        int open = at;
        int close = template.indexOf('}', open);
        if (close < 0 || template.substring(open + 1, close).indexOf('{') >= 0) {
            throw new TemplateException(open,
                    "{ without a } after it" + (hexTemplate
                            ? "; close the field"
                            : "; close the field, or for a "
                                    + "brace itself write {{"));
        }
        if (fields.size() == FIELDS) {
            throw new TemplateException(open, "more than " + FIELDS + " fields in one template; split the message");
        }
        String inside = template.substring(open + 1, close);
        int colon = inside.indexOf(':');
        String name = colon < 0 ? inside : inside.substring(0, colon);
        String word = colon < 0 ? "" : inside.substring(colon + 1);
        int wordAt = colon < 0 ? open : open + colon + 2;
        if (!goodName(name)) {
            throw new TemplateException(open + 1, name.isEmpty()
                    ? "a field without a name; write for example {value"
                            + (hexTemplate ? ":u8}" : "}")
                    : "\"" + name
                            + "\" is no name of a field; names are letters and digits, with dots or hyphens between");
        }
        if (colon >= 0 && word.isEmpty()) {
            throw new TemplateException(wordAt, "nothing after the colon; write a format, such as "
                    + (hexTemplate ? "u8" : "dec3") + (hexTemplate ? "" : ", or leave the colon out"));
        }
        at = close + 1;
        add(name, word, open, wordAt);
    }

    private void add(String name, String word, int open, int wordAt) {
        if (Set.of("body", "length", "sequence").contains(name) && !once.add(name)) {
            throw new TemplateException(open, "{" + name + "} can stand only once in a template; remove the second");
        }
        switch (name) {
            case "body" -> {
                if (!word.isEmpty()) {
                    throw new TemplateException(wordAt, "{body} takes no format: it is the message as it is");
                }
                part(new Part.Body(open), name, new Format.Body(), open);
            }
            case "check" -> {
                Format.Check format = FormatWords.check(word, hexTemplate, wordAt);
                int certain = certainBytes();
                if (certain >= 0 && format.from() > certain) {
                    throw new TemplateException(wordAt,
                            "the checksum cannot begin at byte " + format.from() + ": only " + certain
                                    + " bytes stand before it, and the first is byte 0");
                }
                part(new Part.Check(format, open), name, format, open);
            }
            case "length" -> {
                int sign = Math.max(word.indexOf('+'), word.indexOf('-'));
                Format format = counter(name, sign < 0 ? word : word.substring(0, sign), open, wordAt);
                part(new Part.Length(format, sign < 0 ? 0 : plus(word.substring(sign), wordAt + sign), open), name,
                        format, open);
            }
            case "sequence" -> slot(name, counter(name, word, open, wordAt), open);
            default -> {
                if (word.isEmpty() && hexTemplate && !name.equals("any")) {
                    throw new TemplateException(open,
                            "{" + name + "} needs a format in a hex template; write for example {" + name
                                    + ":u8} for one byte or {" + name + ":text} for text");
                }
                slot(name, word.isEmpty() ? new Format.Plain() : FormatWords.read(word, hexTemplate, wordAt), open);
            }
        }
    }

    /** The format of a field that counts: unsigned whole numbers. */
    private Format counter(String name, String word, int open, int wordAt) {
        if (word.isEmpty() && !hexTemplate) {
            return new Format.Digits();
        }
        if (word.isEmpty()) {
            throw new TemplateException(open,
                    "{" + name + "} needs a format in a hex template; write for example {" + name + ":u16}");
        }
        Format format = FormatWords.read(word, hexTemplate, wordAt);
        if (!format.whole() || format.min() < 0 && !(format instanceof Format.Dec)
                || name.equals("length") && format.width() == 0) {
            throw new TemplateException(wordAt,
                    "{" + name + "} cannot be \"" + word + "\": it counts up from 0 in whole bytes; write "
                            + "for example {" + name + (hexTemplate ? ":u16}" : ":dec4}"));
        }
        return format;
    }

    private static int plus(String signed, int offset) {
        String count = signed.substring(1);
        if (count.isEmpty() || count.length() > 3 || !count.chars().allMatch(c -> c >= '0' && c <= '9')) {
            throw new TemplateException(offset,
                    "\"" + signed + "\": after + or - stands how many bytes more or less are counted than "
                            + "follow, up to 999; write for example {length:u16-4}");
        }
        return signed.charAt(0) == '-' ? -Integer.parseInt(count) : Integer.parseInt(count);
    }

    private void slot(String name, Format format, int open) {
        int index = -1;
        if (!name.equals("any")) {
            index = names.indexOf(name);
            if (index < 0) {
                index = names.size();
                names.add(name);
            }
        }
        Part.Slot slot = new Part.Slot(name, index, format, open);
        if (format.width() == 0) { // it shares its byte
            fields.add(new WireTemplate.Field(name, format, open));
            half(0, slot, open);
        } else {
            part(slot, name, format, open);
        }
    }

    private void part(Part part, String name, Format format, int open) {
        if (pending) {
            throw oddDigit(pendingAt);
        }
        endLiteral();
        parts.add(part);
        fields.add(new WireTemplate.Field(name, format, open));
    }

    /** How many bytes stand before here, or -1 if that depends on values. */
    private int certainBytes() {
        int sum = literal.size();
        for (Part p : parts) {
            if (p.width() < 0) {
                return -1;
            }
            sum += p.width();
        }
        return sum;
    }

    private static boolean goodName(String name) {
        boolean letterOrDigitBefore = false;
        for (int i = 0; i < name.length(); i++) {
            char c = name.charAt(i);
            boolean good = c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9';
            if (!good && !(letterOrDigitBefore && (c == '.' || c == '-' || c == '_'))) {
                return false;
            }
            letterOrDigitBefore = good;
        }
        return letterOrDigitBefore && !Character.isDigit(name.charAt(0));
    }
}
