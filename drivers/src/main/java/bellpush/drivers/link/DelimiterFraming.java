package bellpush.drivers.link;

import io.netty.buffer.ByteBuf;
import java.util.Arrays;

/** Messages that end with certain bytes. Empty messages are passed over: many devices end a line more than once. */
final class DelimiterFraming extends StreamFraming {
    private final byte[] end;
    private final int messageBytesMax;
    private final HeldBytes held;
    private boolean dropping;

    DelimiterFraming(byte[] end, int messageBytesMax) {
        if (end.length == 0) {
            throw new IllegalArgumentException("a message cannot end with nothing");
        }
        this.end = end.clone();
        this.messageBytesMax = messageBytesMax;
        this.held = new HeldBytes(messageBytesMax + end.length);
    }

    @Override
    public void wrap(byte[] message, ByteBuf out) {
        byte[] framed = Arrays.copyOf(message, message.length + end.length);
        System.arraycopy(end, 0, framed, message.length, end.length);
        int at = 0;
        while (!Arrays.equals(framed, at, at + end.length, end, 0, end.length)) {
            at++;
        }
        if (at < message.length) { // else a value with these bytes in it would smuggle in a second message
            throw new IllegalArgumentException("the message holds the bytes that end a message (" + Printable.hex(end)
                    + ") too early, at byte " + at);
        }
        out.writeBytes(framed);
    }

    @Override
    void cut(byte[] arrived, Sink sink) {
        byte last = end[end.length - 1];
        for (byte b : arrived) {
            if (!held.add(b)) {
                overflow(sink);
                held.add(b);
            }
            if (b == last && held.endsWith(end)) {
                complete(sink);
            }
        }
    }

    private void overflow(Sink sink) {
        if (!dropping) {
            dropping = true;
            sink.dropped(tooLong(messageBytesMax));
        }
        held.keepLast(end.length - 1);
    }

    private void complete(Sink sink) {
        int length = held.size() - end.length;
        byte[] message = dropping || length == 0 ? null : held.first(length);
        dropping = false;
        held.clear();
        if (message != null) {
            sink.frame(message);
        }
    }

    @Override
    public int heldBytes() {
        return held.size();
    }
}
