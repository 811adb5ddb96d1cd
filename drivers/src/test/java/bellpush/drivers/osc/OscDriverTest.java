package bellpush.drivers.osc;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Framing;
import bellpush.config.model.Kind;
import bellpush.config.model.Limits;
import bellpush.config.model.LinkState;
import bellpush.config.model.Value;
import bellpush.drivers.Drivers;
import bellpush.drivers.link.Notebook;
import bellpush.drivers.link.TestLoop;
import bellpush.drivers.spi.Link;
import bellpush.drivers.spi.Outcome;
import bellpush.drivers.spi.Request;
import bellpush.drivers.spi.SimulatedDevice;
import java.io.DataInputStream;
import java.io.DataOutputStream;
import java.io.IOException;
import java.net.DatagramPacket;
import java.net.DatagramSocket;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.time.Instant;
import java.time.Duration;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** The driver on real sockets on loopback; the device is played with the sockets of the JDK. */
class OscDriverTest {
    private static final Framing SIZED = new Framing.LengthPrefix(4, false, false);

    private final TestLoop loop = new TestLoop();
    private final OscTestHost host = new OscTestHost(loop);

    @AfterEach
    void close() {
        loop.close();
    }

    private Link open(Kind kind, int port, Map<String, Object> settings) {
        return loop.on(() -> new OscDriver().open(OscTestKind.device(kind, port, settings), Limits.DEFAULT, host));
    }

    private void send(Link link, Request request) {
        loop.run(() -> link.send(request));
    }

    private void awaitUp() {
        Notebook.until("the link to be up", () -> host.state == LinkState.UP);
    }

    @Test
    void isFoundByItsName() {
        assertThat(Drivers.installed().named("osc")).containsInstanceOf(OscDriver.class);
    }

    @Test
    void speaksInDatagrams() throws Exception {
        try (DatagramSocket device = new DatagramSocket(0, InetAddress.getLoopbackAddress())) {
            device.setSoTimeout(10_000);
            Link link = open(OscTestKind.datagrams(), device.getLocalPort(), Map.of());
            awaitUp();

            send(link, new Request.SetProperty(1, "level", Value.of(-6)));
            DatagramPacket packet = receive(device);
            assertThat(hex(packet)).isEqualTo("2f6368616e6e656c2f312f6c6576656c000000002c660000c0c00000");
            Notebook.until("an outcome", () -> host.outcomes.containsKey(1L));
            assertThat(host.outcomes.get(1L)).isEqualTo(new Outcome.Sent());

            send(link, new Request.DoCommand(2, "scene", Map.of("number", Value.of(7)), Map.of()));
            assertThat(OscDecoder.decode(bytes(receive(device)))).isEqualTo(new OscMessage("/scene/07/recall"));

            reply(device, packet,
                    new OscBundle(OscTimeTag.IMMEDIATELY, new OscMessage("/channel/*/mute", OscValue.Flag.ON),
                            new OscMessage("/line", new OscValue.Text("Song"), new OscValue.Float32(-12.5f),
                                    new OscValue.Int32(0))));
            host.awaitReport("mute", Value.of(true));
            host.awaitReport("title", Value.of("Song"));
            assertThat(host.reports).last().isEqualTo(
                    Map.of("title", Value.of("Song"), "level", Value.of(-12.5), "mute", Value.of(false)));

            send(link, new Request.AskProperty(3, "level"));
            assertThat(OscDecoder.decode(bytes(receive(device)))).isEqualTo(new OscMessage("/channel/1/level/ask"));
            reply(device, packet, new OscMessage("/channel/1/level", new OscValue.Float64(0.1)));
            Notebook.until("an answer", () -> host.outcomes.containsKey(3L));
            assertThat(host.outcomes.get(3L)).isEqualTo(new Outcome.Done());
            assertThat(host.reported("level", Value.of(0.1))).isTrue();
            loop.run(link::close);
        }
    }

    /** OSC 1.0, "Temporal Semantics": what is for later waits, what comes after it does not. */
    @Test
    void holdsBackWhatIsForLater() throws Exception {
        try (DatagramSocket device = new DatagramSocket(0, InetAddress.getLoopbackAddress())) {
            device.setSoTimeout(10_000);
            Link link = open(OscTestKind.datagrams(), device.getLocalPort(), Map.of());
            awaitUp();
            send(link, new Request.SetProperty(1, "level", Value.of(-6)));
            DatagramPacket packet = receive(device);

            reply(device, packet, new OscBundle(OscTimeTag.of(Instant.now().plusSeconds(3)),
                    new OscMessage("/count", new OscValue.Int32(1)), new OscMessage("/count", new OscValue.Int32(2))));
            reply(device, packet, new OscMessage("/count", new OscValue.Int32(3)));
            host.awaitReport("count", Value.of(2));
            assertThat(host.reports).extracting(r -> r.get("count")).containsExactly(Value.of(3), Value.of(1),
                    Value.of(2));
            loop.run(link::close);
        }
    }

