package bellpush.drivers.osc;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import bellpush.config.model.Framing;
import bellpush.config.model.Kind;
import bellpush.config.model.Limits;
import bellpush.config.model.LinkState;
import bellpush.config.model.Value;
import bellpush.drivers.link.Notebook;
import bellpush.drivers.link.StreamFraming;
import bellpush.drivers.link.TestLoop;
import bellpush.drivers.spi.Link;
import bellpush.drivers.spi.Outcome;
import bellpush.drivers.spi.Request;
import io.netty.buffer.ByteBuf;
import io.netty.buffer.Unpooled;
import java.io.BufferedReader;
import java.io.DataInputStream;
import java.io.File;
import java.io.IOException;
import java.io.InputStreamReader;
import java.net.DatagramPacket;
import java.net.DatagramSocket;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Named;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;

/** Against {@code oscsend} and {@code oscdump} of liblo (Debian's liblo-tools), an implementation by others in another language. */
class LibloTest {
    /** The second worked example of "The Open Sound Control 1.0 Specification Examples". */
    private static final OscMessage FOO = new OscMessage("/foo", new OscValue.Int32(1000), new OscValue.Int32(-1),
            new OscValue.Text("hello"), new OscValue.Float32(1.234f), new OscValue.Float32(5.678f));
    private static final List<String> FOO_WORDS = List.of("/foo", "iisff", "1000", "-1", "hello", "1.234", "5.678");
    private static final String FOO_DUMPED = "/foo iisff 1000 -1 \"hello\" 1.234000 5.678000";

    private final List<Process> started = new ArrayList<>();

    @BeforeEach
    void theToolsMustBeThere() {
        for (String tool : List.of("oscsend", "oscdump")) {
            assumeTrue(Stream.of(System.getenv("PATH").split(File.pathSeparator)).map(f -> new File(f, tool))
                    .anyMatch(File::canExecute),
                    tool + " is not installed, so nothing was checked against it: install "
                            + "the package liblo-tools");
        }
    }

    @AfterEach
    void end() {
        started.forEach(Process::destroy);
    }

    @Test
    void readsWhatOscsendSendsInDatagrams() throws Exception {
        try (DatagramSocket socket = new DatagramSocket(0, InetAddress.getLoopbackAddress())) {
            socket.setSoTimeout(10_000);
            oscsend(List.of("127.0.0.1", "" + socket.getLocalPort()), FOO_WORDS);
            assertThat(receive(socket)).isEqualTo(OscEncoder.encode(FOO));
            oscsend(List.of("127.0.0.1", "" + socket.getLocalPort()), List.of("/t", "TFNI"));
            assertThat(OscDecoder.decode(receive(socket))).isEqualTo(
                    new OscMessage("/t", OscValue.Flag.ON, OscValue.Flag.OFF, OscValue.Nil.NIL,
                            OscValue.Impulse.IMPULSE));
            oscsend(List.of("127.0.0.1", "" + socket.getLocalPort()), List.of("/o", "hdSc", "5", "0.1", "sym", "A"));
            assertThat(OscDecoder.decode(receive(socket))).isEqualTo(new OscMessage("/o", new OscValue.Int64(5),
                    new OscValue.Float64(0.1), new OscValue.Symbol("sym"), new OscValue.Char('A')));
        }
    }

    @Test
    void readsWhatOscsendSendsOnAStream() throws Exception {
        try (ServerSocket server = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
            server.setSoTimeout(10_000);
            oscsend(List.of("osc.tcp://127.0.0.1:" + server.getLocalPort()), FOO_WORDS);
            try (Socket socket = server.accept()) {
                socket.setSoTimeout(10_000);
                DataInputStream in = new DataInputStream(socket.getInputStream());
                byte[] packet = new byte[in.readInt()];
                in.readFully(packet);
                assertThat(packet).isEqualTo(OscEncoder.encode(FOO));
            }
        }
    }

