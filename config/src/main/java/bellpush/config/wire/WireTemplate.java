package bellpush.config.wire;

import bellpush.config.model.PropertyType;
import bellpush.config.model.Value;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;

/**
 * A compiled text or hex template: makes messages and recognises them. Immutable, for any thread. The message is that of
 * the protocol, without what a stream puts around it (framing).
 *
 * <p>Matching looks at each byte a bounded number of times, whatever arrives: a field without a fixed width ends at the
 * first place where the literal after it stands, or, if no other such field follows, as far from the message's end as the
 * rest of the template is wide. Encoding refuses a value in which that literal would stand too early, so what is sent
 * can be read back.
 */
public final class WireTemplate {
    /**
     * A field as written; the same name may come twice.
     *
     * @param offset where its opening brace stands in the template, in UTF-16 units from 0
     */
    public record Field(String name, Format format, int offset) {}

    /** What an envelope held: the message, and the envelope's own fields ({@code sequence}). */
    public record Unwrapped(byte[] body, Map<String, Value> fields) {}

    /**
     * Why a template and the types of its fields cannot work together.
     *
     * @param offset where the field stands in the template, in UTF-16 units from 0
     * @param words  what was found, why it matters and the cure, for people
     */
    public record Disagreement(int offset, String words) {}

    private static final Optional<Map<String, Value>> NO_FIELDS = Optional.of(Map.of());

    private static final java.util.HexFormat HEX = java.util.HexFormat.ofDelimiter(" ");

    private final String source;
    private final List<Field> fields;
    private final String[] names;
    private final Part[] parts;
    /** For a part without fixed width: the part whose literal ends it, -1 if it is measured from the end, -2 if nothing tells. */
    private final int[] endedBy;
    /** For a part without fixed width: the bytes between its end and that literal, or those to the message's end. */
    private final int[] distance;
    private final int expected;
    private final boolean finishing;
    private final boolean body;

    private WireTemplate(String source, TemplateReader reader) {
        this.source = source;
        fields = List.copyOf(reader.fields);
        names = reader.names.toArray(String[]::new);
        parts = reader.parts.toArray(Part[]::new);
        endedBy = new int[parts.length];
        distance = new int[parts.length];
        int size = 0;
        boolean finish = false;
        for (int i = 0; i < parts.length; i++) {
            size += parts[i].width() < 0 ? 12 : parts[i].width();
            finish |= parts[i] instanceof Part.Length || parts[i] instanceof Part.Check;
            if (parts[i].width() < 0) {
                measure(i);
                finish |= endedBy[i] >= 0;
            }
        }
        expected = size;
        finishing = finish;
        body = fields.stream().anyMatch(f -> f.format() instanceof Format.Body);
    }

    private void measure(int i) {
        int sum = 0;
        for (int j = i + 1; j < parts.length; j++) {
            if (parts[j].width() < 0) {
                firstLiteral(i, j);
                return;
            }
            sum += parts[j].width();
        }
        endedBy[i] = -1;
        distance[i] = sum;
    }

    private void firstLiteral(int i, int end) {
        int sum = 0;
        for (int j = i + 1; j < end; j++) {
            if (parts[j] instanceof Part.Literal) {
                endedBy[i] = j;
                distance[i] = sum;
                return;
            }
            sum += parts[j].width();
        }
        endedBy[i] = -2;
    }

    /**
     * Compiles a text template.
     *
     * @throws TemplateException with the place and the cure if it makes no sense
     */
    public static WireTemplate text(String template) {
        return compile(template, false);
    }

    /**
     * Compiles a hex template.
     *
     * @throws TemplateException with the place and the cure if it makes no sense
     */
    public static WireTemplate hex(String template) {
        return compile(template, true);
    }

    private static WireTemplate compile(String template, boolean hexTemplate) {
        TemplateReader reader = new TemplateReader(template, hexTemplate);
        reader.read();
        return new WireTemplate(template, reader);
    }

    /** The fields in the order written, reserved ones among them. */
    public List<Field> fields() {
        return fields;
    }