    @Test
    void sendsAheadWhereTheSettingsSaySo() throws Exception {
        try (DatagramSocket device = new DatagramSocket(0, InetAddress.getLoopbackAddress())) {
            device.setSoTimeout(10_000);
            Kind kind = OscTestKind.kind(false, new Framing.None(), Map.of("sendAhead", "9 s"), List.of());
            Link link = open(kind, device.getLocalPort(), Map.of("sendAhead", 5_000L));
            awaitUp();
            OscTimeTag before = OscTimeTag.of(Instant.now().plusSeconds(5));
            send(link, new Request.SetProperty(1, "mute", Value.of(true)));
            OscPacket packet = OscDecoder.decode(bytes(receive(device)));
            OscTimeTag after = OscTimeTag.of(Instant.now().plusSeconds(5));
            assertThat(packet).isInstanceOfSatisfying(OscBundle.class, bundle -> {
                assertThat(bundle.elements()).containsExactly(new OscMessage("/channel/1/mute", new OscValue.Int32(1)));
                assertThat(bundle.timeTag().before(before)).isFalse();
                assertThat(after.before(bundle.timeTag())).isFalse();
            });
            loop.run(link::close);
        }
    }

    @Test
    void wrongSettingsOfADeviceAreSaidAndLeftAside() throws Exception {
        try (DatagramSocket device = new DatagramSocket(0, InetAddress.getLoopbackAddress())) {
            device.setSoTimeout(10_000);
            Link link = open(OscTestKind.datagrams(), device.getLocalPort(), Map.of("sendAhead", "soon"));
            awaitUp();
            assertThat(host.notes).singleElement().asString().contains("\"desk\"", "sendAhead", "50 ms");
            send(link, new Request.SetProperty(1, "mute", Value.of(true)));
            assertThat(OscDecoder.decode(bytes(receive(device)))).isInstanceOf(OscMessage.class);
            loop.run(link::close);
        }
    }

    /** OSC 1.0: on a stream, an int32 size stands before each packet. */
    @Test
    void speaksOnAStreamWithSizes() throws Exception {
        try (ServerSocket server = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
            server.setSoTimeout(10_000);
            Link link = open(OscTestKind.stream(new Framing.None()), server.getLocalPort(), Map.of());
            try (Socket device = server.accept()) {
                device.setSoTimeout(10_000);
                awaitUp();
                send(link, new Request.SetProperty(1, "mute", Value.of(true)));
                DataInputStream in = new DataInputStream(device.getInputStream());
                byte[] packet = new byte[in.readInt()];
                in.readFully(packet);
                assertThat(OscDecoder.decode(packet))
                        .isEqualTo(new OscMessage("/channel/1/mute", new OscValue.Int32(1)));

                DataOutputStream out = new DataOutputStream(device.getOutputStream());
                byte[] report = OscEncoder.encode(new OscMessage("/count", new OscValue.Int32(42)));
                out.writeInt(report.length);
                out.write(report, 0, 5);
                out.flush();
                out.write(report, 5, report.length - 5);
                host.awaitReport("count", Value.of(42));
                loop.run(link::close);
            }
        }
    }

    /** OSC 1.1 (NIME 2009, section 4): SLIP with END before and after. The bytes are the vector computed from RFC 1055. */
    @Test
    void speaksOnAStreamInSlip() throws Exception {
        try (ServerSocket server = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
            server.setSoTimeout(10_000);
            Link link = open(OscTestKind.stream(new Framing.Slip()), server.getLocalPort(), Map.of());
            try (Socket device = server.accept()) {
                device.setSoTimeout(10_000);
                awaitUp();
                send(link, new Request.SetProperty(1, "level", Value.of(-6)));
                String expected = "c02f6368616e6e656c2f312f6c6576656c000000002c660000dbdcdbdc0000c0";
                assertThat(HexFormat.of().formatHex(device.getInputStream().readNBytes(expected.length() / 2)))
                        .isEqualTo(expected);

                device.getOutputStream().write(HexFormat.of().parseHex(expected.replace("dbdcdbdc", "dbdca0")));
                host.awaitReport("level", Value.of(-5));
                loop.run(link::close);
            }
        }
    }

    /** RFC 1055 and section 4 of the NIME 2009 paper, as computed in this project's reference values. */
    @Test
    void slipVectorsOfThisProjectsReferencesAreOurs() throws Exception {
        HexFormat hex = HexFormat.of();
        assertThat(slip(hex.parseHex("01c002db03"))).isEqualTo("c001dbdc02dbdd03c0");
        OscMessage message = new OscMessage("/a", new OscValue.Float32(-6));
        assertThat(slip(OscEncoder.encode(message))).isEqualTo("c02f6100002c660000dbdcdbdc0000c0");
    }

    private static String slip(byte[] message) {
        io.netty.buffer.ByteBuf out = io.netty.buffer.Unpooled.buffer();
        bellpush.drivers.link.StreamFraming.of(new Framing.Slip(), 1_000).wrap(message, out);
        return io.netty.buffer.ByteBufUtil.hexDump(out);
    }

    static List<Framing> ways() {
        return List.of(new Framing.None(), SIZED, new Framing.Slip());
    }

