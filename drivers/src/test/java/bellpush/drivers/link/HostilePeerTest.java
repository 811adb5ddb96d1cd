package bellpush.drivers.link;

import static bellpush.drivers.link.Notebook.until;
import static bellpush.drivers.link.TestKind.hex;
import static bellpush.drivers.link.TestKind.text;
import static java.nio.charset.StandardCharsets.ISO_8859_1;
import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Device;
import bellpush.config.model.Framing;
import bellpush.config.model.Limits;
import bellpush.config.model.LinkState;
import bellpush.config.model.Template;
import bellpush.config.model.Value;
import bellpush.config.wire.WireTemplate;
import bellpush.drivers.spi.Request;
import io.netty.buffer.ByteBuf;
import io.netty.buffer.Unpooled;
import io.netty.channel.ChannelHandlerContext;
import io.netty.channel.embedded.EmbeddedChannel;
import io.netty.channel.socket.DatagramPacket;
import java.io.IOException;
import java.net.DatagramSocket;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.concurrent.atomic.AtomicLong;
import org.junit.jupiter.api.Test;

/**
 * A device that sends random bytes, giant frames, streams without end, messages cut short or with flipped bits: bounded
 * memory, no exception, few and readable notes. Seeded; a failure names its case.
 */
class HostilePeerTest {
    private static final int CASES = 100_000;
    private static final int CASES_PER_CONNECTION = 50;
    private static final int MESSAGE_BYTES_MAX = 2_000;
    private static final Limits LIMITS = new Limits(1, 1, 1, 16, 1, MESSAGE_BYTES_MAX);
    private static final InetAddress LOOPBACK = InetAddress.getLoopbackAddress();

    /** A framing with a kind that uses it, and messages that it understands, as they stand in the stream. */
    private record Gear(TestKind kind, Device device, WireCodec codec, List<byte[]> valid) {
        Gear(TestKind kind, List<byte[]> valid) {
            Device device = kind.at("127.0.0.1", 5_000);
            this(kind, device, new WireCodec(device.kind()), valid);
        }
    }

    private static byte[] bytes(String latin1) {
        return latin1.getBytes(ISO_8859_1);
    }

    private static TestKind textKind(TestKind kind) {
        return kind.level("iris", true).onOff("key", false).words("title").report(text("lens {iris} {key}"))
                .ok(text("OK")).refused(text("ERR {any}"), "it says no")
                .heartbeat(text("ping"), text("pong"), 500, 200);
    }

    private static TestKind binaryKind(TestKind kind) {
        return kind.level("iris", false).report(hex("90 50 {iris:nibbles4}")).report(hex("90 51 {iris:u16le} {any:u8}"))
                .report(hex("02 {length:u8} {iris:u8} {any:text} 03 {check:xor}")).ok(hex("90 41"))
                .refused(hex("90 60 02"),
                        "syntax error");
    }

    private static List<byte[]> messages(TestKind kind, byte[]... messages) {
        return Arrays.stream(messages).map(message -> enveloped(kind, message)).map(message -> {
            ByteBuf out = Unpooled.buffer();
            if (kind.kind().framing() instanceof Framing.None) {
                out.writeBytes(message);
            } else {
                StreamFraming.of(kind.kind().framing(), MESSAGE_BYTES_MAX).wrap(message, out);
            }
            byte[] framed = new byte[out.readableBytes()];
            out.readBytes(framed);
            return framed;
        }).toList();
    }

    private static byte[] enveloped(TestKind kind, byte[] message) {
        return kind.kind().envelope().map(envelope -> WireTemplate.hex(((Template.Hex) envelope).hex()).wrap(message,
                Map.of("sequence", Value.of(1)))).orElse(message);
    }

    private static Gear textGear(TestKind kind) {
        textKind(kind);
        return new Gear(kind, messages(kind, bytes("iris 5"), bytes("iris=99"), bytes("key ON"), bytes("lens 7 OFF"),
                bytes("OK"), bytes("ERR 9"), bytes("pong"), bytes("title caf\u00c3\u00a9"), bytes("iris 1e400")));
    }

