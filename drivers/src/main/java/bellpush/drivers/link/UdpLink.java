package bellpush.drivers.link;

import bellpush.config.model.Device;
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
import io.netty.channel.FixedRecvByteBufAllocator;
import io.netty.channel.WriteBufferWaterMark;
import io.netty.channel.socket.nio.NioDatagramChannel;
import java.net.InetSocketAddress;
import java.net.PortUnreachableException;
import java.net.SocketException;
import java.time.Duration;
import java.util.SplittableRandom;
import java.util.concurrent.ThreadLocalRandom;

/**
 * Datagrams to and from one device. The socket is connected to the device's address, so that the system passes on nothing
 * from anybody else; what came before that is sorted out by its sender. All calls on the host's event loop.
 */
public final class UdpLink<F> implements Link {
    /** The most that fits in a datagram over IPv4. */
    static final int DATAGRAM_BYTES_MAX = 65_507;

    private static final WriteBufferWaterMark WAITING_BYTES = new WriteBufferWaterMark(8 << 10, 32 << 10);

    /** How long a device behind a name may be silent before the name is asked for again: it may have a new address. */
    private static final Duration NAME_GOOD_FOR = Duration.ofSeconds(30);

    private static final String SOCKET_CLOSED = "the socket was closed";

    private final Device device;
    private final Limits limits;
    private final LinkHost host;
    private final Timers timers;
    private final Backoff backoff;
    private final Resolver resolver;
    private final Conversation<F> conversation;

    private Channel channel;
    private Timers.Alarm reopen;
    private Timers.Alarm nameCheck;
    private String endedBecause = SOCKET_CLOSED;
    private int attempts;
    private String lastTrouble = "";
    private boolean closed;

    private UdpLink(Device device, Limits limits, LinkHost host, MessageCodec<F> codec, Backoff backoff) {
        this.device = device;
        this.limits = limits;
        this.host = host;
        this.backoff = backoff;
        this.timers = Timers.of(host.loop());
        this.resolver = new Resolver(host.loop(), device.address(), device.port());
        this.conversation = new Conversation<>(device, limits, codec, host, timers, new Datagrams(), true);
    }

    /** A link that is about to open when this returns. */
    public static <F> UdpLink<F> open(Device device, Limits limits, LinkHost host, MessageCodec<F> codec) {
        var link = new UdpLink<>(device, limits, host, codec,
                new Backoff(new SplittableRandom(ThreadLocalRandom.current().nextLong())));
        link.reopen = link.timers.after(0, link::open);
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
        cancelNameCheck();
        if (reopen != null) {
            reopen.cancel();
        }
        if (channel != null) {
            channel.close();
        }
    }

    private void open() {
        reopen = null;
        resolver.resolve((addresses, trouble) -> {
            if (closed) {
                return;
            }
            if (addresses.isEmpty()) {
                cannotOpen(trouble);
            } else {
                open(addresses.get(attempts++ % addresses.size()));
            }
        });
    }

    private void open(InetSocketAddress address) {
        ChannelFuture opening = new Bootstrap().group(host.loop()).channel(NioDatagramChannel.class).disableResolver()
                .option(ChannelOption.WRITE_BUFFER_WATER_MARK, WAITING_BYTES)
                // One byte more than we take, so that a longer datagram shows itself instead of looking complete.
                .option(ChannelOption.RECVBUF_ALLOCATOR,
                        new FixedRecvByteBufAllocator(Math.min(DATAGRAM_BYTES_MAX, limits.messageBytes()) + 1))
                .handler(new DatagramHandler(conversation, address, limits.messageBytes()) {
                    @Override
                    public void channelInactive(ChannelHandlerContext context) {
                        ended();
                    }
                }).connect(address);
        channel = opening.channel();
        opening.addListener(done -> {
            if (closed) {
                return;
            }
            if (done.isSuccess()) {
                lastTrouble = "";
                backoff.reset();
                conversation.opened("datagrams to " + place());
                nameCheck = resolver.asks() ? timers.after(NAME_GOOD_FOR.toNanos(), this::checkName) : null;
            } else {
                cannotOpen(done.cause());
            }
        });
    }

    private void checkName() {
        if (conversation.state() == LinkState.UP) {
            nameCheck = timers.after(NAME_GOOD_FOR.toNanos(), this::checkName);
        } else if (channel != null) {
            endedBecause = "the device is silent, so its name is looked up again";
            channel.close();
        }
    }

    private void ended() {
        cancelNameCheck();
        if (!closed) {
            conversation.lost(endedBecause);
            endedBecause = SOCKET_CLOSED;
            again();
        }
    }

    private void cancelNameCheck() {
        if (nameCheck != null) {
            nameCheck.cancel();
            nameCheck = null;
        }
    }

    /** The log hears of each trouble once, not of every attempt. */
    private void cannotOpen(Throwable trouble) {
        String why = "cannot send to " + place() + ": " + SocketTrouble.words(trouble);
        conversation.lost(why);
        if (!why.equals(lastTrouble)) {
            lastTrouble = why;
            host.noted(why);
        }
        again();
    }

    private void again() {
        channel = null;
        if (!closed && reopen == null) {
            reopen = timers.after(backoff.nextNanos(), this::open);
        }
    }

    private String place() {
        return (device.address().contains(":") ? "[" + device.address() + "]" : device.address()) + ":" + device.port();
    }

    private final class Datagrams implements Transport {
        @Override
        public boolean writable() {
            return channel != null && channel.isWritable();
        }

        @Override
        public void write(byte[] message, Written written) {
            if (message.length > DATAGRAM_BYTES_MAX) {
                throw new IllegalArgumentException("the message has " + message.length + " bytes; a datagram holds "
                        + DATAGRAM_BYTES_MAX + " at most");
            }
            if (channel == null) {
                written.done("the socket is closed");
                return;
            }
            write(message, written, true);
        }

        private void write(byte[] message, Written written, boolean first) {
            var bytes = channel.alloc().ioBuffer(message.length).writeBytes(message);
            channel.writeAndFlush(bytes).addListener(done -> {
                if (done.isSuccess()) {
                    written.done(null);
                } else if (first && channel != null && done.cause() instanceof SocketException) {
                    // The system tells of the packet before by refusing this one, which it has not sent.
                    undeliverable(done.cause());
                    write(message, written, false);
                } else {
                    written.done(SocketTrouble.words(done.cause()));
                }
            });
        }

        @Override
        public void drop(String why) {
            if (channel != null) {
                channel.close();
            }
        }
    }

    private void undeliverable(Throwable trouble) {
        conversation.undeliverable(
                (trouble instanceof PortUnreachableException ? "" : "a packet could not be delivered: ") + place()
                        + ": "
                        + SocketTrouble.words(trouble));
    }
}