    /** Link and simulated device of one kind: in datagrams, with sizes, in SLIP; and sent ahead of their time. */
    @ParameterizedTest
    @MethodSource("ways")
    void simulatedDevicesTakeSetsAndReport(Framing framing) {
        boolean stream = !(framing instanceof Framing.None);
        Kind kind = OscTestKind.kind(stream, framing, Map.of("sendAhead", "20 ms"));
        try (TestLoop theirs = new TestLoop();
                SimulatedDevice gear = new OscDriver().simulate(OscTestKind.device(kind, 1, Map.of()), theirs.loop, 1,
                        new InetSocketAddress(InetAddress.getLoopbackAddress(), 0)).orElseThrow()) {
            Link link = open(kind, gear.address().getPort(), Map.of());
            awaitUp();
            send(link, new Request.SetProperty(1, "level", Value.of(-6.5)));
            send(link, new Request.SetProperty(2, "title", Value.of("Zweites Lied für alle")));
            Notebook.until("the device to be set", () -> gear.values().get("level").equals(Value.of(-6.5))
                    && gear.values().get("title").equals(Value.of("Zweites Lied für alle")));
            send(link, new Request.AskProperty(3, "level"));
            Notebook.until("an answer", () -> host.outcomes.containsKey(3L));
            assertThat(host.outcomes.get(3L)).isEqualTo(new Outcome.Done());
            gear.change(Map.of("mute", Value.of(true)));
            host.awaitReport("mute", Value.of(true));
            send(link, new Request.SetProperty(4, "level", Value.of(-50), false, Duration.ofMillis(300)));
            host.awaitReport("level", Value.of(-50));
            assertThat(host.reports).as("told on the way")
                    .anyMatch(told -> told.get("level") instanceof Value.Num(double n) && n < -7 && n > -49);
            assertThat(host.notes).isEmpty();
            loop.run(link::close);
        }
    }

    @Test
    void complainsAboutKindsItCannotSpeak() {
        assertThat(new OscDriver().complaints(OscTestKind.datagrams())).isEmpty();
        assertThat(new OscDriver().complaints(OscTestKind.stream(SIZED))).isEmpty();
        assertThat(new OscDriver().complaints(OscTestKind.stream(new Framing.None()))).isEmpty();
        assertThat(new OscDriver().complaints(OscTestKind.kind(false, SIZED, Map.of())))
                .singleElement().asString().contains("\"framing\"", "\"stream\": true");
        assertThat(new OscDriver().complaints(OscTestKind.stream(new Framing.LengthPrefix(2, false, false))))
                .singleElement().asString().contains("u32", "slip");
        assertThat(new OscDriver().complaints(
                OscTestKind.kind(false, new Framing.None(), Map.of("sendahead", "50 ms")))).singleElement().asString()
                .contains("sendahead", "\"sendAhead\"");
        assertThat(new OscDriver().complaints(
                OscTestKind.kind(false, new Framing.None(), Map.of("sendAhead", 20_000L)))).singleElement().asString()
                .contains("at most 10 s");
        assertThat(new OscDriver().complaints(OscTestKind.kind(false, new Framing.None(), Map.of(),
                List.of(new bellpush.config.model.Template.Text("x"), OscTestKind.osc("x"), OscTestKind.osc("/a b"),
                        OscTestKind.osc("/{a"), OscTestKind.osc("/a}"), OscTestKind.osc("/{a}{b}"),
                        OscTestKind.osc("/{a:hex2}"), OscTestKind.osc("/a", OscTestKind.field('q', "x")),
                        OscTestKind.osc("/a", OscTestKind.field('N', "x")),
                        OscTestKind.osc("/a", OscTestKind.literal('i', Value.of(0.5))),
                        OscTestKind.osc("/a/{check}")))))
                .hasSize(11).allSatisfy(c -> assertThat(c).startsWith("\"reports\": ").endsWith("."))
                .satisfiesExactly(c -> assertThat(c).contains("{ \"osc\": "),
                        c -> assertThat(c).contains("begins with /"),
                        c -> assertThat(c).contains("a space"), c -> assertThat(c).contains("never closed"),
                        c -> assertThat(c).contains("}}"), c -> assertThat(c).contains("side by side"),
                        c -> assertThat(c).contains("decN"), c -> assertThat(c).contains("no type tag q"),
                        c -> assertThat(c).contains("carries no value"), c -> assertThat(c).contains("0.5 is not"),
                        c -> assertThat(c).contains("{check}"));
    }

    private static DatagramPacket receive(DatagramSocket socket) throws IOException {
        DatagramPacket packet = new DatagramPacket(new byte[2_000], 2_000);
        socket.receive(packet);
        return packet;
    }

    private static void reply(DatagramSocket device, DatagramPacket to, OscPacket packet) throws IOException {
        byte[] bytes = OscEncoder.encode(packet);
        device.send(new DatagramPacket(bytes, bytes.length, to.getSocketAddress()));
    }

    private static byte[] bytes(DatagramPacket packet) {
        return Arrays.copyOf(packet.getData(), packet.getLength());
    }

    private static String hex(DatagramPacket packet) {
        return HexFormat.of().formatHex(bytes(packet));
    }
}
