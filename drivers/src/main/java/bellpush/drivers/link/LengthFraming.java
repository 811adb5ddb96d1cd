package bellpush.drivers.link;

import bellpush.config.model.Framing;
import io.netty.buffer.ByteBuf;

/**
 * Messages behind a count of their bytes. After a count that cannot be true there is no telling where the next one stands,
 * so the stream must be closed.
 */
final class LengthFraming extends StreamFraming {
    private final Framing.LengthPrefix prefix;
    private final int messageBytesMax;
    private final HeldBytes held;
    private long messageBytes;
    private int countBytesSeen;

    LengthFraming(Framing.LengthPrefix prefix, int messageBytesMax) {
        if (prefix.bytes() != 1 && prefix.bytes() != 2 && prefix.bytes() != 4) {
            throw new IllegalArgumentException("a count of " + prefix.bytes() + " bytes; 1, 2 and 4 are possible");
        }
        this.prefix = prefix;
        this.messageBytesMax = messageBytesMax;
        this.held = new HeldBytes(messageBytesMax);
    }

    @Override
    public void wrap(byte[] message, ByteBuf out) {
        long count = message.length + (prefix.inclusive() ? prefix.bytes() : 0);
        long most = (1L << (8 * prefix.bytes())) - 1;
        if (count > most) {
            throw new IllegalArgumentException(
                    "the message has " + message.length + " bytes, but its length must fit in "
                            + prefix.bytes() + (prefix.bytes() == 1 ? " byte" : " bytes") + " (at most " + most + ")");
        }
        for (int i = 0; i < prefix.bytes(); i++) {
            out.writeByte((int) (count >>> shift(i)));
        }
        out.writeBytes(message);
    }

    private int shift(int index) {
        return 8 * (prefix.little() ? index : prefix.bytes() - 1 - index);
    }

    @Override
    void cut(byte[] arrived, Sink sink) throws StreamBrokenException {
        for (byte b : arrived) {
            if (countBytesSeen < prefix.bytes()) {
                messageBytes |= (b & 0xffL) << shift(countBytesSeen++);
                if (countBytesSeen == prefix.bytes()) {
                    judgeCount();
                }
            } else {
                held.add(b);
            }
            if (countBytesSeen == prefix.bytes() && held.size() == messageBytes) {
                byte[] message = held.first(held.size());
                held.clear();
                countBytesSeen = 0;
                messageBytes = 0;
                sink.frame(message);
            }
        }
    }

    private void judgeCount() throws StreamBrokenException {
        long counted = messageBytes;
        messageBytes -= prefix.inclusive() ? prefix.bytes() : 0;
        if (messageBytes < 0) {
            throw new StreamBrokenException("the device announced a message of " + counted
                    + " bytes, but the count alone has " + prefix.bytes());
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