    @Test
    void oscdumpReadsOurDatagrams() throws Exception {
        int port = freePort();
        List<String> lines = oscdump("" + port);
        try (DatagramSocket socket = new DatagramSocket()) {
            Notebook.until("oscdump to print our message", () -> {
                byte[] bytes = OscEncoder.encode(FOO); // again and again: nothing tells when it listens
                send(socket, bytes, port);
                return lines.stream().anyMatch(l -> l.endsWith(FOO_DUMPED));
            });
            send(socket, OscEncoder.encode(new OscBundle(OscTimeTag.IMMEDIATELY,
                    new OscMessage("/one", new OscValue.Int64(5), OscValue.Flag.ON),
                    new OscBundle(OscTimeTag.IMMEDIATELY, new OscMessage("/two", new OscValue.Float64(0.5))))), port);
            Notebook.until("oscdump to print both messages of the bundle",
                    () -> lines.stream().anyMatch(l -> l.contains("/one hT 5"))
                            && lines.stream().anyMatch(l -> l.contains("/two d 0.5")));
        }
    }

    static List<Framing> framings() {
        return List.of(new Framing.LengthPrefix(4, false, false), new Framing.Slip());
    }

    @ParameterizedTest
    @MethodSource("framings")
    void oscdumpReadsOurStreams(Framing framing) throws Exception {
        int port = freePort();
        List<String> lines = oscdump("osc.tcp://:" + port);
        try (Socket socket = connect(port)) {
            ByteBuf bytes = Unpooled.buffer();
            StreamFraming out = StreamFraming.of(framing, 65_536);
            out.wrap(OscEncoder.encode(FOO), bytes);
            out.wrap(OscEncoder.encode(new OscMessage("/a", new OscValue.Float32(-6))), bytes);
            bytes.readBytes(socket.getOutputStream(), bytes.readableBytes());
            Notebook.until("oscdump to print our messages", () -> lines.stream().anyMatch(l -> l.endsWith(FOO_DUMPED))
                    && lines.stream().anyMatch(l -> l.endsWith("/a f -6.000000")));
        }
    }

    static List<Arguments> kinds() {
        return List.of(Arguments.of(Named.of("datagrams", OscTestKind.datagrams())),
                Arguments.of(Named.of("sizes", OscTestKind.stream(new Framing.None()))),
                Arguments.of(Named.of("SLIP", OscTestKind.stream(new Framing.Slip()))));
    }

    /** The whole driver, in each of its three ways, with oscdump in the place of the device. */
    @ParameterizedTest
    @MethodSource("kinds")
    void oscdumpReadsWhatTheDriverSends(Kind kind) throws Exception {
        int port = freePort();
        List<String> lines = oscdump(kind.stream() ? "osc.tcp://:" + port : "" + port);
        try (TestLoop loop = new TestLoop()) {
            OscTestHost host = new OscTestHost(loop);
            Link link = loop
                    .on(() -> new OscDriver().open(OscTestKind.device(kind, port, Map.of()), Limits.DEFAULT, host));
            long[] id = {0};
            Notebook.until("oscdump to print what the driver sends", () -> {
                if (host.state == LinkState.UP || host.state == LinkState.STALE) {
                    loop.run(() -> link.send(new Request.SetProperty(++id[0], "level", Value.of(-6.5))));
                }
                return lines.stream().anyMatch(l -> l.endsWith("/channel/1/level f -6.500000"));
            });
            loop.run(link::close);
        }
    }

    /** oscsend speaks to the device's port, and the device passes it on as its own: only what it says itself is heard. */
    @Test
    void theDriverHearsWhatOscsendSaysInDatagrams() throws Exception {
        try (TestLoop loop = new TestLoop();
                DatagramSocket device = new DatagramSocket(0, InetAddress.getLoopbackAddress())) {
            device.setSoTimeout(10_000);
            OscTestHost host = new OscTestHost(loop);
            Link link = loop.on(() -> new OscDriver().open(
                    OscTestKind.device(OscTestKind.datagrams(), device.getLocalPort(), Map.of()), Limits.DEFAULT,
                    host));
            Notebook.until("the link to be up", () -> host.state == LinkState.UP);
            loop.run(() -> link.send(new Request.AskProperty(1, "level")));
            DatagramPacket asked = new DatagramPacket(new byte[200], 200);
            device.receive(asked);

            oscsend(List.of("127.0.0.1", "" + device.getLocalPort()), List.of("/channel/*/level", "d", "-3.25"));
            byte[] said = receive(device);
            device.send(new DatagramPacket(said, said.length, asked.getSocketAddress()));
            host.awaitReport("level", Value.of(-3.25));
            Notebook.until("the question to be answered", () -> host.outcomes.containsKey(1L));
            assertThat(host.outcomes.get(1L)).isEqualTo(new Outcome.Done());
            loop.run(link::close);
        }
    }

