package bellpush.drivers.link;

import io.netty.buffer.ByteBuf;
import io.netty.channel.Channel;
import io.netty.channel.ChannelHandlerContext;
import io.netty.channel.ChannelInboundHandlerAdapter;
import io.netty.util.ReferenceCountUtil;

/** The end of a connection's pipeline: cuts the stream into messages for the conversation, and says why it ended. */
class StreamHandler extends ChannelInboundHandlerAdapter implements StreamFraming.Sink {
    private final Conversation<?> conversation;
    private final StreamFraming framing;
    private String endedBecause = "the device closed the connection";
    private boolean ended;

    StreamHandler(Conversation<?> conversation, StreamFraming framing) {
        this.conversation = conversation;
        this.framing = framing;
    }

    /** Writes and flushes one message in this turn of the loop. */
    void write(Channel channel, byte[] message, Transport.Written written) {
        ByteBuf out = channel.alloc().ioBuffer(message.length + 8);
        try {
            framing.wrap(message, out);
        } catch (IllegalArgumentException e) {
            out.release();
            throw e;
        }
        channel.writeAndFlush(out).addListener(
                done -> written.done(done.isSuccess() ? null : SocketTrouble.words(done.cause())));
    }

    @Override
    public void channelRead(ChannelHandlerContext context, Object message) {
        try {
            if (!ended && message instanceof ByteBuf bytes) {
                framing.cut(bytes, this);
            }
        } catch (StreamBrokenException e) {
            conversation.droppedBytes(e.getMessage());
            end(context, e.getMessage());
        } finally {
            ReferenceCountUtil.release(message);
        }
    }

    @Override
    public void frame(byte[] message) {
        conversation.received(message);
    }

    @Override
    public void dropped(String why) {
        conversation.droppedBytes(why);
    }

    @Override
    public void channelWritabilityChanged(ChannelHandlerContext context) {
        if (context.channel().isWritable()) {
            conversation.writableAgain();
        }
    }

    @Override
    public void exceptionCaught(ChannelHandlerContext context, Throwable cause) {
        end(context, SocketTrouble.words(cause));
    }

    private void end(ChannelHandlerContext context, String why) {
        if (!ended) {
            ended = true;
            endedBecause = why;
        }
        context.close();
    }

    String endedBecause() {
        return endedBecause;
    }

    int heldBytes() {
        return framing.heldBytes();
    }
}
