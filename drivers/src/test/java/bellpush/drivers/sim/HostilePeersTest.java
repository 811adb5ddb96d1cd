package bellpush.drivers.sim;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Framing;
import bellpush.config.model.Kind;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Rehearsal.Fault;
import bellpush.config.model.Value;
import bellpush.drivers.link.Notebook;
import bellpush.drivers.link.StreamFraming;
import bellpush.drivers.link.WireCodec;
import io.netty.channel.MultiThreadIoEventLoopGroup;
import io.netty.channel.nio.NioIoHandler;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.net.DatagramPacket;
import java.net.DatagramSocket;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.net.SocketException;
import java.net.SocketTimeoutException;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;

/** Whatever a peer does, the device lives, and the next one is served. */
class HostilePeersTest {
    private static final int SO_TIMEOUT_MS = 10_000;

    private final MultiThreadIoEventLoopGroup loops = new MultiThreadIoEventLoopGroup(1, NioIoHandler.newFactory());
    private SimulatedGear<byte[]> gear;

    @AfterEach
    void end() {
        gear.close();
        loops.shutdownGracefully(0, 1, TimeUnit.SECONDS).awaitUninterruptibly();
    }

    private void listen(Kinds kinds, boolean stream) throws IOException {
        Kind kind = kinds.kind();
        InetSocketAddress at = new InetSocketAddress(InetAddress.getLoopbackAddress(), 0);
        var loop = loops.next();
        gear = new SimulatedGear<>(kind, new WireCodec(kind), loop, 1,
                ear -> stream
                        ? new TcpSocket(loop, () -> StreamFraming.of(kind.framing(), 65_536), at, ear)
                        : new UdpSocket(loop, at, ear))
                .start();
    }

    private static Kinds kinds() {
        return new Kinds().property("a", Kinds.whole(0, 9), Value.of(0), "A {value}", "A?", "", "A={value}").ok("OK")
                .refused(Kinds.text("NO"));
    }

    /** It may still be reading what peers sent that are long gone; as long as it has too many of them, it hangs up. */
    private static void assertServes(InetSocketAddress address) {
        Notebook.until("it serves", () -> serves(address));
    }

    private static boolean serves(InetSocketAddress address) {
        try (Socket socket = new Socket(address.getAddress(), address.getPort())) {
            socket.setSoTimeout(SO_TIMEOUT_MS);
            socket.getOutputStream().write("A 7\r\n".getBytes(StandardCharsets.US_ASCII));
            return new String(socket.getInputStream().readNBytes(9), StandardCharsets.US_ASCII)
                    .equals("OK\r\nA=7\r\n");
        } catch (IOException e) {
            return false;
        }
    }

    @Test
    void randomBytesOnAStream() throws IOException {
        listen(kinds(), true);
        Random random = new Random(5);
        for (int i = 0; i < 40; i++) {
            try (Socket socket = new Socket(gear.address().getAddress(), gear.address().getPort())) {
                OutputStream out = socket.getOutputStream();
                byte[] noise = new byte[5_000];
                for (int n = 0; n < 10; n++) {
                    random.nextBytes(noise);
                    out.write(noise);
                }
            } catch (SocketException e) {
                // The device may hang up on us.
            }
        }
        assertServes(gear.address());
        assertThat(gear.notUnderstood()).isPositive();
    }

    @Test
    void aMessageWithoutEnd() throws IOException {
        listen(kinds(), true);
        try (Socket socket = new Socket(gear.address().getAddress(), gear.address().getPort())) {
            socket.setSoTimeout(SO_TIMEOUT_MS);
            byte[] page = new byte[1 << 16];
            for (int i = 0; i < 200; i++) {
                socket.getOutputStream().write(page);
            }
            socket.getOutputStream().write("\r\nA 3\r\n".getBytes(StandardCharsets.US_ASCII));
            assertThat(new String(socket.getInputStream().readNBytes(9), StandardCharsets.US_ASCII))
                    .isEqualTo("OK\r\nA=3\r\n");
        }
        assertThat(gear.notUnderstood()).isEqualTo(1);
    }

    @Test
    void aCountThatCannotBeTrueEndsTheConnectionAlone() throws IOException {
        listen(kinds().framing(new Framing.LengthPrefix(4, false, false)), true);
        try (Socket socket = new Socket(gear.address().getAddress(), gear.address().getPort())) {
            socket.setSoTimeout(SO_TIMEOUT_MS);
            socket.getOutputStream().write(new byte[]{-1, -1, -1, -1, 0, 0});
            assertThat(readsEnd(socket.getInputStream())).isTrue();
        }
        try (Socket socket = new Socket(gear.address().getAddress(), gear.address().getPort())) {
            socket.setSoTimeout(SO_TIMEOUT_MS);
            socket.getOutputStream().write(new byte[]{0, 0, 0, 2, 'A', '?'});
            assertThat(socket.getInputStream().readNBytes(7)).containsExactly(0, 0, 0, 3, 'A', '=', '0');
        }
    }

