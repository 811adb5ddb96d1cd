package bellpush.drivers.link;

import bellpush.config.model.Device;
import bellpush.config.model.Framing;
import bellpush.config.model.Limits;
import bellpush.config.model.LinkState;
import bellpush.drivers.spi.Link;
import bellpush.drivers.spi.LinkHost;
import bellpush.drivers.spi.Request;
import io.netty.bootstrap.Bootstrap;
import io.netty.channel.Channel;
import io.netty.channel.ChannelFuture;
import io.netty.channel.ChannelHandlerContext;
import io.netty.channel.ChannelOption;
import io.netty.channel.WriteBufferWaterMark;
import io.netty.channel.socket.nio.NioSocketChannel;
import java.net.InetSocketAddress;
import java.time.Duration;
import java.util.SplittableRandom;
import java.util.concurrent.ThreadLocalRandom;

/**
 * One persistent connection to a device that speaks a byte stream. It connects by itself, again and again, with growing
 * pauses; a name is asked for anew each time, and its addresses are tried in turn. All calls on the host's event loop.
 */
public final class TcpLink<F> implements Link {
    public static final Duration CONNECT_WITHIN = Duration.ofSeconds(2);

    /**
     * Bytes that may wait in memory for a device that does not read. Above the high mark new values wait as values, where
     * a newer one takes an older one's place; below the low mark they flow again. Small: what is written is out of our
     * hands and will arrive, however old.
     */
    private static final WriteBufferWaterMark WAITING_BYTES = new WriteBufferWaterMark(8 << 10, 32 << 10);

    private final Device device;
    private final Limits limits;
    private final LinkHost host;
    private final Framing framing;
    private final Timers timers;
    private final Backoff backoff;
    private final Resolver resolver;
    private final Conversation<F> conversation;

    private Channel channel;
    private StreamHandler handler;
    private Timers.Alarm reconnect;
    private long upSince;
    private int attempts;
    private String lastTrouble = "";
    private String droppedBecause;
    private boolean closed;

    private TcpLink(Device device, Limits limits, LinkHost host, MessageCodec<F> codec, Framing framing,
            Backoff backoff) {
        this.device = device;
        this.limits = limits;
        this.host = host;
        this.framing = framing;
        this.backoff = backoff;
        this.timers = Timers.of(host.loop());
        this.resolver = new Resolver(host.loop(), device.address(), device.port());
        this.conversation = new Conversation<>(device, limits, codec, host, timers, new Stream(), false);
    }

    /**
     * A link that is on its way to its device when this returns.
     *
     * @throws IllegalArgumentException if this framing cannot be; the message is for people
     */
    public static <F> TcpLink<F> open(Device device, Limits limits, LinkHost host, MessageCodec<F> codec,
            Framing framing) {
        return open(device, limits, host, codec, framing,
                new Backoff(new SplittableRandom(ThreadLocalRandom.current().nextLong())));
    }

    /** The same with a backoff of the caller's making, for tests that want to know the pauses. */
    public static <F> TcpLink<F> open(Device device, Limits limits, LinkHost host, MessageCodec<F> codec,
            Framing framing, Backoff backoff) {
        StreamFraming.of(framing, limits.messageBytes()); // to refuse it now, not at the first connection
        var link = new TcpLink<>(device, limits, host, codec, framing, backoff);
        link.reconnect = link.timers.after(0, link::connect);
        return link;
    }

    @Override
    public void send(Request request) {
        conversation.send(request);
    }

    @Override
    public void close() {
        if (closed) {
            return;
        }
        closed = true;
        conversation.close();
        if (reconnect != null) {
            reconnect.cancel();
        }
        if (channel != null) {
            channel.close();
        }
    }

    private void connect() {
        reconnect = null;
        resolver.resolve((addresses, trouble) -> {
            if (closed) {
                return;
            }
            if (addresses.isEmpty()) {
                cannotConnect(trouble);
            } else {
                connect(addresses.get(attempts++ % addresses.size()));
            }
        });
    }

    private void connect(InetSocketAddress address) {
        handler = new StreamHandler(conversation, StreamFraming.of(framing, limits.messageBytes())) {
            @Override
            public void channelActive(ChannelHandlerContext context) {
                connected(context.channel());
            }

            @Override
            public void channelInactive(ChannelHandlerContext context) {
                disconnected(endedBecause());
            }
        };
        ChannelFuture connecting = new Bootstrap().group(host.loop()).channel(NioSocketChannel.class).disableResolver()
                .option(ChannelOption.TCP_NODELAY, true).option(ChannelOption.SO_KEEPALIVE, true)
                .option(ChannelOption.CONNECT_TIMEOUT_MILLIS, (int) CONNECT_WITHIN.toMillis())
                .option(ChannelOption.WRITE_BUFFER_WATER_MARK, WAITING_BYTES)
                .handler(handler).connect(address);
        channel = connecting.channel();
        connecting.addListener(done -> {
            if (!done.isSuccess() && !closed) {
                cannotConnect(done.cause());
            }
        });
    }

    private void connected(Channel connection) {
        if (closed) {
            connection.close();
            return;
        }
        droppedBecause = null;
        lastTrouble = "";
        upSince = timers.nanoTime();
        conversation.opened("connected to " + place());
    }

    private void disconnected(String why) {
        if (closed) {
            return;
        }
        boolean proven = conversation.heardAnything()
                || timers.nanoTime() - upSince >= Backoff.PROVEN.toNanos() && conversation.state() == LinkState.UP;
        if (proven) {
            backoff.reset();
        }
        conversation.lost(droppedBecause != null ? droppedBecause : why);
        again();
    }

    /** The log hears of each trouble once, not of every attempt. */
    private void cannotConnect(Throwable trouble) {
        String why = "cannot connect to " + place() + ": " + SocketTrouble.words(trouble);
        conversation.lost(why);
        if (!why.equals(lastTrouble)) {
            lastTrouble = why;
            host.noted(why);
        }
        again();
    }

    private void again() {
        channel = null;
        if (!closed) {
            reconnect = timers.after(backoff.nextNanos(), this::connect);
        }
    }

    /** Bytes written that the system has not taken yet. */
    long bytesInMemory() {
        var buffer = channel == null ? null : channel.unsafe().outboundBuffer();
        return buffer == null ? 0 : buffer.totalPendingWriteBytes();
    }

    /** Whether what is written leaves at once, and does not wait for more to send with it (Nagle's algorithm, RFC 896). */
    boolean sendsAtOnce() {
        return channel != null && channel.config().getOption(ChannelOption.TCP_NODELAY);
    }

    private String place() {
        return (device.address().contains(":") ? "[" + device.address() + "]" : device.address()) + ":" + device.port();
    }

    private final class Stream implements Transport {
        @Override
        public boolean writable() {
            return channel != null && channel.isWritable();
        }

        @Override
        public void write(byte[] message, Written written) {
            if (channel == null) {
                written.done("the connection is closed");
                return;
            }
            handler.write(channel, message, written);
        }

        @Override
        public void drop(String why) {
            if (channel != null) {
                droppedBecause = why;
                channel.close();
            }
        }
    }
}
