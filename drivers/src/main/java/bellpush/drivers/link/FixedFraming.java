package bellpush.drivers.link;

import io.netty.buffer.ByteBuf;

/** Messages that all have the same length. */
final class FixedFraming extends StreamFraming {
    private final int messageBytes;
    private final HeldBytes held;

    FixedFraming(int messageBytes, int messageBytesMax) {
        if (messageBytes < 1 || messageBytes > messageBytesMax) {
            throw new IllegalArgumentException("messages of " + messageBytes
                    + " bytes are outside of what is taken from a device, 1 to " + messageBytesMax);
        }
        this.messageBytes = messageBytes;
        this.held = new HeldBytes(messageBytes);
    }

    @Override
    public void wrap(byte[] message, ByteBuf out) {
        if (message.length != messageBytes) {
            throw new IllegalArgumentException(
                    "the message has " + message.length + " bytes, but this device's messages have " + messageBytes);
        }
        out.writeBytes(message);
    }

    @Override
    void cut(byte[] arrived, Sink sink) {
        for (byte b : arrived) {
            held.add(b);
            if (held.size() == messageBytes) {
                byte[] message = held.first(messageBytes);
                held.clear();
                sink.frame(message);
            }
        }
    }

    @Override
    public int heldBytes() {
        return held.size();
    }
}
