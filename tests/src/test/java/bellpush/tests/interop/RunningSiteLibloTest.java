package bellpush.tests.interop;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import bellpush.config.load.Loaded;
import bellpush.config.load.SiteLoader;
import bellpush.config.model.LinkState;
import bellpush.config.model.Look.Pattern;
import bellpush.drivers.Drivers;
import bellpush.runtime.panel.NoPanel;
import bellpush.runtime.show.Show;
import java.io.BufferedReader;
import java.io.File;
import java.io.IOException;
import java.net.DatagramSocket;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.function.BooleanSupplier;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A running site speaks with {@code oscsend} and {@code oscdump} of liblo (Debian's liblo-tools), an implementation of OSC by
 * others: a press arrives there as an OSC message, and what is sent from there lights a lamp.
 */
class RunningSiteLibloTest {
    @TempDir
    Path folder;

    private final List<Process> started = new ArrayList<>();
    private final List<Throwable> unexpected = new CopyOnWriteArrayList<>();
    private Show show;

    @BeforeEach
    void theToolsMustBeThere() {
        for (String tool : List.of("oscsend", "oscdump")) {
            assumeTrue(Stream.of(System.getenv("PATH").split(File.pathSeparator)).map(f -> new File(f, tool))
                    .anyMatch(File::canExecute),
                    tool
                            + " is not installed, so nothing was checked against it: install the package liblo-tools");
        }
    }

    @AfterEach
    void end() {
        if (show != null) {
            show.close();
        }
        started.forEach(Process::destroy);
        assertThat(unexpected).isEmpty();
    }

    @Test
    void overUdp() throws Exception {
        int device = freeUdpPort();
        int own = freeUdpPort();
        List<String> dumped = oscdump("" + device);
        start("false", device, "\"settings\": { \"listen\": " + own + " }");
        until("the press in oscdump's output", () -> {
            press(); // again and again: nothing tells when oscdump listens
            return dumped.stream().anyMatch(l -> l.endsWith("/fader/level f 0.250000"));
        });
        until("the report on the lamp", () -> {
            oscsend("127.0.0.1", "" + own, "/fader/level", "f", "0.75");
            return lamp() == Pattern.STEADY;
        });
        until("an address pattern, too", () -> {
            oscsend("127.0.0.1", "" + own, "/fader/*", "f", "0.5");
            return lamp() == Pattern.OFF;
        });
    }

    @Test
    void overTcpToOscdump() throws Exception {
        int device = freeTcpPort();
        List<String> dumped = oscdump("osc.tcp://:" + device);
        start("true", device, "\"settings\": {}");
        until("connected", () -> show.ask(core -> core.link("desk")).join() == LinkState.UP);
        until("the press in oscdump's output", () -> {
            press();
            return dumped.stream().anyMatch(l -> l.endsWith("/fader/level f 0.250000"));
        });
    }

    /** The site is the one that connects, and so is oscsend: the bytes of one are handed on to the other. */
    @Test
    void overTcpFromOscsend() throws Exception {
        try (ServerSocket device = new ServerSocket(0, 5, InetAddress.getLoopbackAddress())) {
            start("true", device.getLocalPort(), "\"settings\": {}");
            try (Socket site = device.accept();
                    ServerSocket inlet = new ServerSocket(0, 5, InetAddress.getLoopbackAddress())) {
                Thread.ofVirtual().start(() -> {
                    while (!inlet.isClosed()) {
                        try (Socket sender = inlet.accept()) {
                            sender.getInputStream().transferTo(site.getOutputStream());
                        } catch (IOException e) {
                            return; // the test is over
                        }
                    }
                });
                until("the report on the lamp", () -> {
                    oscsend("osc.tcp://127.0.0.1:" + inlet.getLocalPort(), "/fader/level", "f", "0.75");
                    return lamp() == Pattern.STEADY;
                });
            }
        }
    }

    private void start(String stream, int port, String settings) throws IOException {
        Files.createDirectories(folder.resolve("kinds"));
        Files.createDirectories(folder.resolve("macros"));
        Files.writeString(folder.resolve("site.json"), "{ \"name\": \"Interop\" }");
        Files.writeString(folder.resolve("devices.json"),
                "{ \"desk\": { \"kind\": \"desk\", \"address\": \"127.0.0.1\", \"port\": " + port + ", " + settings
                        + " } }");
        Files.writeString(folder.resolve("kinds/desk.json"), """
                { "driver": "osc", "stream": %s, "properties": { "level": { "type": "number", "range": [0, 1], "step": 0.01,
                  "set": { "osc": "/fader/level", "args": ["{value}"] },
                  "report": { "osc": "/fader/level", "args": ["{value}"] } } } }""".formatted(stream));
        Files.writeString(folder.resolve("macros/quiet.json"),
                "{ \"steps\": [ { \"set\": { \"desk.level\": 0.25 } } ] }");
        Files.writeString(folder.resolve("panel.json"), """
                { "buttons": { "quiet": { "label": "QUIET", "press": "quiet",
                  "lamp": { "rules": [ { "when": { "desk.level": 0.75 }, "show": "steady" } ] } } } }""");
        Drivers drivers = Drivers.installed();
        Loaded loaded = SiteLoader.load(folder, drivers.names());
        assertThat(loaded.problems()).isEmpty();
        show = new Show(loaded.site().orElseThrow(), new NoPanel("a test"), unexpected::add);
        show.start(name -> drivers.named(name).orElseThrow());
    }

    private void press() {
        show.hand().contact(System.nanoTime(), "quiet", true);
        pause();
        show.hand().contact(System.nanoTime(), "quiet", false);
        pause();
    }

    private Pattern lamp() {
        return show.ask(core -> core.look("quiet").pattern()).join();
    }

    private static void oscsend(String... arguments) {
        try {
            List<String> command = new ArrayList<>(List.of("oscsend"));
            command.addAll(List.of(arguments));
            new ProcessBuilder(command).inheritIO().start().waitFor();
            pause();
        } catch (IOException | InterruptedException e) {
            throw new AssertionError(e);
        }
    }

    private List<String> oscdump(String where) throws IOException {
        Process process = new ProcessBuilder("oscdump", "-L", where).redirectErrorStream(true).start();
        started.add(process);
        List<String> lines = new CopyOnWriteArrayList<>();
        BufferedReader reader = process.inputReader();
        Thread.ofVirtual().start(() -> reader.lines().forEach(lines::add));
        return lines;
    }

    private static void until(String what, BooleanSupplier holds) {
        long end = System.nanoTime() + 20_000_000_000L;
        while (!holds.getAsBoolean()) {
            assertThat(System.nanoTime()).as("waiting for " + what).isLessThan(end);
            pause();
        }
    }

    private static void pause() {
        try {
            Thread.sleep(30);
        } catch (InterruptedException e) {
            throw new AssertionError(e);
        }
    }

    private static int freeUdpPort() throws IOException {
        try (DatagramSocket socket = new DatagramSocket(new InetSocketAddress(InetAddress.getLoopbackAddress(), 0))) {
            return socket.getLocalPort();
        }
    }

    private static int freeTcpPort() throws IOException {
        try (ServerSocket socket = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
            return socket.getLocalPort();
        }
    }
}
