package bellpush.drivers.link;

import io.netty.buffer.ByteBufUtil;
import io.netty.channel.ChannelHandlerContext;
import io.netty.channel.ChannelInboundHandlerAdapter;
import io.netty.channel.socket.DatagramPacket;
import io.netty.util.ReferenceCountUtil;
import java.io.IOException;
import java.net.InetSocketAddress;

/** The end of a datagram socket's pipeline: passes on what the device itself has sent. */
class DatagramHandler extends ChannelInboundHandlerAdapter {
    private final Conversation<?> conversation;
    private final InetSocketAddress device;
    private final int messageBytesMax;

    DatagramHandler(Conversation<?> conversation, InetSocketAddress device, int messageBytesMax) {
        this.conversation = conversation;
        this.device = device;
        this.messageBytesMax = messageBytesMax;
    }

    @Override
    public void channelRead(ChannelHandlerContext context, Object message) {
        try {
            if (message instanceof DatagramPacket packet) {
                take(packet);
            }
        } finally {
            ReferenceCountUtil.release(message);
        }
    }

    private void take(DatagramPacket packet) {
        if (!device.equals(packet.sender())) {
            conversation.trouble("a packet of " + Printable.text(String.valueOf(packet.sender()))
                    + " was dropped: it is not the device's address");
        } else if (packet.content().readableBytes() > messageBytesMax) {
            conversation.droppedBytes(StreamFraming.tooLong(messageBytesMax));
        } else {
            conversation.received(ByteBufUtil.getBytes(packet.content()));
        }
    }

    @Override
    public void channelWritabilityChanged(ChannelHandlerContext context) {
        if (context.channel().isWritable()) {
            conversation.writableAgain();
        }
    }

    /** The channel stays open: the usual cause is that nothing listens at the device's port, or not yet. */
    @Override
    public void exceptionCaught(ChannelHandlerContext context, Throwable cause) {
        if (cause instanceof IOException) {
            conversation.undeliverable(SocketTrouble.words(cause));
        } else {
            conversation.trouble("a packet could not be handled: " + SocketTrouble.words(cause));
        }
    }
}
