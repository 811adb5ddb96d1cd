package bellpush.drivers.sim;

import bellpush.drivers.link.StreamBrokenException;
import bellpush.drivers.link.StreamFraming;
import io.netty.bootstrap.ServerBootstrap;
import io.netty.buffer.ByteBuf;
import io.netty.channel.Channel;
import io.netty.channel.ChannelFuture;
import io.netty.channel.ChannelHandlerContext;
import io.netty.channel.ChannelInitializer;
import io.netty.channel.ChannelOption;
import io.netty.channel.EventLoop;
import io.netty.channel.SimpleChannelInboundHandler;
import io.netty.channel.WriteBufferWaterMark;
import io.netty.channel.socket.nio.NioServerSocketChannel;
import java.io.IOException;
import java.net.InetSocketAddress;
import java.net.StandardSocketOptions;
import java.nio.channels.SocketChannel;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import java.util.function.Supplier;

/**
 * A listening TCP socket. One connection more than it takes is closed at once. What a peer does not read is lost beyond a
 * small buffer.
 */
final class TcpSocket implements DeviceSocket {
    static final int CONNECTIONS_MAX = 16;
    private static final int BACKLOG = 8;
    private static final int UNREAD_BYTES_MAX = 64 * 1024;
    private static final long RETRY_MS = 100;

    private final EventLoop loop;
    private final Supplier<StreamFraming> framing;
    private final Ear ear;
    private final InetSocketAddress address;

    /**
     * Bound, never listening, for the whole life of the device: while the device is off, nobody else can be given its port,
     * above all not a client on this machine that tries to reach it and would then be connected to itself.
     */
    private final SocketChannel placeholder;
    private final Set<Channel> connections = new LinkedHashSet<>();
    private Channel listening;
    private boolean open;
    private boolean reading = true;

    /**
     * Takes the port; {@link #open} listens.
     *
     * @param framing makes the framing of one connection
     * @throws IOException if the port cannot be had
     */
    TcpSocket(EventLoop loop, Supplier<StreamFraming> framing, InetSocketAddress at, Ear ear) throws IOException {
        this.loop = loop;
        this.framing = framing;
        this.ear = ear;
        this.placeholder = SocketChannel.open();
        try {
            placeholder.setOption(StandardSocketOptions.SO_REUSEADDR, true);
            placeholder.bind(at);
            this.address = (InetSocketAddress) placeholder.getLocalAddress();
        } catch (IOException e) {
            placeholder.close();
            throw e;
        }
    }

    @Override
    public InetSocketAddress address() {
        return address;
    }

    @Override
    public void open() {
        if (open) {
            return;
        }
        open = true;
        bind();
    }

    private void bind() {
        if (!open || listening != null || loop.isShuttingDown()) {
            return;
        }
        ChannelFuture bound = new ServerBootstrap().group(loop).channel(NioServerSocketChannel.class)
                .option(ChannelOption.SO_REUSEADDR, true).option(ChannelOption.SO_BACKLOG, BACKLOG)
                .option(ChannelOption.AUTO_READ, reading).childOption(ChannelOption.TCP_NODELAY, true)
                .childOption(ChannelOption.WRITE_BUFFER_WATER_MARK,
                        new WriteBufferWaterMark(UNREAD_BYTES_MAX / 2, UNREAD_BYTES_MAX))
                .childHandler(new ChannelInitializer<Channel>() {
                    @Override
                    protected void initChannel(Channel channel) {
                        channel.pipeline().addLast(new Connection());
                    }
                }).bind(address);
        listening = bound.channel();
        bound.addListener(done -> {
            if (!done.isSuccess() && listening == bound.channel()) {
                listening = null;
                loop.schedule(this::bind, RETRY_MS, TimeUnit.MILLISECONDS);
            }
        });
    }

    @Override
    public void shut() {
        open = false;
        if (listening != null) {
            listening.close();
            listening = null;
        }
        List.copyOf(connections).forEach(Channel::close);
    }

    @Override
    public void reading(boolean on) {
        reading = on;
        if (listening != null) {
            listening.config().setAutoRead(on);
        }
        connections.forEach(c -> c.config().setAutoRead(on));
    }

    @Override
    public void close() {
        shut();
        try {
            placeholder.close();
        } catch (IOException e) {
            // The port is free again when this process ends; nothing else depends on it.
        }
    }

    /** One peer's connection. */
    private final class Connection extends SimpleChannelInboundHandler<ByteBuf>
            implements
                Peer<byte[]>,
                StreamFraming.Sink {
        private final StreamFraming stream = framing.get();
        private Channel channel;

        @Override
        public void channelActive(ChannelHandlerContext context) {
            if (!open || connections.size() >= CONNECTIONS_MAX) {
                context.close();
                return;
            }
            channel = context.channel();
            channel.config().setAutoRead(reading);
            connections.add(channel);
            ear.came(this, true);
        }

        @Override
        protected void channelRead0(ChannelHandlerContext context, ByteBuf bytes) {
            try {
                if (channel != null) {
                    stream.cut(bytes, this);
                }
            } catch (StreamBrokenException e) {
                context.close();
            }
        }

        @Override
        public void frame(byte[] message) {
            ear.heard(message, this);
        }

        @Override
        public void dropped(String why) {
            ear.garbled(why);
        }

        @Override
        public void channelInactive(ChannelHandlerContext context) {
            if (channel != null && connections.remove(channel)) {
                ear.left(this);
            }
        }

        @Override
        public void exceptionCaught(ChannelHandlerContext context, Throwable cause) {
            context.close(); // a reset connection: the peer may connect again
        }

        @Override
        public void say(byte[] message) {
            if (!channel.isActive() || !channel.isWritable()) {
                return;
            }
            ByteBuf out = channel.alloc().buffer(message.length + 8);
            try {
                stream.wrap(message, out);
            } catch (IllegalArgumentException e) {
                out.release(); // the framing cannot carry it: a device stays silent then
                return;
            }
            channel.writeAndFlush(out, channel.voidPromise());
        }
    }
}