    private static boolean readsEnd(InputStream in) throws IOException {
        try {
            return in.read() < 0;
        } catch (SocketException e) {
            return true; // reset: ended all the same
        }
    }

    /** It asks and asks and never reads: what it is owed is lost beyond a small buffer, and others are served. */
    @Test
    void aPeerThatDoesNotRead() throws IOException {
        listen(new Kinds().property("a", Kinds.whole(0, 9), Value.of(0), "A {value}", "A?", "", "A={value}")
                .property("t", new PropertyType.Text(50_000), Value.of("x".repeat(50_000)), "", "T?",
                        "T={value}", "")
                .ok("OK"), true);
        try (Socket socket = new Socket(gear.address().getAddress(), gear.address().getPort())) {
            byte[] asks = "T?\r\n".repeat(2_000).getBytes(StandardCharsets.US_ASCII);
            for (int i = 0; i < 5; i++) {
                socket.getOutputStream().write(asks); // 500 MB of answers, were they all kept
            }
            assertServes(gear.address());
        }
    }

    @Test
    void moreConnectionsThanItTakes() throws Exception {
        listen(kinds(), true);
        List<Socket> sockets = new ArrayList<>();
        try {
            for (int i = 0; i < TcpSocket.CONNECTIONS_MAX; i++) {
                Socket socket = new Socket(gear.address().getAddress(), gear.address().getPort());
                sockets.add(socket);
                socket.setSoTimeout(SO_TIMEOUT_MS);
                socket.getOutputStream().write("A?\r\n".getBytes(StandardCharsets.US_ASCII));
                assertThat(socket.getInputStream().readNBytes(5)).containsExactly('A', '=', '0', '\r', '\n');
            }
            for (int i = 0; i < 100; i++) {
                try (Socket socket = new Socket(gear.address().getAddress(), gear.address().getPort())) {
                    socket.setSoTimeout(SO_TIMEOUT_MS);
                    assertThat(readsEnd(socket.getInputStream())).isTrue();
                }
            }
        } finally {
            for (Socket socket : sockets) {
                socket.close();
            }
        }
        assertServes(gear.address()); // once the device has noticed that the others are gone
    }

    @Test
    void randomDatagramsFromManyPlaces() throws IOException {
        listen(kinds().driver("udp"), false);
        Random random = new Random(6);
        for (int place = 0; place < 40; place++) {
            try (DatagramSocket socket = new DatagramSocket()) {
                for (int i = 0; i < 250; i++) {
                    byte[] noise = new byte[random.nextInt(1_500)];
                    random.nextBytes(noise);
                    socket.send(new DatagramPacket(noise, noise.length, gear.address()));
                }
            }
        }
        try (DatagramSocket socket = new DatagramSocket()) {
            socket.setSoTimeout(250);
            assertThat(ask(socket)).isEqualTo("A=0");
            socket.setSoTimeout(SO_TIMEOUT_MS);
            gear.change(Map.of("a", Value.of(4)));
            String heard = receive(socket);
            while (heard.equals("A=0")) { // late answers to questions asked again
                heard = receive(socket);
            }
            assertThat(heard).isEqualTo("A=4");
        }
    }

    /** The noise before may have filled the socket's buffer, so that the first question is lost. */
    private String ask(DatagramSocket socket) throws IOException {
        byte[] question = "A?".getBytes(StandardCharsets.US_ASCII);
        for (int attempt = 0;; attempt++) {
            socket.send(new DatagramPacket(question, question.length, gear.address()));
            try {
                return receive(socket);
            } catch (SocketTimeoutException e) {
                if (attempt == 40) {
                    throw e;
                }
            }
        }
    }

    private static String receive(DatagramSocket socket) throws IOException {
        DatagramPacket packet = new DatagramPacket(new byte[100], 100);
        socket.receive(packet);
        return new String(packet.getData(), 0, packet.getLength(), StandardCharsets.US_ASCII);
    }

    @Test
    void faultsInAnyOrderLeaveAWorkingDevice() throws IOException {
        listen(kinds(), true);
        Random random = new Random(8);
        for (int i = 0; i < 2_000; i++) {
            gear.fault(switch (random.nextInt(7)) {
                case 0 -> new Fault.Off();
                case 1 -> new Fault.Deaf();
                case 2 -> new Fault.Slow(Duration.ofSeconds(30));
                case 3 -> new Fault.Drops(0.5);
                case 4 -> new Fault.Refusing();
                case 5 -> new Fault.Restarts(Duration.ofMillis(random.nextInt(3)));
                default -> new Fault.Works();
            });
            if (random.nextInt(10) == 0) {
                gear.change(Map.of("a", Value.of(random.nextInt(10))));
            }
        }
        gear.fault(new Fault.Works());
        gear.change(Map.of("a", Value.of(7)));
        assertServes(gear.address()); // once it has its port again
    }
}
