package bellpush.drivers.link;

import static bellpush.drivers.link.Notebook.until;
import static bellpush.drivers.link.TestKind.text;
import static java.nio.charset.StandardCharsets.US_ASCII;
import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Device;
import bellpush.config.model.Limits;
import bellpush.config.model.LinkState;
import bellpush.config.model.Value;
import bellpush.drivers.spi.Outcome;
import bellpush.drivers.spi.Request;
import io.netty.buffer.Unpooled;
import io.netty.channel.embedded.EmbeddedChannel;
import java.io.IOException;
import java.net.DatagramPacket;
import java.net.DatagramSocket;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.SocketAddress;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CopyOnWriteArrayList;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;

/** The udp link against small servers of the JDK's own sockets, on loopback. */
class UdpLinkTest {
    private static final InetAddress LOOPBACK = InetAddress.getLoopbackAddress();

    private final TestLoop loop = new TestLoop();
    private final Notebook host = new Notebook(loop.loop);
    private final List<PacketServer> servers = new ArrayList<>();
    private UdpLink<byte[]> link;

    /** Answers questions with 5, pings with pong and sets with OK, unless told to be deaf. */
    private final class PacketServer implements AutoCloseable {
        final DatagramSocket socket;
        final List<String> packets = new CopyOnWriteArrayList<>();
        volatile SocketAddress peer;
        volatile boolean deaf;
        volatile int deafTo;

        PacketServer(int port) throws IOException {
            socket = new DatagramSocket(new InetSocketAddress(LOOPBACK, port));
            servers.add(this);
            Thread.ofVirtual().start(this::serve);
        }

        int port() {
            return socket.getLocalPort();
        }

        private void serve() {
            var packet = new DatagramPacket(new byte[70_000], 70_000);
            try {
                while (true) {
                    socket.receive(packet);
                    peer = packet.getSocketAddress();
                    String text = new String(packet.getData(), 0, packet.getLength(), US_ASCII);
                    packets.add(text);
                    if (deafTo > 0) {
                        deafTo--;
                    } else if (!deaf) {
                        say(text.equals("ping") ? "pong" : text.endsWith("?") ? text.replace("?", " 5") : "OK");
                    }
                }
            } catch (IOException _) {
                // closed
            }
        }

        void say(String text) throws IOException {
            byte[] bytes = text.getBytes(US_ASCII);
            socket.send(new DatagramPacket(bytes, bytes.length, peer));
        }

        @Override
        public void close() {
            socket.close();
        }
    }

    private void open(Device device) {
        link = loop.on(() -> UdpLink.open(device, Limits.DEFAULT, host, new WireCodec(device.kind())));
    }

    private void send(Request request) {
        loop.run(() -> link.send(request));
    }

    private void set(long id, int value) {
        send(new Request.SetProperty(id, "iris", Value.of(value)));
    }

    @AfterEach
    void close() {
        if (link != null) {
            loop.run(link::close);
        }
        loop.close();
        servers.forEach(PacketServer::close);
        assertThat(host.offLoop).as("told outside of the loop").isEmpty();
        Notebook.assertForPeople(host.notes);
        Notebook.assertForPeople(host.states);
    }

    @Test
    void setsAsksAndRetries() throws IOException {
        var server = new PacketServer(0);
        open(TestKind.udp().level("iris", false).ok(text("OK")).within(200, 3).at("127.0.0.1", server.port()));
        until("up", () -> host.state == LinkState.UP);
        server.deafTo = 2;
        set(1, 7);
        until("acknowledged at the third try", () -> host.outcome(1) != null);
        assertThat(host.outcome(1)).isEqualTo(new Outcome.Done());
        assertThat(server.packets).hasSizeGreaterThanOrEqualTo(3).containsOnly("iris 7");
        send(new Request.AskProperty(2, "iris"));
        until("answered", () -> host.outcome(2) != null);
        assertThat(host.outcome(2)).isEqualTo(new Outcome.Done());
        assertThat(host.beliefs).containsEntry("iris", Value.of(5));
    }

    @Test
    void withAHeartbeatItIsDownUntilTheFirstReplyAndStaleWhenTheDeviceFallsSilent() throws IOException {
        var server = new PacketServer(0);
        server.deaf = true;
        open(TestKind.udp().level("iris", false).heartbeat(text("ping"), text("pong"), 100, 100).at("127.0.0.1",
                server.port()));
        until("pinged", () -> server.packets.size() >= 3);
        assertThat(host.states).isEmpty();
        server.deaf = false;
        until("up", () -> host.state == LinkState.UP);
        server.deaf = true;
        until("stale", () -> host.state == LinkState.STALE);
        server.deaf = false;
        until("up again", () -> host.state == LinkState.UP);
    }

    @Test
    void aForeignSenderIsNotBelieved() throws IOException {
        var server = new PacketServer(0);
        var foreigner = new PacketServer(0);
        open(TestKind.udp().level("iris", false).at("127.0.0.1", server.port()));
        until("up", () -> host.state == LinkState.UP);
        set(1, 1);
        until("the server knows the link's port", () -> server.peer != null);
        foreigner.peer = server.peer;
        for (int i = 0; i < 50; i++) {
            foreigner.say("iris 99");
        }
        server.say("iris 6");
        until("the device is heard", () -> !host.reports.isEmpty());
        assertThat(host.reports).allMatch(said -> said.values().get("iris").equals(Value.of(6)));
    }

