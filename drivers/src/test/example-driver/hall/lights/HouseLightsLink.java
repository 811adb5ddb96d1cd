package hall.lights;

import bellpush.config.model.Device;
import bellpush.config.model.LinkState;
import bellpush.config.model.Value;
import bellpush.drivers.spi.Link;
import bellpush.drivers.spi.LinkHost;
import bellpush.drivers.spi.Outcome;
import bellpush.drivers.spi.Request;
import io.netty.bootstrap.Bootstrap;
import io.netty.buffer.ByteBuf;
import io.netty.buffer.Unpooled;
import io.netty.channel.Channel;
import io.netty.channel.ChannelHandlerContext;
import io.netty.channel.SimpleChannelInboundHandler;
import io.netty.channel.socket.DatagramPacket;
import io.netty.channel.socket.nio.NioDatagramChannel;
import java.util.Map;

/**
 * Each packet to the dimmer is one byte: the level, exclusive-or the last key it gave (255 asks). Each packet from it is
 * two: the new key, and the level. Everything runs on the core's event loop; nothing here may block.
 */
final class HouseLightsLink extends SimpleChannelInboundHandler<DatagramPacket> implements Link {
    private static final int ASK = 255;

    private final LinkHost host;
    private final Channel channel;
    private int key = -1;
    private long asked;
    private boolean closed;

    HouseLightsLink(Device device, LinkHost host) {
        this.host = host;
        this.channel = new Bootstrap().group(host.loop()).channel(NioDatagramChannel.class).handler(this)
                .connect(device.address(), device.port()).channel();
    }

    @Override
    public void channelActive(ChannelHandlerContext context) {
        context.writeAndFlush(packet(ASK));
    }

    @Override
    public void send(Request request) {
        switch (request) {
            case Request.SetProperty(long id, String _, Value.Num(double level), _, _) when key >= 0 -> {
                channel.writeAndFlush(packet((int) level ^ key));
                host.packet(true, "level " + (int) level, id);
                host.outcome(id, new Outcome.Sent());
            }
            case Request.AskProperty(long id, String _) when key >= 0 && asked == 0 -> {
                asked = id;
                channel.writeAndFlush(packet(ASK));
                host.packet(true, "ask", id);
            }
            default -> host.outcome(request.id(), new Outcome.Failed("the house lights are not ready for that"));
        }
    }

    private static ByteBuf packet(int value) {
        return Unpooled.buffer(1).writeByte(value);
    }

    @Override
    protected void channelRead0(ChannelHandlerContext context, DatagramPacket packet) {
        ByteBuf bytes = packet.content();
        if (closed || bytes.readableBytes() != 2) {
            return;
        }
        boolean first = key < 0;
        key = bytes.readUnsignedByte();
        int level = bytes.readUnsignedByte();
        if (first) {
            host.link(LinkState.UP, "the house lights have answered");
        }
        host.packet(false, "level " + level, asked);
        if (level <= 100) {
            host.reported(Map.of("level", Value.of(level)), asked);
        }
        if (asked != 0) {
            long request = asked;
            asked = 0;
            host.outcome(request, new Outcome.Done());
        }
    }

    @Override
    public void exceptionCaught(ChannelHandlerContext context, Throwable cause) {
        if (!closed) {
            host.noted("house lights: " + cause.getMessage());
        }
    }

    @Override
    public void close() {
        if (!closed) {
            closed = true;
            if (asked != 0) {
                host.outcome(asked, new Outcome.Failed("the link was closed"));
            }
            channel.close();
        }
    }
}
