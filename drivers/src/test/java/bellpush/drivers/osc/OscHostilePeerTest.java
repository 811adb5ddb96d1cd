package bellpush.drivers.osc;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Framing;
import bellpush.config.model.Kind;
import bellpush.config.model.Limits;
import bellpush.config.model.LinkState;
import bellpush.config.model.Value;
import bellpush.drivers.link.Notebook;
import bellpush.drivers.link.StreamFraming;
import bellpush.drivers.link.TestLoop;
import bellpush.drivers.spi.Link;
import bellpush.drivers.spi.Request;
import io.netty.buffer.ByteBuf;
import io.netty.buffer.Unpooled;
import java.net.DatagramPacket;
import java.net.DatagramSocket;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.net.SocketAddress;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** A hundred thousand hostile packets through the whole driver on real sockets: it stays up, and says so in few words. */
class OscHostilePeerTest {
    private static final int PACKETS = 100_000;
    /** How many go out before the device waits for the link, so that the socket's buffer does not run over. */
    private static final int BATCH = 50;

    private final TestLoop loop = new TestLoop();
    private final OscTestHost host = new OscTestHost(loop);

    @AfterEach
    void close() {
        loop.close();
    }

    private Link open(Kind kind, int port) {
        return loop.on(() -> new OscDriver().open(OscTestKind.device(kind, port, Map.of()), Limits.DEFAULT, host));
    }

    @Test
    void datagrams() throws Exception {
        try (DatagramSocket device = new DatagramSocket(0, InetAddress.getLoopbackAddress())) {
            device.setSoTimeout(10_000);
            Link link = open(OscTestKind.datagrams(), device.getLocalPort());
            Notebook.until("the link to be up", () -> host.state == LinkState.UP);
            loop.run(() -> link.send(new Request.SetProperty(1, "mute", Value.of(true))));
            DatagramPacket first = new DatagramPacket(new byte[100], 100);
            device.receive(first);
            SocketAddress us = first.getSocketAddress();

            HostilePackets hostile = new HostilePackets(1);
            for (int n = 1; n <= PACKETS; n++) {
                byte[] bytes = hostile.next();
                device.send(new DatagramPacket(bytes, bytes.length, us));
                if (n % BATCH == 0) {
                    byte[] report = count(n);
                    device.send(new DatagramPacket(report, report.length, us));
                    awaitLast(n);
                }
            }
            assertThat(host.states).hasSize(1);
            assertQuietAndForPeople();
            loop.run(link::close);
        }
    }

    static List<Framing> framings() {
        return List.of(new Framing.LengthPrefix(4, false, false), new Framing.Slip());
    }

    @ParameterizedTest
    @MethodSource("framings")
    void streams(Framing framing) throws Exception {
        try (ServerSocket server = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
            server.setSoTimeout(10_000);
            Link link = open(OscTestKind.stream(framing), server.getLocalPort());
            try (Socket device = server.accept()) {
                HostilePackets hostile = new HostilePackets(2);
                StreamFraming out = StreamFraming.of(framing, 65_536);
                ByteBuf bytes = Unpooled.buffer();
                for (int n = 1; n <= PACKETS; n++) {
                    out.wrap(hostile.next(), bytes);
                    if (n % 500 == 0) {
                        out.wrap(count(n), bytes);
                        bytes.readBytes(device.getOutputStream(), bytes.readableBytes());
                        bytes.clear();
                        awaitLast(n);
                    }
                }
                assertThat(host.states).hasSize(1);
                assertQuietAndForPeople();
                loop.run(link::close);
            }
        }
    }

    /** Bytes that are not even framed: the link may have to connect again, and does. */
    @ParameterizedTest
    @MethodSource("framings")
    void noiseOnAStreamIsSurvived(Framing framing) throws Exception {
        try (ServerSocket server = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
            server.setSoTimeout(10_000);
            Link link = open(OscTestKind.stream(framing), server.getLocalPort());
            RandomPackets random = new RandomPackets(3);
            for (int connection = 0; connection < 2; connection++) {
                try (Socket device = server.accept()) {
                    for (int n = 0; n < 20; n++) {
                        device.getOutputStream().write(random.bytes(10_000));
                    }
                } catch (java.io.IOException _) {
                    continue; // the link hung up on the noise
                }
            }
            try (Socket device = server.accept()) {
                ByteBuf bytes = Unpooled.buffer();
                StreamFraming.of(framing, 65_536).wrap(count(7), bytes);
                bytes.readBytes(device.getOutputStream(), bytes.readableBytes());
                host.awaitReport("count", Value.of(7));
                assertThat(host.notes).allSatisfy(OscHostilePeerTest::assertForPeople);
                loop.run(link::close);
            }
        }
    }

    private static byte[] count(int n) {
        return OscEncoder.encode(new OscMessage("/count", new OscValue.Int32(n)));
    }

    private void awaitLast(int n) {
        long deadline = System.nanoTime() + 10_000_000_000L; // without sleeping: two thousand short waits
        while (!host.reported("count", Value.of(n))) {
            if (System.nanoTime() > deadline) {
                throw new AssertionError("waited 10 s for report " + n);
            }
            Thread.yield();
        }
        host.reports.clear();
    }

    /** Once at once, then a count every 10 s, for each sort of trouble; never a line per packet. */
    private void assertQuietAndForPeople() {
        assertThat(host.notes).filteredOn(n -> n.startsWith("a malformed message was dropped: ")).isNotEmpty();
        assertThat(host.notes).hasSizeLessThan(50).allSatisfy(OscHostilePeerTest::assertForPeople);
    }

    private static void assertForPeople(String note) {
        assertThat(note).doesNotContain("Exception", "\tat ", "java.", "io.netty").hasSizeLessThan(600);
        assertThat(note.chars()).noneMatch(Character::isISOControl);
    }
}
