package bellpush.drivers.link;

import bellpush.config.model.Framing;
import io.netty.buffer.ByteBuf;

/**
 * Messages that hold their own count of bytes. After a count that cannot be true there is no telling where the next one
 * stands, so the stream must be closed.
 */
final class LengthWithinFraming extends StreamFraming {
    private final Framing.LengthWithin within;
    private final int messageBytesMax;
    private final int headBytes;
    private final HeldBytes held;
    private long messageBytes;

    LengthWithinFraming(Framing.LengthWithin within, int messageBytesMax) {
        if (within.bytes() != 1 && within.bytes() != 2 && within.bytes() != 4) {
            throw new IllegalArgumentException("a count of " + within.bytes() + " bytes; 1, 2 and 4 are possible");
        }
        this.within = within;
        this.messageBytesMax = messageBytesMax;
        this.headBytes = within.at() + within.bytes();
        this.held = new HeldBytes(Math.max(messageBytesMax, headBytes));
    }

    @Override
    public void wrap(byte[] message, ByteBuf out) {
        if (message.length < headBytes || announced(message) != message.length) {
            throw new IllegalArgumentException("the message has " + message.length + " bytes, but "
                    + (message.length < headBytes
                            ? "its count must stand at byte " + within.at()
                            : "its count at byte " + within.at() + " says " + announced(message))
                    + "; the envelope or the template must write the count there, as {length}");
        }
        out.writeBytes(message);
    }

    /** Bytes of the whole message, by the count in it. */
    private long announced(byte[] message) {
        long count = 0;
        for (int i = 0; i < within.bytes(); i++) {
            int shift = 8 * (within.little() ? i : within.bytes() - 1 - i);
            count |= (message[within.at() + i] & 0xffL) << shift;
        }
        return count + within.uncounted() + (within.inclusive() ? 0 : headBytes);
    }

    @Override
    void cut(byte[] arrived, Sink sink) throws StreamBrokenException {
        for (byte b : arrived) {
            held.add(b);
            if (held.size() == headBytes) {
                messageBytes = announced(held.first(headBytes));
                judge();
            }
            if (held.size() >= headBytes && held.size() == messageBytes) {
                byte[] message = held.first(held.size());
                held.clear();
                sink.frame(message);
            }
        }
    }

    private void judge() throws StreamBrokenException {
        if (messageBytes < headBytes) {
            throw new StreamBrokenException("the device announced a message of " + messageBytes
                    + " bytes, but it has " + headBytes + " up to the end of its count");
        }
        if (messageBytes > messageBytesMax) {
            throw new StreamBrokenException("the device announced a message of " + messageBytes + " bytes; at most "
                    + messageBytesMax + " are taken");
        }
    }

    @Override
    public int heldBytes() {
        return held.size();
    }
}
