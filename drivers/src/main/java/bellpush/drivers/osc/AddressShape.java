package bellpush.drivers.osc;

import bellpush.config.model.Value;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.stream.Stream;

/**
 * The address of an OSC template, with fields such as {@code /channel/{number:dec2}/mute}. A field is a whole part of the
 * address or a piece of a part; {@code :decN} writes and reads exactly N digits. {@code {{} and {@code }}} are literal braces.
 * What a field reads is text; {@code decN}, and the field {@code sequence}, read numbers.
 */
final class AddressShape {
    private static final int DIGITS_MAX = 9;

    /** Pieces of each part between slashes; the part before the first slash, always empty, is left out. */
    private final List<List<Piece>> parts;
    /** The whole address if it has no fields, else empty. */
    private final String literal;
    private final boolean literalIsPattern;

    private AddressShape(List<List<Piece>> parts) {
        this.parts = parts;
        boolean fixed = parts.stream().flatMap(List::stream).allMatch(Text.class::isInstance);
        this.literal = fixed ? written(Map.of()) : "";
        this.literalIsPattern = OscAddressPattern.isPattern(literal);
    }

    /** @throws IllegalArgumentException if the address is none; the message is for people */
    static AddressShape of(String template) {
        if (!template.startsWith("/")) {
            throw new IllegalArgumentException("an OSC address begins with /, unlike \"" + template + "\"");
        }
        List<List<Piece>> parts = new ArrayList<>();
        for (String part : split(template)) {
            parts.add(pieces(part, template));
        }
        AddressShape shape = new AddressShape(List.copyOf(parts));
        if (!shape.literal.isEmpty()) {
            OscEncoder.size(new OscMessage(shape.literal, List.of())); // says what is wrong with it
        }
        return shape;
    }

    boolean hasFields() {
        return literal.isEmpty();
    }

    Stream<String> fields() {
        return parts.stream().flatMap(List::stream).mapMulti((piece, out) -> {
            if (piece instanceof Field(String name, int _)) {
                out.accept(name);
            }
        });
    }

    /** @throws IllegalArgumentException if a field has no value, or one that cannot stand in an address */
    String encode(Map<String, Value> fields) {
        return hasFields() ? written(fields) : literal;
    }

    private String written(Map<String, Value> fields) {
        StringBuilder out = new StringBuilder();
        for (List<Piece> part : parts) {
            out.append('/');
            for (Piece piece : part) {
                piece.write(fields, out);
            }
        }
        return out.toString();
    }

    /** Whether a received address means this one; puts the fields' values into {@code values}. */
    boolean match(ReceivedAddress received, Map<String, Value> values) {
        if (!hasFields()) {
            return literal.equals(received.text()) || !literalIsPattern && received.means(literal);
        }
        List<String> theirs = received.parts();
        if (theirs.size() != parts.size()) {
            return false;
        }
        for (int i = 0; i < theirs.size(); i++) {
            if (!match(parts.get(i), theirs.get(i), values)) {
                return false;
            }
        }
        return true;
    }

    private static boolean match(List<Piece> part, String theirs, Map<String, Value> values) {
        if (OscAddressPattern.isPattern(theirs)) { // a pattern may stand for what is fixed, but it tells no field's value
            return part.size() == 1 && part.getFirst() instanceof Text(String text)
                    && OscAddressPattern.of(theirs).filter(p -> p.matches(text)).isPresent();
        }
        int at = 0;
        for (int i = 0; i < part.size(); i++) {
            String until = i + 1 < part.size() && part.get(i + 1) instanceof Text(String text) ? text : "";
            at = part.get(i).read(theirs, at, until, values);
            if (at < 0) {
                return false;
            }
        }
        return at == theirs.length();
    }

    /** Whether a field that was read twice was read the same. */
    static boolean agree(Value before, Value now) {
        return before == null || before.equals(now);
    }

    static List<String> split(String address) {
        return List.of(address.substring(1).split("/", -1));
    }

