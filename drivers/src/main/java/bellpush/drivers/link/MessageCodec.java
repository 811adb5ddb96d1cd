package bellpush.drivers.link;

import bellpush.config.model.Template;
import bellpush.config.model.Value;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * How the messages of one kind look on the wire. {@code F} is one message: bytes for tcp and udp, an OSC message for osc.
 * One codec belongs to one link or one simulated device and is used on that one's event loop only.
 */
public interface MessageCodec<F> {
    /**
     * The message of a template.
     *
     * @param fields wire values by field name; {@code sequence} is among them where the template has it
     * @throws IllegalArgumentException if a field has no value or its value does not fit; the message is for people
     */
    F encode(Template template, Map<String, Value> fields);

    /** The wire values of the template's fields if the message fits it, else empty. Never throws, whatever the message. */
    Optional<Map<String, Value>> match(Template template, F message);

    /** The bytes of one message, without the framing of the stream. */
    byte[] format(F message);

    /** The messages in one frame or datagram. A frame that makes no sense throws. */
    List<Arrival<F>> parse(byte[] frame) throws MalformedMessageException;

    /** The message for a log: printable, shortened to 400 characters. */
    String show(F message);

    /** A message, and how long to hold it back, in nanoseconds (an OSC time tag in the future); 0 for now. */
    record Arrival<F>(F message, long delayNanos) {}
}
