package bellpush.drivers.link;

import io.netty.buffer.ByteBuf;

/**
 * RFC 1055, with END before and after each message as OSC 1.1 asks (the first flushes what noise has left). Empty messages
 * are passed over. An escape followed by neither escaped byte is a fault of the sender: that message is dropped.
 */
final class SlipFraming extends StreamFraming {
    private static final byte END = (byte) 0xc0;
    private static final byte ESC = (byte) 0xdb;
    private static final byte ESC_END = (byte) 0xdc;
    private static final byte ESC_ESC = (byte) 0xdd;

    private final int messageBytesMax;
    private final HeldBytes held;
    private boolean escaped;
    private boolean dropping;

    SlipFraming(int messageBytesMax) {
        this.messageBytesMax = messageBytesMax;
        this.held = new HeldBytes(messageBytesMax);
    }

    @Override
    public void wrap(byte[] message, ByteBuf out) {
        byte[] framed = new byte[2 * message.length + 2];
        int size = 0;
        framed[size++] = END;
        for (byte b : message) {
            if (b == END || b == ESC) {
                framed[size++] = ESC;
                framed[size++] = b == END ? ESC_END : ESC_ESC;
            } else {
                framed[size++] = b;
            }
        }
        framed[size++] = END;
        out.writeBytes(framed, 0, size);
    }

    @Override
    void cut(byte[] arrived, Sink sink) {
        for (byte b : arrived) {
            if (b == END) {
                complete(sink);
            } else if (escaped) {
                escaped = false;
                switch (b) {
                    case ESC_END -> take(END, sink);
                    case ESC_ESC -> take(ESC, sink);
                    default -> drop("a SLIP message with a wrong escape was dropped", sink);
                }
            } else if (b == ESC) {
                escaped = true;
            } else {
                take(b, sink);
            }
        }
    }

    private void take(byte b, Sink sink) {
        if (!dropping && !held.add(b)) {
            drop(tooLong(messageBytesMax), sink);
        }
    }

    private void drop(String why, Sink sink) {
        held.clear();
        if (!dropping) {
            dropping = true;
            sink.dropped(why);
        }
    }

    private void complete(Sink sink) {
        if (escaped) {
            drop("a SLIP message that ends in the middle of an escape was dropped", sink);
        }
        byte[] message = dropping || held.size() == 0 ? null : held.first(held.size());
        held.clear();
        dropping = false;
        escaped = false;
        if (message != null) {
            sink.frame(message);
        }
    }

    @Override
    public int heldBytes() {
        return held.size();
    }
}
