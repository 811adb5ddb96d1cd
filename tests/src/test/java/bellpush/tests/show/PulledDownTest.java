package bellpush.tests.show;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedReader;
import java.io.File;
import java.io.IOException;
import java.io.InputStreamReader;
import java.net.DatagramPacket;
import java.net.DatagramSocket;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.net.SocketTimeoutException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.TimeUnit;
import java.util.function.BooleanSupplier;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The program itself, in a process of its own, is told to stop (SIGTERM) while rockers are held: plain sockets on the other side,
 * which know nothing of it, see a standstill as the last speed of each axis.
 */
class PulledDownTest {
    private static final long PATIENCE_NANOS = 30_000_000_000L;

    @TempDir
    Path folder;

    private final List<String> byStream = new CopyOnWriteArrayList<>();
    private final List<String> byDatagram = new CopyOnWriteArrayList<>();
    private final List<Thread> readers = new CopyOnWriteArrayList<>();
    private ServerSocket stream;
    private DatagramSocket datagrams;
    private Process process;

    @BeforeEach
    void listen() throws IOException {
        stream = new ServerSocket(0, 4, InetAddress.getLoopbackAddress());
        datagrams = new DatagramSocket(0, InetAddress.getLoopbackAddress());
        datagrams.setSoTimeout(200);
        readers.add(Thread.ofPlatform().daemon().start(this::readStream));
        readers.add(Thread.ofPlatform().daemon().start(this::readDatagrams));
    }

    @AfterEach
    void end() throws IOException, InterruptedException {
        if (process != null && process.isAlive()) {
            process.destroyForcibly().waitFor(10, TimeUnit.SECONDS);
        }
        stream.close();
        datagrams.close();
    }

    private void readStream() {
        try (Socket socket = stream.accept();
                BufferedReader lines = new BufferedReader(
                        new InputStreamReader(socket.getInputStream(), StandardCharsets.US_ASCII))) {
            for (String line = lines.readLine(); line != null; line = lines.readLine()) {
                byStream.add(line);
            }
            byStream.add("closed");
        } catch (IOException e) {
            byStream.add("broken: " + e.getMessage());
        }
    }

    private void readDatagrams() {
        byte[] bytes = new byte[100];
        while (!datagrams.isClosed()) {
            DatagramPacket packet = new DatagramPacket(bytes, bytes.length);
            try {
                datagrams.receive(packet);
                byDatagram.add(new String(bytes, 0, packet.getLength(), StandardCharsets.US_ASCII));
            } catch (SocketTimeoutException e) {
                // nothing yet
            } catch (IOException e) {
                return;
            }
        }
    }

    private Process start() throws IOException {
        write("site/site.json", "{ \"name\": \"Rail\" }");
        write("site/devices.json", """
                { "rail": { "label": "Rail", "kind": "rail", "address": "127.0.0.1", "port": %d },
                  "head": { "label": "Head", "kind": "head", "address": "127.0.0.1", "port": %d } }""".formatted(
                stream.getLocalPort(), datagrams.getLocalPort()));
        write("site/kinds/rail.json", """
                { "about": "A rail", "driver": "tcp", "framing": { "endsWith": "\\n" }, "properties": {
                  "run.speed": { "type": "whole", "range": [-9, 9], "set": "RUN {value}" } } }""");
        write("site/kinds/head.json", """
                { "about": "A head", "driver": "udp", "properties": {
                  "turn.speed": { "type": "whole", "range": [-9, 9], "set": "TURN {value}" } } }""");
        write("site/panel.json", """
                { "joysticks": {
                    "rail": { "label": "RAIL", "axes": { "run": { "contacts": [16, 20], "drives": "rail.run.speed", "most": 5 } } },
                    "head": { "label": "HEAD", "axes": { "turn": { "contacts": [12, 13], "drives": "head.turn.speed", "most": -7 } } }
                } }""");
        // Both contacts close against ground two seconds and a half after the start, and stay closed.
        write("edges.txt", "2500 16 0\n2500 13 0\n");
        return new ProcessBuilder(Path.of(System.getProperty("java.home"), "bin", "java").toString(), "-cp",
                System.getProperty("java.class.path"), "bellpush.runtime.cli.Bellpush", "run",
                folder.resolve("site").toString(), "--panel", "none", "--edges", folder.resolve("edges.txt").toString(),
                "--log", folder.resolve("log").toString()).redirectErrorStream(true)
                .redirectOutput(output()).start();
    }

    private File output() {
        return folder.resolve("output.txt").toFile();
    }

    private void write(String name, String text) throws IOException {
        Path file = folder.resolve(name);
        Files.createDirectories(file.getParent());
        Files.writeString(file, text);
    }

    private void await(String what, BooleanSupplier holds) throws IOException, InterruptedException {
        long end = System.nanoTime() + PATIENCE_NANOS;
        while (!holds.getAsBoolean()) {
            assertThat(System.nanoTime()).as("%s; %s; %s; output: %s", what, byStream, byDatagram,
                    Files.readString(output().toPath())).isLessThan(end);
            Thread.sleep(10);
        }
    }

    @Test
    void everySpeedAxisStandsOnceTheProcessWasToldToStop() throws IOException, InterruptedException {
        process = start();
        await("both move", () -> byStream.contains("RUN -5") && byDatagram.contains("TURN -7"));
        assertThat(byStream).as("0 first, then as long as it is held, no more").containsExactly("RUN 0", "RUN -5");
        assertThat(changes(byDatagram)).containsExactly("TURN 0", "TURN -7");
        process.destroy(); // SIGTERM
        assertThat(process.waitFor(20, TimeUnit.SECONDS)).isTrue();
        assertThat(process.exitValue()).as(Files.readString(output().toPath())).isZero();
        await("the connection's end", () -> byStream.contains("closed"));
        await("the last datagram", () -> byDatagram.getLast().equals("TURN 0"));
        assertThat(byStream).containsExactly("RUN 0", "RUN -5", "RUN 0", "closed");
        assertThat(changes(byDatagram)).containsExactly("TURN 0", "TURN -7", "TURN 0");
        assertThat(byDatagram.subList(byDatagram.indexOf("TURN -7") + 1, byDatagram.size()))
                .as("one datagram may be lost, and nothing would tell").hasSizeGreaterThan(1).containsOnly("TURN 0");
    }

    /** Without what was said before already: a standstill by datagram is repeated, and nothing else is. */
    private static List<String> changes(List<String> said) {
        List<String> changes = new ArrayList<>();
        for (String each : said) {
            if (changes.isEmpty() || !each.equals("TURN 0") || !changes.getLast().equals(each)) {
                changes.add(each);
            }
        }
        return changes;
    }
}
