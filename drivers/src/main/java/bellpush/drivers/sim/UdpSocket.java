package bellpush.drivers.sim;

import io.netty.bootstrap.Bootstrap;
import io.netty.buffer.ByteBufUtil;
import io.netty.buffer.Unpooled;
import io.netty.channel.Channel;
import io.netty.channel.ChannelFuture;
import io.netty.channel.ChannelHandlerContext;
import io.netty.channel.ChannelOption;
import io.netty.channel.EventLoop;
import io.netty.channel.FixedRecvByteBufAllocator;
import io.netty.channel.SimpleChannelInboundHandler;
import io.netty.channel.socket.DatagramPacket;
import io.netty.channel.socket.nio.NioDatagramChannel;
import java.io.IOException;
import java.net.InetSocketAddress;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.concurrent.TimeUnit;

/** A UDP socket. It answers the sender, and reports to the last few who sent it anything. */
final class UdpSocket implements DeviceSocket {
    static final int PEERS_MAX = 16;
    private static final int DATAGRAM_BYTES_MAX = 65_535;
    private static final int BURST_BYTES = 1 << 20;
    private static final long RETRY_MS = 100;

    private final EventLoop loop;
    private final Ear ear;
    private final Map<InetSocketAddress, Sender> senders = new LinkedHashMap<>(16, 0.75f, true);
    private InetSocketAddress address;
    private Channel channel;
    private boolean open;
    private boolean reading = true;

    UdpSocket(EventLoop loop, InetSocketAddress at, Ear ear) throws IOException {
        this.loop = loop;
        this.ear = ear;
        this.address = at;
        this.open = true;
        ChannelFuture bound = bootstrap().bind(at).awaitUninterruptibly();
        if (!bound.isSuccess()) {
            throw bound.cause() instanceof IOException e ? e : new IOException(bound.cause());
        }
        this.channel = bound.channel();
        this.address = (InetSocketAddress) channel.localAddress();
    }

    private Bootstrap bootstrap() {
        return new Bootstrap().group(loop).channel(NioDatagramChannel.class)
                .option(ChannelOption.SO_RCVBUF, BURST_BYTES) // what comes while the loop is busy is not lost
                .option(ChannelOption.RECVBUF_ALLOCATOR, new FixedRecvByteBufAllocator(DATAGRAM_BYTES_MAX))
                .handler(new Datagrams());
    }

    @Override
    public InetSocketAddress address() {
        return address;
    }

    @Override
    public void open() {
        if (!open) {
            open = true;
            bind();
        }
    }

    private void bind() {
        if (!open || channel != null || loop.isShuttingDown()) {
            return;
        }
        ChannelFuture bound = bootstrap().bind(address);
        channel = bound.channel();
        bound.addListener(done -> {
            if (!done.isSuccess() && channel == bound.channel()) {
                channel = null;
                loop.schedule(this::bind, RETRY_MS, TimeUnit.MILLISECONDS);
            }
        });
    }

    @Override
    public void shut() {
        open = false;
        if (channel != null) {
            channel.close();
            channel = null;
        }
        senders.values().forEach(ear::left);
        senders.clear();
    }

    @Override
    public void reading(boolean on) {
        reading = on;
    }

    @Override
    public void close() {
        shut();
    }

    private Sender sender(InetSocketAddress from) {
        Sender known = senders.get(from);
        if (known != null) {
            return known;
        }
        Sender sender = new Sender(from);
        senders.put(from, sender);
        if (senders.size() > PEERS_MAX) {
            var eldest = senders.entrySet().iterator().next();
            senders.remove(eldest.getKey());
            ear.left(eldest.getValue());
        }
        ear.came(sender, false);
        return sender;
    }

    private final class Datagrams extends SimpleChannelInboundHandler<DatagramPacket> {
        @Override
        protected void channelRead0(ChannelHandlerContext context, DatagramPacket packet) {
            if (open && reading) {
                ear.heard(ByteBufUtil.getBytes(packet.content()), sender(packet.sender()));
            }
        }

        @Override
        public void exceptionCaught(ChannelHandlerContext context, Throwable cause) {
            // A peer's closed port comes back as an error here; other peers are still there.
        }
    }

    /** One who has sent us something. */
    private final class Sender implements Peer<byte[]> {
        private final InetSocketAddress to;

        Sender(InetSocketAddress to) {
            this.to = to;
        }

        @Override
        public void say(byte[] message) {
            if (channel != null && channel.isWritable()) {
                channel.writeAndFlush(new DatagramPacket(Unpooled.wrappedBuffer(message), to));
            }
        }
    }
}
