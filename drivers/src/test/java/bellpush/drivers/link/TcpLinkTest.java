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
import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.channels.SocketChannel;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.atomic.AtomicLong;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;

/** The tcp link against small servers of the JDK's own sockets, on loopback. */
class TcpLinkTest {
    private static final InetAddress LOOPBACK = InetAddress.getLoopbackAddress();

    private final TestLoop loop = new TestLoop();
    private final Notebook host = new Notebook(loop.loop);
    private final List<AutoCloseable> toClose = new CopyOnWriteArrayList<>();
    private TcpLink<byte[]> link;

    /** A device of lines: keeps what it is told and answers questions with {@code iris 5}, unless told to be deaf. */
    private final class LineServer implements AutoCloseable {
        final ServerSocket server;
        final List<Socket> connections = new CopyOnWriteArrayList<>();
        final List<String> lines = new CopyOnWriteArrayList<>();
        volatile boolean deaf;
        volatile boolean reads = true;

        LineServer(int port, int receiveBuffer) throws IOException {
            server = new ServerSocket();
            server.setReuseAddress(true);
            if (receiveBuffer > 0) {
                server.setReceiveBufferSize(receiveBuffer);
            }
            server.bind(new InetSocketAddress(LOOPBACK, port));
            toClose.add(this);
            Thread.ofVirtual().start(this::serve);
        }

        int port() {
            return server.getLocalPort();
        }

        private void serve() {
            try {
                while (true) {
                    Socket socket = server.accept();
                    connections.add(socket);
                    if (server.isClosed()) {
                        socket.close(); // it was accepted while all others were closed
                    }
                    Thread.ofVirtual().start(() -> talk(socket));
                }
            } catch (IOException _) {
                // closed
            }
        }

        private void talk(Socket socket) {
            try (var in = new BufferedReader(new InputStreamReader(socket.getInputStream(), US_ASCII))) {
                while (!reads) {
                    Thread.sleep(5);
                }
                for (String line; (line = in.readLine()) != null;) {
                    lines.add(line);
                    if (!deaf) {
                        answer(socket, line);
                    }
                }
            } catch (IOException | InterruptedException _) {
                // closed
            }
        }

        private void answer(Socket socket, String line) throws IOException {
            if (line.equals("ping")) {
                say(socket, "pong\n");
            } else if (line.endsWith("?")) {
                say(socket, line.replace("?", " 5\n"));
            }
        }

        void say(Socket socket, String text) throws IOException {
            socket.getOutputStream().write(text.getBytes(US_ASCII));
        }

        void dropAll() throws IOException {
            for (Socket socket : connections) {
                socket.close();
            }
            connections.clear();
        }

        @Override
        public void close() throws IOException {
            server.close();
            dropAll();
        }
    }

    private void open(Device device) {
        link = loop.on(() -> TcpLink.open(device, Limits.DEFAULT, host, new WireCodec(device.kind()),
                device.kind().framing()));
    }

    private void send(Request request) {
        loop.run(() -> link.send(request));
    }

    private static TestKind kind() {
        return TestKind.tcp().level("iris", false).level("zoom", false).command("go", text("go"), Map.of());
    }

    @AfterEach
    void close() throws Exception {
        if (link != null) {
            loop.run(link::close);
        }
        loop.close();
        for (var closing : toClose) {
            closing.close();
        }
        assertThat(host.offLoop).as("told outside of the loop").isEmpty();
        Notebook.assertForPeople(host.notes);
        Notebook.assertForPeople(host.states);
    }

    @Test
    void asksSetsAndHearsWhatTheDeviceSaysByItself() throws IOException {
        var server = new LineServer(0, 0);
        open(kind().at("127.0.0.1", server.port()));
        until("up", () -> host.state == LinkState.UP);
        assertThat(host.states).containsExactly("up: connected to 127.0.0.1:" + server.port());
        send(new Request.AskProperty(1, "iris"));
        until("answered", () -> host.outcome(1) != null);
        assertThat(host.outcome(1)).isEqualTo(new Outcome.Done());
        assertThat(host.beliefs).containsEntry("iris", Value.of(5));
        send(new Request.SetProperty(2, "zoom", Value.of(9)));
        until("arrived", () -> server.lines.contains("zoom 9"));
        assertThat(host.outcome(2)).isEqualTo(new Outcome.Sent());
        server.say(server.connections.getFirst(), "zo");
        server.say(server.connections.getFirst(), "om 11\niris 12\n");
        until("reported", () -> Value.of(12).equals(host.beliefs.get("iris")));
        assertThat(host.beliefs).containsEntry("zoom", Value.of(11));
    }