    private static List<Piece> pieces(String part, String template) {
        List<Piece> pieces = new ArrayList<>();
        StringBuilder text = new StringBuilder();
        for (int i = 0; i < part.length(); i++) {
            char c = part.charAt(i);
            if ((c == '{' || c == '}') && i + 1 < part.length() && part.charAt(i + 1) == c) {
                text.append(c);
                i++;
            } else if (c == '{') {
                int close = part.indexOf('}', i);
                if (close < 0) {
                    throw new IllegalArgumentException(
                            "the { in " + template + " is never closed; a literal { is written {{");
                }
                if (!text.isEmpty()) {
                    pieces.add(new Text(text.toString()));
                    text.setLength(0);
                }
                pieces.add(Field.of(part.substring(i + 1, close), template));
                i = close;
            } else if (c == '}') {
                throw new IllegalArgumentException("a } without { in " + template + "; a literal } is written }}");
            } else {
                text.append(c);
            }
        }
        if (!text.isEmpty()) {
            pieces.add(new Text(text.toString()));
        }
        for (int i = 1; i < pieces.size(); i++) {
            if (pieces.get(i) instanceof Field && pieces.get(i - 1) instanceof Field f && f.digits == 0) {
                throw new IllegalArgumentException("in " + template
                        + " two fields stand side by side, so that nobody can tell "
                        + "where the first ends; put something between them, or give the first a width such as {"
                        + f.name + ":dec2}");
            }
        }
        return List.copyOf(pieces);
    }

    private sealed interface Piece {
        void write(Map<String, Value> fields, StringBuilder out);

        /** Where the piece ends that begins at {@code at}, or -1 if it does not fit. {@code until}: the text that follows it. */
        int read(String part, int at, String until, Map<String, Value> values);
    }

    private record Text(String text) implements Piece {
        @Override
        public void write(Map<String, Value> fields, StringBuilder out) {
            out.append(text);
        }

        @Override
        public int read(String part, int at, String until, Map<String, Value> values) {
            return part.startsWith(text, at) ? at + text.length() : -1;
        }
    }

    /** {@code digits} is 0 for a field of any length. */
    private record Field(String name, int digits) implements Piece {
        static Field of(String field, String template) {
            int colon = field.indexOf(':');
            String name = colon < 0 ? field : field.substring(0, colon);
            String format = colon < 0 ? "" : field.substring(colon + 1);
            if (name.isEmpty()) {
                throw new IllegalArgumentException("a field without a name in " + template);
            }
            if (!format.isEmpty() && !format.matches("dec[1-" + DIGITS_MAX + "]") || colon >= 0 && format.isEmpty()) {
                throw new IllegalArgumentException("in an OSC address a field is {" + name + "} or {" + name
                        + ":decN} with N digits, 1 to " + DIGITS_MAX + ", not {" + field + "}");
            }
            return new Field(name, format.isEmpty() ? 0 : format.charAt(3) - '0');
        }

        @Override
        public void write(Map<String, Value> fields, StringBuilder out) {
            Value value = name.equals("any") ? Value.of(1) : fields.get(name);
            if (value == null) {
                throw new IllegalArgumentException("the field {" + name + "} of an OSC address has no value");
            }
            String text = value.toString();
            if (digits > 0) {
                if (!text.matches("\\d{1," + digits + "}")) {
                    throw new IllegalArgumentException("{" + name + ":dec" + digits + "} cannot be \""
                            + OscText.shown(text, 60) + "\": not " + digits + " digits");
                }
                text = "0".repeat(digits - text.length()) + text;
            }
            if (text.isEmpty() || !text.chars().allMatch(c -> c > ' ' && c <= '~' && "#*,/?[]{}".indexOf(c) < 0)) {
                throw new IllegalArgumentException("{" + name + "} cannot be \"" + OscText.shown(text, 60)
                        + "\": a part of an OSC address is printable ASCII without space # * , / ? [ ] { }");
            }
            out.append(text);
        }

        @Override
        public int read(String part, int at, String until, Map<String, Value> values) {
            int end = digits > 0 ? at + digits : until.isEmpty() ? part.length() : part.indexOf(until, at + 1);
            if (end <= at || end > part.length()) {
                return -1;
            }
            String text = part.substring(at, end);
            boolean number = text.length() <= DIGITS_MAX && text.chars().allMatch(c -> c >= '0' && c <= '9');
            if (digits > 0 && !number) {
                return -1;
            }
            Value value = number && (digits > 0 || name.equals("sequence"))
                    ? Value.of(Integer.parseInt(text))
                    : Value.of(text);
            return name.equals("any") || agree(values.put(name, value), value) ? end : -1;
        }
    }
}
