package bellpush.runtime.log;

import bellpush.runtime.core.Event;
import java.io.ByteArrayOutputStream;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Map;
import tools.jackson.core.JsonGenerator;
import tools.jackson.core.ObjectWriteContext;
import tools.jackson.core.json.JsonFactory;

/**
 * One event as one line of JSON: {@code seq}, {@code wall} (UTC, milliseconds, ISO 8601), {@code mono} (nanoseconds),
 * {@code press} if a press caused it, {@code what}, then the event's own details.
 */
final class EventLine {
    /** Longer lines are cut down to their head and the word {@code cut}, so that one event cannot fill a disk. */
    static final int BYTES_MAX = 65_536;

    private static final DateTimeFormatter WALL = DateTimeFormatter.ofPattern("uuuu-MM-dd'T'HH:mm:ss.SSS'Z'")
            .withZone(ZoneOffset.UTC);
    private static final int DEPTH_MAX = 16;

    private final JsonFactory json = new JsonFactory();

    /** The line as UTF-8 with its line feed. */
    byte[] of(long seq, Instant wall, Event event) {
        byte[] line = write(seq, wall, event, event.details());
        return line.length <= BYTES_MAX ? line : write(seq, wall, event, Map.of("cut", (long) line.length));
    }

    private byte[] write(long seq, Instant wall, Event event, Map<String, Object> details) {
        ByteArrayOutputStream bytes = new ByteArrayOutputStream(256);
        try (JsonGenerator out = json.createGenerator(ObjectWriteContext.empty(), bytes)) {
            out.writeStartObject();
            out.writeNumberProperty("seq", seq);
            out.writeStringProperty("wall", WALL.format(wall));
            out.writeNumberProperty("mono", event.at());
            if (!event.press().isEmpty()) {
                text(out, "press", event.press());
            }
            text(out, "what", event.what());
            details.forEach((name, value) -> {
                out.writeName(name);
                value(out, value, 0);
            });
            out.writeEndObject();
            out.writeRaw('\n');
        }
        return bytes.toByteArray();
    }

    private static void text(JsonGenerator out, String name, String text) {
        out.writeName(name);
        out.writeRawValue(JsonText.quoted(text));
    }

    private static void value(JsonGenerator out, Object value, int depth) {
        switch (value) {
            case null -> out.writeNull();
            case Boolean flag -> out.writeBoolean(flag);
            case Integer whole -> out.writeNumber(whole);
            case Long whole -> out.writeNumber(whole);
            case Double number when Double.isFinite(number) -> out.writeNumber(number);
            case List<?> list when depth < DEPTH_MAX -> {
                out.writeStartArray();
                list.forEach(element -> value(out, element, depth + 1));
                out.writeEndArray();
            }
            case Map<?, ?> map when depth < DEPTH_MAX -> {
                out.writeStartObject();
                map.forEach((name, element) -> {
                    out.writeName(String.valueOf(name));
                    value(out, element, depth + 1);
                });
                out.writeEndObject();
            }
            default -> out.writeRawValue(JsonText.quoted(String.valueOf(value)));
        }
    }
}