    /**
     * The message.
     *
     * @param wireValues by field name, {@code sequence} among them; more names than needed do no harm
     * @throws IllegalArgumentException if a value is missing or does not fit; the message is for people
     */
    public byte[] encode(Map<String, Value> wireValues) {
        return write(null, wireValues);
    }

    /**
     * A message in this envelope.
     *
     * @throws IllegalArgumentException as {@link #encode}, and if this template has no {@code body}
     */
    public byte[] wrap(byte[] message, Map<String, Value> wireValues) {
        if (!body) {
            throw new IllegalArgumentException("this template has no {body} and can wrap nothing");
        }
        return write(message, wireValues);
    }

    private byte[] write(byte[] message, Map<String, Value> values) {
        Out out = new Out(message == null ? expected : expected + message.length);
        int[] starts = finishing ? new int[parts.length + 1] : null;
        for (int i = 0; i < parts.length; i++) {
            if (finishing) {
                starts[i] = out.size();
            }
            if (message != null && parts[i] instanceof Part.Body) {
                out.put(message);
            } else {
                parts[i].write(out, values);
            }
        }
        if (finishing) {
            starts[parts.length] = out.size();
            finish(out, starts);
        }
        return out.bytes();
    }

    /** Lengths first, since checksums may cover them; then what can be checked only in the finished message. */
    private void finish(Out out, int[] starts) {
        for (int i = 0; i < parts.length; i++) {
            if (parts[i] instanceof Part.Length length) {
                byte[] digits = length.of(out.size() - starts[i + 1]);
                if (length.width() >= 0) {
                    out.over(starts[i], digits);
                } else {
                    out.insert(starts[i], digits);
                    for (int j = i + 1; j < starts.length; j++) {
                        starts[j] += digits.length;
                    }
                }
            }
        }
        for (int i = 0; i < parts.length; i++) {
            if (parts[i] instanceof Part.Check check) {
                out.over(starts[i], check.over(out.raw(), starts[i]));
            }
        }
        for (int i = 0; i < parts.length; i++) {
            if (parts[i].width() < 0 && endedBy[i] >= 0) {
                byte[] literal = ((Part.Literal) parts[endedBy[i]]).bytes();
                int found = find(literal, out.raw(), starts[i] + distance[i], out.size());
                if (found != starts[i + 1] + distance[i]) {
                    throw new IllegalArgumentException(
                            "field {" + nameOf(parts[i]) + "}: the value holds what ends this field in the "
                                    + "message (" + shown(literal) + "), so it would be read as something else");
                }
            }
        }
    }

    private static String nameOf(Part part) {
        return switch (part) {
            case Part.Slot s -> s.name();
            case Part.Body _ -> "body";
            default -> "length";
        };
    }

    private static String shown(byte[] literal) {
        StringBuilder text = new StringBuilder();
        boolean printable = true;
        for (byte b : literal) {
            printable &= b >= 0x20 && b < 0x7f;
            text.append(String.format("%02x ", b));
        }
        return printable
                ? "\"" + new String(literal, java.nio.charset.StandardCharsets.US_ASCII) + "\""
                : text.toString().strip();
    }

    /** The wire values of the fields if the message fits, {@code sequence} among them, else empty. Never throws. */
    public Optional<Map<String, Value>> match(byte[] message) {
        if (body) {
            return Optional.empty();
        }
        Reading reading = read(message);
        return reading == null ? Optional.empty() : found(reading);
    }

    /** The message in an envelope, and the envelope's own fields; empty if this is no such envelope. Never throws. */
    public Optional<Unwrapped> unwrap(byte[] message) {
        Reading reading = body ? read(message) : null;
        return reading == null ? Optional.empty() : found(reading).map(f -> new Unwrapped(reading.body, f));
    }

