package bellpush.config.model;

/** How one message is told from the next on a byte stream. Datagrams need none. */
public sealed interface Framing {
    /** Every message ends with these bytes, which are not part of it. Written {@code { "endsWith": "\r\n" }}, or hex. */
    record Delimiter(byte[] bytes) implements Framing {}

    /**
     * A count of {@code bytes} (1, 2 or 4) before each message.
     *
     * @param little   the count's low byte comes first
     * @param inclusive the count includes itself
     */
    record LengthPrefix(int bytes, boolean little, boolean inclusive) implements Framing {}

    /**
     * A count of {@code bytes} (1, 2 or 4) within each message, which is a part of it: templates write it as
     * {@code {length}}, so that a checksum may cover it and bytes may stand before it.
     *
     * @param at        bytes before the count
     * @param little    the count's low byte comes first
     * @param inclusive the count is that of the whole message, else of the bytes after the count
     * @param uncounted bytes at the message's end that the count leaves out
     */
    record LengthWithin(int at, int bytes, boolean little, boolean inclusive, int uncounted) implements Framing {}

    /** Every message has this many bytes. */
    record Fixed(int bytes) implements Framing {}

    /** RFC 1055, with END before and after each message. */
    record Slip() implements Framing {}

    /** Datagrams: the packet is the message. */
    record None() implements Framing {}
}
