package bellpush.drivers.link;

import bellpush.config.model.Framing;
import io.netty.buffer.ByteBuf;

/**
 * Tells one message from the next on a byte stream, in both directions. One instance belongs to one connection. It never
 * holds more than the longest message allowed (and room to grow into): a longer one is dropped, said once, and the stream
 * is picked up again behind it where the framing makes that possible.
 */
public abstract sealed class StreamFraming permits DelimiterFraming, LengthFraming, LengthWithinFraming,
        FixedFraming, SlipFraming {
    /** Where cut messages go. */
    public interface Sink {
        void frame(byte[] message);

        /** Part of the stream was thrown away. {@code why} is for people. */
        void dropped(String why);
    }

    /**
     * @param messageBytesMax the longest message taken from the other end
     * @throws IllegalArgumentException for {@link Framing.None}: a stream needs a framing
     */
    public static StreamFraming of(Framing framing, int messageBytesMax) {
        return switch (framing) {
            case Framing.Delimiter d -> new DelimiterFraming(d.bytes(), messageBytesMax);
            case Framing.LengthPrefix p -> new LengthFraming(p, messageBytesMax);
            case Framing.LengthWithin w -> new LengthWithinFraming(w, messageBytesMax);
            case Framing.Fixed f -> new FixedFraming(f.bytes(), messageBytesMax);
            case Framing.Slip _ -> new SlipFraming(messageBytesMax);
            case Framing.None _ -> throw new IllegalArgumentException(
                    "a byte stream needs a \"framing\", for without it nobody can tell where a message ends");
        };
    }

    /**
     * Appends the message as it goes on the wire.
     *
     * @throws IllegalArgumentException if this framing cannot carry the message; nothing has been appended
     */
    public abstract void wrap(byte[] message, ByteBuf out);

    /**
     * Takes everything readable and hands out the messages that are complete now.
     *
     * @throws StreamBrokenException if the stream cannot be followed any more and must be closed
     */
    public final void cut(ByteBuf in, Sink sink) throws StreamBrokenException {
        byte[] arrived = new byte[in.readableBytes()]; // a buffer checks its bounds and its owner for every byte read from it
        in.readBytes(arrived);
        cut(arrived, sink);
    }

    abstract void cut(byte[] arrived, Sink sink) throws StreamBrokenException;

    /** Bytes held back until their message is complete. */
    public abstract int heldBytes();

    static String tooLong(int messageBytesMax) {
        return "a message longer than " + messageBytesMax + " bytes was dropped";
    }
}