    @Test
    void aNameIsLookedUpOffTheLoop() throws IOException {
        var server = new LineServer(0, 0);
        open(kind().at("localhost", server.port()));
        until("up", () -> host.state == LinkState.UP);
    }

    @Test
    void aNameThatNobodyKnowsIsNotedOnceInWords() {
        open(kind().at("x".repeat(300), 9)); // too long for a name, so no name server is asked
        until("noted", () -> !host.notes.isEmpty());
        assertThat(host.notes.getFirst()).contains("nobody in this network knows that name");
        send(new Request.AskProperty(1, "iris"));
        assertThat(host.outcome(1).toString()).contains("knows that name");
    }

    @Test
    void aRefusedConnectionIsNotedOnceAndTriedAgainUntilTheDeviceIsThere() throws IOException {
        int port;
        try (var free = new ServerSocket(0, 1, LOOPBACK)) {
            port = free.getLocalPort();
        }
        open(kind().at("127.0.0.1", port));
        until("noted", () -> !host.notes.isEmpty());
        assertThat(host.notes).containsExactly(
                "cannot connect to 127.0.0.1:" + port + ": the connection was refused: nothing listens at that port");
        send(new Request.DoCommand(1, "go", Map.of(), Map.of()));
        assertThat(host.outcome(1).toString()).contains("the link is down", "refused");
        var attempts = new AtomicLong();
        loop.run(() -> loop.loop.schedule(attempts::incrementAndGet, 1, java.util.concurrent.TimeUnit.SECONDS));
        until("a second has passed", () -> attempts.get() > 0);
        assertThat(host.notes).hasSize(1);
        assertThat(host.states).isEmpty();
        new LineServer(port, 0);
        until("up", () -> host.state == LinkState.UP);
    }

    @Test
    void aLostConnectionFailsWhatIsOpenAndComesBackByItself() throws IOException {
        var server = new LineServer(0, 0);
        server.deaf = true;
        open(kind().at("127.0.0.1", server.port()));
        until("up", () -> host.state == LinkState.UP);
        send(new Request.AskProperty(1, "iris"));
        until("arrived", () -> server.lines.contains("iris?"));
        server.dropAll();
        until("down and up again", () -> host.states.size() == 3);
        assertThat(host.states.get(1)).startsWith("down: the device closed the connection");
        assertThat(host.outcome(1)).isInstanceOf(Outcome.Failed.class);
        server.deaf = false;
        send(new Request.AskProperty(2, "iris"));
        until("answered", () -> host.outcome(2) instanceof Outcome.Done);
    }

    @Test
    void aDeviceThatWasSwitchedOffAndOnAtTheSamePortIsFoundAgain() throws IOException {
        var server = new LineServer(0, 0);
        int port = server.port();
        open(kind().at("127.0.0.1", port));
        until("up", () -> host.state == LinkState.UP && !server.connections.isEmpty());
        server.close();
        until("down", () -> host.state == LinkState.DOWN);
        new LineServer(port, 0);
        until("up again", () -> host.state == LinkState.UP);
    }

    @Test
    void aHalfOpenConnectionIsNoticedByItsHeartbeatAndMadeAnew() throws IOException {
        var server = new LineServer(0, 0);
        open(kind().heartbeat(text("ping"), text("pong"), 100, 100).at("127.0.0.1", server.port()));
        until("beating", () -> server.lines.stream().filter("ping"::equals).count() >= 2);
        assertThat(host.state).isEqualTo(LinkState.UP);
        server.deaf = true; // the socket stays open, but nobody is at home
        until("down", () -> host.states.size() >= 2);
        assertThat(host.states.get(1)).isEqualTo("down: the device left 2 heartbeats in a row unanswered");
        server.deaf = false;
        until("up", () -> host.states.size() >= 3 && host.state == LinkState.UP);
        until("a second connection", () -> server.connections.size() >= 2);
    }