    private static Gear binaryGear(TestKind kind) {
        binaryKind(kind);
        return new Gear(kind,
                messages(kind, new byte[]{(byte) 0x90, 0x50, 0, 0, 4, 2}, new byte[]{(byte) 0x90, 0x51, 9, 0, 1},
                        new byte[]{2, 5, 7, 'a', 'b', 3, 2 ^ 5 ^ 7 ^ 'a' ^ 'b' ^ 3}, new byte[]{(byte) 0x90, 0x41}));
    }

    private static Gear envelopeGear(TestKind kind) {
        return textGear(kind.envelope(hex("01 {sequence:u16} {length:u16} {body} {check:crc16-ccitt}")));
    }

    private static List<Gear> streams() {
        return List.of(textGear(TestKind.tcp()), textGear(TestKind.tcp().framing(new Framing.Slip())),
                textGear(TestKind.tcp().framing(new Framing.LengthPrefix(2, false, false))),
                textGear(TestKind.tcp().framing(new Framing.LengthPrefix(4, true, true))),
                textGear(TestKind.tcp().greeting(text("HELLO {any}"))),
                binaryGear(TestKind.tcp().framing(new Framing.Delimiter(new byte[]{(byte) 0xff}))),
                binaryGear(TestKind.tcp().framing(new Framing.LengthPrefix(1, false, false))),
                envelopeGear(TestKind.tcp().framing(new Framing.Slip())),
                envelopeGear(TestKind.tcp().framing(new Framing.LengthWithin(3, 2, false, false, 0))));
    }

    private static List<Gear> datagrams() {
        return List.of(textGear(TestKind.udp()), binaryGear(TestKind.udp()), envelopeGear(TestKind.udp()));
    }

    private static byte[] nastiness(SplittableRandom random, Gear gear) {
        byte[] valid = gear.valid.get(random.nextInt(gear.valid.size()));
        switch (random.nextInt(8)) {
            case 0 -> {
                byte[] noise = new byte[random.nextInt(200)];
                random.nextBytes(noise);
                return noise;
            }
            case 1 -> { // without any end
                byte[] endless = new byte[random.nextInt(20) == 0 ? 60_000 : 1_500];
                Arrays.fill(endless, (byte) random.nextInt(256));
                return endless;
            }
            case 2 -> {
                return Arrays.copyOf(valid, random.nextInt(valid.length + 1));
            }
            case 3, 4 -> {
                byte[] flipped = valid.clone();
                for (int i = random.nextInt(3); i >= 0; i--) {
                    flipped[random.nextInt(flipped.length)] ^= (byte) (1 << random.nextInt(8));
                }
                return flipped;
            }
            case 5 -> { // giant counts
                return new byte[]{(byte) 0xff, (byte) 0xff, (byte) 0xff, (byte) random.nextInt(256), 'x'};
            }
            case 6 -> { // much text of its own alphabet
                byte[] babble = new byte[random.nextInt(400)];
                byte[] alphabet = bytes("iris=? key ON\n\r\u00c0\u00db\u00dc0123456789eE+-.{}:");
                for (int i = 0; i < babble.length; i++) {
                    babble[i] = alphabet[random.nextInt(alphabet.length)];
                }
                return babble;
            }
            default -> {
                return valid;
            }
        }
    }

    /** What a connection with one kind of gear looks like from inside. */
    private static final class Victim {
        final HandTimers timers = new HandTimers();
        final HandTransport transport = new HandTransport();
        final Notebook host = new Notebook(null);
        final List<Throwable> escaped = new ArrayList<>();
        final Conversation<byte[]> conversation;
        final StreamHandler handler;
        final EmbeddedChannel channel;
        long id;