    /**
     * The words for people if nothing but checksums keeps this message from fitting: which stands there, and which this
     * template makes. For the one who wrote the template, since the checksum may cover other bytes than the device means.
     */
    public Optional<String> wrongCheck(byte[] message) {
        Reading reading = new Reading(message, names.length);
        String wrong = null;
        int at = 0;
        for (int i = 0; i < parts.length; i++) {
            int width = parts[i].width();
            int end = width >= 0 ? at + width : endOf(i, message, at);
            if (end < at || end > message.length) {
                return Optional.empty();
            }
            if (!parts[i].read(reading, at, end)) {
                if (!(parts[i] instanceof Part.Check check) || check.format().from() > at) {
                    return Optional.empty();
                }
                wrong = "its checksum is " + HEX.formatHex(message, at, end) + ", and " + check.format().kind().word()
                        + " over bytes " + check.format().from() + " to " + (at - 1) + " is "
                        + HEX.formatHex(check.over(message, at));
            }
            at = end;
        }
        return at == message.length ? Optional.ofNullable(wrong) : Optional.empty();
    }

    private Optional<Map<String, Value>> found(Reading reading) {
        if (names.length == 0) {
            return NO_FIELDS;
        }
        if (names.length == 1) {
            return Optional.of(Map.of(names[0], reading.get(0)));
        }
        Map<String, Value> values = LinkedHashMap.newLinkedHashMap(names.length);
        for (int i = 0; i < names.length; i++) {
            values.put(names[i], reading.get(i));
        }
        return Optional.of(values);
    }

    private Reading read(byte[] message) {
        if (parts[0] instanceof Part.Literal first && !startsWith(message, first.bytes())) {
            return null; // most messages are not this template's: say so before anything is allocated
        }
        Reading reading = new Reading(message, names.length);
        int at = 0;
        for (int i = 0; i < parts.length; i++) {
            int width = parts[i].width();
            int end = width >= 0 ? at + width : endOf(i, message, at);
            if (end < at || end > message.length || !parts[i].read(reading, at, end)) {
                return null;
            }
            at = end;
        }
        return at == message.length && reading.complete() ? reading : null;
    }

    private int endOf(int i, byte[] message, int at) {
        return switch (endedBy[i]) {
            case -2 -> -1;
            case -1 -> message.length - distance[i];
            default -> {
                int found = find(((Part.Literal) parts[endedBy[i]]).bytes(), message, at + distance[i], message.length);
                yield found < 0 ? -1 : found - distance[i];
            }
        };
    }

    private static boolean startsWith(byte[] message, byte[] literal) {
        if (message.length < literal.length) {
            return false;
        }
        for (int i = 0; i < literal.length; i++) {
            if (message[i] != literal[i]) {
                return false;
            }
        }
        return true;
    }

    /** Where {@code literal} first stands in bytes [from, to), or -1. */
    private static int find(byte[] literal, byte[] in, int from, int to) {
        outer : for (int i = from; i <= to - literal.length; i++) {
            for (int j = 0; j < literal.length; j++) {
                if (in[i + j] != literal[j]) {
                    continue outer;
                }
            }
            return i;
        }
        return -1;
    }

    /**
     * Where this template, as a message of a kind, and the types of its fields cannot agree. Empty if all is well.
     *
     * @param typeOfField the type of a property, an argument or {@code value} by name; empty if there is none of that name.
     *                    {@code value} has a type only where the template must carry the property's value (set, answer,
     *                    report), not in an ask
     */
    public List<Disagreement> disagreements(Function<String, Optional<PropertyType>> typeOfField) {
        return new Disagreements(fields, typeOfField).ofMessage(ambiguous());
    }

    /** What keeps this template from being an envelope. Empty if all is well. */
    public List<Disagreement> envelopeDisagreements() {
        return new Disagreements(fields, _ -> Optional.empty()).ofEnvelope(ambiguous());
    }

    /** Index in {@link #fields()} of the first field whose end nothing marks, or -1. */
    private int ambiguous() {
        int field = 0;
        for (int i = 0; i < parts.length; i++) {
            if (parts[i].width() < 0 && endedBy[i] == -2) {
                return field;
            }
            field += switch (parts[i]) {
                case Part.Literal _ -> 0;
                case Part.Halves h -> h.highSlot() != null && h.lowSlot() != null ? 2 : 1;
                default -> 1;
            };
        }
        return -1;
    }

    /** The template as written. */
    @Override
    public String toString() {
        return source;
    }
}