    @Test
    void aDeviceThatReportsToAPortOfOursIsHeardThereWhateverPortItSendsFrom() throws IOException {
        int own;
        try (var free = new DatagramSocket(new InetSocketAddress(LOOPBACK, 0))) {
            own = free.getLocalPort();
        }
        var server = new PacketServer(0);
        var reporter = new PacketServer(0);
        Device plain = TestKind.udp().level("iris", false).at("127.0.0.1", server.port());
        open(new Device(plain.name(), plain.label(), plain.kind(), plain.address(), plain.port(),
                Map.of(OwnPort.SETTING, (long) own), plain.at()));
        until("up", () -> host.state == LinkState.UP);
        reporter.peer = new InetSocketAddress(LOOPBACK, own);
        until("heard at our own port", () -> {
            try {
                reporter.say("iris 42"); // again and again: nothing tells when it listens
            } catch (IOException e) {
                return false;
            }
            return Value.of(42).equals(host.beliefs.get("iris"));
        });
    }

    @Test
    void anOwnPortThatMakesNoSenseOrIsTakenIsSaidAndTheLinkWorksWithoutIt() throws IOException {
        assertThat(OwnPort.complaints(Map.of(OwnPort.SETTING, "nine"))).singleElement().asString()
                .contains("a whole number from 1 to 65535, not nine");
        assertThat(OwnPort.complaints(Map.of(OwnPort.SETTING, 70_000L))).hasSize(1);
        assertThat(OwnPort.complaints(Map.of())).isEmpty();
        var server = new PacketServer(0);
        var taken = new PacketServer(0);
        Device plain = TestKind.udp().level("iris", false).at("127.0.0.1", server.port());
        open(new Device(plain.name(), plain.label(), plain.kind(), plain.address(), plain.port(),
                Map.of(OwnPort.SETTING, (long) taken.port()), plain.at()));
        until("noted",
                () -> host.notes.stream().anyMatch(n -> n.contains("cannot listen at UDP port " + taken.port())));
        set(1, 3);
        until("sent all the same", () -> server.packets.contains("iris 3"));
    }

    @Test
    void aPacketOfAForeignSenderThatGotInBeforeTheSocketWasConnectedIsDropped() {
        var device = TestKind.udp().level("iris", false).at("127.0.0.1", 5_000);
        var transport = new HandTransport();
        var timers = new HandTimers();
        var notebook = new Notebook(null);
        var conversation = new Conversation<>(device, Limits.DEFAULT, new WireCodec(device.kind()), notebook, timers,
                transport, true);
        conversation.opened("open");
        var own = new InetSocketAddress(LOOPBACK, 5_000);
        var channel = new EmbeddedChannel(new DatagramHandler(conversation, own::equals, 100));
        for (int port : new int[]{4_999, 5_000}) {
            channel.writeInbound(new io.netty.channel.socket.DatagramPacket(
                    Unpooled.copiedBuffer("iris " + (port - 4_990), US_ASCII), own,
                    new InetSocketAddress(LOOPBACK, port)));
        }
        assertThat(notebook.beliefs).containsEntry("iris", Value.of(10));
        assertThat(notebook.reports).hasSize(1);
        assertThat(notebook.notes).hasSize(1).first().asString().contains("not the device's address");
        channel.finishAndReleaseAll();
    }

    @Test
    void aClosedPortMakesItStaleWithoutAStackTraceAndADeviceThatComesMakesItUp() throws IOException {
        int port;
        try (var free = new DatagramSocket(new InetSocketAddress(LOOPBACK, 0))) {
            port = free.getLocalPort();
        }
        open(TestKind.udp().level("iris", false).at("127.0.0.1", port));
        until("up", () -> host.state == LinkState.UP);
        set(1, 1);
        until("stale", () -> host.state == LinkState.STALE);
        assertThat(host.states.getLast()).contains("nothing listens at that port");
        assertThat(host.outcome(1)).isEqualTo(new Outcome.Sent());
        var server = new PacketServer(port);
        set(2, 2);
        until("arrived", () -> server.packets.contains("iris 2"));
        until("up", () -> host.state == LinkState.UP);
    }

    @Test
    void aPacketThatIsTooLongIsDroppedAndCounted() throws IOException {
        var server = new PacketServer(0);
        var device = TestKind.udp().level("iris", false).at("127.0.0.1", server.port());
        link = loop
                .on(() -> UdpLink.open(device, new Limits(1, 1, 1, 4, 1, 1_000), host, new WireCodec(device.kind())));
        until("up", () -> host.state == LinkState.UP);
        set(1, 1);
        until("the server knows the link's port", () -> server.peer != null);
        server.say("iris 00000" + "0".repeat(2_000));
        server.say("iris 6");
        until("heard", () -> host.beliefs.containsKey("iris"));
        assertThat(host.notes).anyMatch(note -> note.contains("longer than 1000 bytes"));
    }
}