    @Test
    void aDeviceThatStopsReadingCostsBoundedMemoryAndGetsTheNewestValueWhenItReadsAgain() throws IOException {
        var server = new LineServer(0, 4_096);
        server.reads = false;
        open(kind().words("title").at("127.0.0.1", server.port()));
        until("up", () -> host.state == LinkState.UP);
        host.quiet = true;
        long id = 0;
        String title = "t".repeat(8_000);
        // The systems' own buffers take some megabytes first.
        for (int i = 0; i < 10_000 && loop.on(link::bytesInMemory) < 32_768; i++) {
            send(new Request.SetProperty(++id, "title", Value.of(title)));
        }
        assertThat(loop.on(link::bytesInMemory)).as("the device is stuck").isBetween(32_768L, 50_000L);
        long most = 0;
        for (int round = 0; round < 100; round++) {
            long first = id;
            id += 200;
            most = Math.max(most, loop.on(() -> {
                for (long i = first + 1; i <= first + 200; i++) {
                    link.send(new Request.SetProperty(i, i % 2 == 0 ? "iris" : "zoom", Value.of(i % 101)));
                }
                return link.bytesInMemory();
            }));
            assertThat(host.outcome(id)).isNull();
        }
        assertThat(most).isLessThan(50_000);
        var command = new Request.DoCommand(++id, "go", Map.of(), Map.of());
        send(command);
        assertThat(host.outcome(id).toString()).contains("does not read");
        send(new Request.SetProperty(++id, "iris", Value.of(77)));
        send(new Request.SetProperty(++id, "zoom", Value.of(78)));
        assertThat(host.notes).hasSize(1);

        server.reads = true;
        long last = id;
        until("the newest values have left", () -> host.outcome(last) != null && host.outcome(last - 1) != null);
        until("and arrived", () -> server.lines.contains("zoom 78") && server.lines.contains("iris 77")
                && server.lines.size() > 10);
        until("in the end", () -> server.lines.getLast().equals("zoom 78") || server.lines.getLast().equals("iris 77"));
        assertThat(server.lines.stream().filter(l -> l.startsWith("iris")).toList()).last().isEqualTo("iris 77");
        assertThat(server.lines.stream().filter(l -> l.startsWith("zoom")).toList()).last().isEqualTo("zoom 78");
        for (long i = 1; i <= id; i++) {
            assertThat(host.outcome(i)).as("outcome of " + i).isNotNull();
        }
    }

    @Test
    void whatIsWrittenLeavesAtOnce() throws IOException {
        var server = new LineServer(0, 0);
        open(kind().at("127.0.0.1", server.port()));
        until("up", () -> host.state == LinkState.UP);
        assertThat(loop.on(link::sendsAtOnce)).isTrue();
    }

    /** Linux answers no further connection of a listener whose queue is full: much like a device that is not there at all. */
    @Test
    void aConnectionThatNobodyAnswersIsGivenUpAndTriedAgain() throws IOException {
        try (var server = new ServerSocket(0, 1, LOOPBACK)) {
            var queued = new ArrayList<SocketChannel>();
            for (int i = 0; i < 8; i++) {
                var one = SocketChannel.open();
                one.configureBlocking(false);
                one.connect(server.getLocalSocketAddress());
                queued.add(one);
                toClose.add(one);
            }
            open(kind().at("127.0.0.1", server.getLocalPort()));
            until("given up", () -> !host.notes.isEmpty());
            assertThat(host.notes.getFirst()).startsWith("cannot connect to 127.0.0.1:").contains("no answer");
            assertThat(host.state).isNotEqualTo(LinkState.UP);

            for (SocketChannel one : queued) {
                one.close();
            }
            Thread.ofVirtual().start(() -> {
                try {
                    while (true) {
                        toClose.add(server.accept());
                    }
                } catch (IOException _) {
                    // closed
                }
            });
            until("up", () -> host.state == LinkState.UP);
        }
    }

    @Test
    void closingWhileConnectingLeavesNothingBehind() throws IOException {
        var server = new LineServer(0, 0);
        open(kind().at("127.0.0.1", server.port()));
        var toldBefore = new ArrayList<String>(); // on loopback the connection may be there already
        loop.run(() -> {
            toldBefore.addAll(host.order);
            link.close();
            assertThat(host.order).isEqualTo(toldBefore);
        });
        link = null;
        loop.run(() -> {});
        assertThat(host.order).isEqualTo(toldBefore);
    }
}