        Victim(Gear gear, boolean stream) {
            Device device = gear.device;
            host.quiet = true;
            conversation = new Conversation<>(device, LIMITS, gear.codec, host, timers, transport,
                    !stream);
            if (stream) {
                handler = new StreamHandler(conversation,
                        StreamFraming.of(device.kind().framing(), MESSAGE_BYTES_MAX)) {
                    @Override
                    public void exceptionCaught(ChannelHandlerContext context, Throwable cause) {
                        escaped.add(cause);
                        super.exceptionCaught(context, cause);
                    }
                };
                channel = new EmbeddedChannel(handler);
            } else {
                handler = null;
                channel = new EmbeddedChannel(
                        new DatagramHandler(conversation, new InetSocketAddress(LOOPBACK, 5_000)::equals,
                                MESSAGE_BYTES_MAX) {
                            @Override
                            public void exceptionCaught(ChannelHandlerContext context, Throwable cause) {
                                escaped.add(cause);
                            }
                        });
            }
            conversation.opened("connected");
        }

        void attack(SplittableRandom random, byte[] bytes) {
            if (random.nextInt(3) == 0) {
                conversation.send(new Request.AskProperty(++id, "iris"));
            }
            if (handler == null) {
                var own = new InetSocketAddress(LOOPBACK, 5_000);
                channel.writeInbound(new DatagramPacket(Unpooled.wrappedBuffer(bytes), own,
                        random.nextInt(20) == 0 ? new InetSocketAddress(LOOPBACK, 5_001) : own));
            } else if (channel.isOpen()) {
                channel.writeInbound(Unpooled.wrappedBuffer(bytes));
                if (handler.heldBytes() > MESSAGE_BYTES_MAX + 1) {
                    throw new AssertionError(handler.heldBytes() + " bytes held");
                }
            }
            timers.advanceMs(random.nextInt(20));
            channel.checkException();
            if (!escaped.isEmpty()) {
                throw new AssertionError("escaped", escaped.getFirst());
            }
        }

        void end() {
            conversation.lost("gone");
            assertThat(host.outcomes).hasSize((int) id);
            assertThat(host.outcomes.values()).allMatch(outcomes -> outcomes.size() == 1);
            conversation.close();
            assertThat(timers.pending()).isZero();
            // At most one line at once and one count for each sort of trouble, in about a second of its time.
            assertThat(host.notes).hasSizeLessThanOrEqualTo(8);
            Notebook.assertForPeople(host.notes);
            for (Value value : host.beliefs.values()) {
                if (value instanceof Value.Num(double n)) {
                    assertThat(n).isBetween(0.0, 100.0);
                }
            }
            channel.finishAndReleaseAll();
        }
    }

    private void attack(List<Gear> gears, boolean stream, long seed) {
        var random = new SplittableRandom(seed);
        long understood = 0;
        for (int first = 0; first < CASES; first += CASES_PER_CONNECTION) {
            Gear gear = gears.get(first / CASES_PER_CONNECTION % gears.size());
            Victim victim = new Victim(gear, stream);
            for (int i = 0; i < CASES_PER_CONNECTION; i++) {
                byte[] bytes = nastiness(random, gear);
                if (stream && !victim.channel.isOpen()) {
                    victim.end();
                    victim = new Victim(gear, stream);
                }
                try {
                    victim.attack(random, bytes);
                } catch (AssertionError | RuntimeException e) {
                    throw new AssertionError("seed " + seed + ", case " + (first + i), e);
                }
            }
            understood += victim.host.beliefs.size();
            victim.end();
        }
        assertThat(understood).as("some of it makes sense, so the deeper code was reached").isGreaterThan(CASES / 200);
    }

    @Test
    void hundredThousandNastyStreamsThroughTheTcpPipeline() {
        attack(streams(), true, 20_251);
    }

    @Test
    void hundredThousandNastyPacketsThroughTheUdpPipeline() {
        attack(datagrams(), false, 20_252);
    }