    /** The same on a stream. */
    @Test
    void theDriverHearsWhatOscsendSaysOnAStream() throws Exception {
        try (TestLoop loop = new TestLoop();
                ServerSocket device = new ServerSocket(0, 1, InetAddress.getLoopbackAddress());
                ServerSocket mouth = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
            device.setSoTimeout(10_000);
            mouth.setSoTimeout(10_000);
            OscTestHost host = new OscTestHost(loop);
            Kind kind = OscTestKind.stream(new Framing.None());
            Link link = loop.on(() -> new OscDriver().open(OscTestKind.device(kind, device.getLocalPort(), Map.of()),
                    Limits.DEFAULT, host));
            try (Socket ours = device.accept()) {
                oscsend(List.of("osc.tcp://127.0.0.1:" + mouth.getLocalPort()),
                        List.of("/line", "sfT", "Second song", "-12.5"));
                try (Socket theirs = mouth.accept()) {
                    theirs.getInputStream().transferTo(ours.getOutputStream());
                }
                host.awaitReport("title", Value.of("Second song"));
                assertThat(host.reports).last()
                        .isEqualTo(Map.of("title", Value.of("Second song"), "level", Value.of(-12.5), "mute",
                                Value.of(true)));
            }
            loop.run(link::close);
        }
    }

    private void oscsend(List<String> where, List<String> words) throws IOException, InterruptedException {
        List<String> command = new ArrayList<>(List.of("oscsend"));
        command.addAll(where);
        command.addAll(words);
        Process process = new ProcessBuilder(command).redirectErrorStream(true).start();
        started.add(process);
        assertThat(process.waitFor(10, TimeUnit.SECONDS)).isTrue();
    }

    /** The lines it prints, as they come. */
    private List<String> oscdump(String where) throws IOException {
        Process process = new ProcessBuilder("oscdump", "-L", where).redirectErrorStream(true).start();
        started.add(process);
        List<String> lines = new CopyOnWriteArrayList<>();
        Thread.ofVirtual().start(() -> {
            try (BufferedReader out = new BufferedReader(new InputStreamReader(process.getInputStream()))) {
                out.lines().forEach(lines::add);
            } catch (IOException | java.io.UncheckedIOException _) {
                return; // it was ended
            }
        });
        return lines;
    }

    /** Free a moment ago, for datagrams and streams. */
    private static int freePort() throws IOException {
        try (ServerSocket stream = new ServerSocket(0);
                DatagramSocket datagram = new DatagramSocket(stream.getLocalPort())) {
            return datagram.getLocalPort();
        }
    }

    private static Socket connect(int port) {
        Socket[] socket = new Socket[1];
        Notebook.until("oscdump to listen", () -> {
            try {
                socket[0] = new Socket(InetAddress.getLoopbackAddress(), port);
                return true;
            } catch (IOException _) {
                return false;
            }
        });
        return socket[0];
    }

    private static void send(DatagramSocket socket, byte[] bytes, int port) {
        try {
            socket.send(new DatagramPacket(bytes, bytes.length, InetAddress.getLoopbackAddress(), port));
        } catch (IOException e) {
            throw new java.io.UncheckedIOException(e);
        }
    }

    private static byte[] receive(DatagramSocket socket) throws IOException {
        DatagramPacket packet = new DatagramPacket(new byte[2_000], 2_000);
        socket.receive(packet);
        return Arrays.copyOf(packet.getData(), packet.getLength());
    }
}