    @Test
    void hundredsOfNastyDevicesOnRealConnections() throws IOException {
        var streams = streams();
        var served = new AtomicLong();
        try (var server = new ServerSocket(0, 100, LOOPBACK); var loop = new TestLoop()) {
            Thread.ofVirtual().start(() -> {
                try {
                    for (long connection = 0;; connection++) {
                        Socket socket = server.accept();
                        long seed = connection;
                        Thread.ofVirtual().start(() -> beNasty(socket, seed, streams, served));
                    }
                } catch (IOException _) {
                    // closed
                }
            });
            for (int batch = 0; batch < 8; batch++) {
                attack(40, server.getLocalPort(), streams, served, loop);
            }
        }
    }

    private static void attack(int count, int port, List<Gear> streams, AtomicLong served, TestLoop loop) {
        var hosts = new ArrayList<Notebook>();
        var links = new ArrayList<TcpLink<byte[]>>();
        long before = served.get();
        for (int i = 0; i < count; i++) {
            var host = new Notebook(loop.loop);
            host.quiet = true;
            var device = streams.get(i % streams.size()).kind.at("127.0.0.1", port);
            hosts.add(host);
            links.add(loop.on(() -> TcpLink.open(device, LIMITS, host, new WireCodec(device.kind()),
                    device.kind().framing())));
        }
        until("all attacked", () -> served.get() >= before + count);
        loop.run(() -> links.forEach(TcpLink::close));
        for (Notebook host : hosts) {
            assertThat(host.offLoop).isEmpty();
            Notebook.assertForPeople(host.notes);
            Notebook.assertForPeople(host.states);
            assertThat(host.notes).hasSizeLessThan(30);
        }
    }

    private static void beNasty(Socket socket, long seed, List<Gear> gears, AtomicLong served) {
        var random = new SplittableRandom(seed);
        try (socket) {
            Gear gear = gears.get((int) (seed % gears.size()));
            for (int i = 0; i < 8; i++) {
                socket.getOutputStream().write(nastiness(random, gear));
            }
        } catch (IOException _) {
            // The link has hung up on us, as it should when it cannot follow any more.
        } finally {
            served.incrementAndGet();
        }
    }

    @Test
    void hundredsOfNastyPacketsOnARealSocketAndThenAGoodOneIsHeard() throws IOException {
        try (var socket = new DatagramSocket(new InetSocketAddress(LOOPBACK, 0)); var loop = new TestLoop()) {
            Gear gear = textGear(TestKind.udp());
            var device = gear.kind.at("127.0.0.1", socket.getLocalPort());
            var host = new Notebook(loop.loop);
            host.quiet = true;
            var link = loop.on(() -> UdpLink.open(device, LIMITS, host, new WireCodec(device.kind())));
            var ping = new java.net.DatagramPacket(new byte[100], 100);
            socket.receive(ping);
            var random = new SplittableRandom(9);
            for (int i = 0; i < 800; i++) {
                byte[] bytes = nastiness(random, gear);
                socket.send(new java.net.DatagramPacket(bytes, bytes.length, ping.getSocketAddress()));
            }
            var answering = new AtomicLong();
            byte[] pong = bytes("pong");
            byte[] iris = bytes("iris 42");
            until("up and heard", () -> {
                try {
                    socket.send(new java.net.DatagramPacket(pong, pong.length, ping.getSocketAddress()));
                    socket.send(new java.net.DatagramPacket(iris, iris.length, ping.getSocketAddress()));
                } catch (IOException e) {
                    answering.incrementAndGet();
                }
                return host.state == LinkState.UP && Value.of(42).equals(host.beliefs.get("iris"));
            });
            assertThat(answering).hasValue(0);
            loop.run(link::close);
            Notebook.assertForPeople(host.notes);
            assertThat(host.notes).hasSizeLessThan(30);
            assertThat(host.offLoop).isEmpty();
        }
    }
}
