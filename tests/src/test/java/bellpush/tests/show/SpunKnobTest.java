package bellpush.tests.show;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.load.Loaded;
import bellpush.config.load.SiteLoader;
import bellpush.config.model.LinkState;
import bellpush.runtime.panel.NoPanel;
import bellpush.runtime.panel.PanelListener;
import bellpush.runtime.show.Show;
import java.io.IOException;
import java.net.DatagramPacket;
import java.net.DatagramSocket;
import java.net.InetAddress;
import java.net.SocketTimeoutException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.locks.LockSupport;
import java.util.function.BooleanSupplier;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Knobs spun faster than the device can stand, from the contacts' edges through the real driver to a socket: the device is
 * never flooded, and what it hears last is where the knob stands, whatever macros run meanwhile.
 */
class SpunKnobTest {
    private static final int DETENTS = 600;
    private static final long DETENT_NANOS = 1_000_000_000L / 300;
    private static final Duration PROPERTY_PACE = Duration.ofMillis(50);
    private static final Duration KIND_PACE = Duration.ofMillis(20);

    /** A detent as its two contacts see it, which are both open in between. */
    private record Edge(String contact, boolean closed) {}

    private static final List<Edge> UP = List.of(new Edge(".b", true), new Edge(".a", true), new Edge(".b", false),
            new Edge(".a", false));
    private static final List<Edge> DOWN = List.of(new Edge(".a", true), new Edge(".b", true), new Edge(".a", false),
            new Edge(".b", false));

    /** A message, and when it was received. */
    private record Heard(long atNanos, String text) {}

    @Test
    void aDeviceIsNotFloodedAndHearsTheLastValue(@TempDir Path folder) throws Exception {
        try (DatagramSocket device = new DatagramSocket(0, InetAddress.getLoopbackAddress())) {
            device.setSoTimeout(1_000);
            List<Heard> heard = new CopyOnWriteArrayList<>();
            List<Throwable> unexpected = new CopyOnWriteArrayList<>();
            Thread ear = Thread.ofPlatform().start(() -> listen(device, heard));
            Loaded site = SiteLoader.load(write(folder, device.getLocalPort()), Hall.DRIVERS.names());
            assertThat(site.problems()).isEmpty();
            try (Show show = new Show(site.site().orElseThrow(), new NoPanel("a test"), unexpected::add)) {
                show.start(name -> Hall.DRIVERS.named(name).orElseThrow());
                await(() -> show.ask(core -> core.link("lamp")).join() == LinkState.UP);

                // What is not known cannot be turned up.
                show.run("dark");
                await(() -> heard.size() == 2);
                heard.clear();

                long began = System.nanoTime();
                spin(show.hand(), began);
                // Where both knobs stand: two of three detents went up, one went down.
                await(() -> heard.stream().anyMatch(h -> h.text.equals("LEVEL 200"))
                        && heard.stream().anyMatch(h -> h.text.equals("WARMTH 200")));
                ear.join();

                long tookNanos = heard.getLast().atNanos - began;
                assertThat(last(heard, "LEVEL")).isEqualTo("LEVEL 200");
                assertThat(last(heard, "WARMTH")).isEqualTo("WARMTH 200");
                assertThat(of(heard, "COLOUR")).as("the macro ran meanwhile").hasSizeGreaterThan(10);
                // Counted over the whole, since a busy machine delivers late what was sent in time.
                assertThat(heard.size()).isLessThanOrEqualTo((int) (tookNanos / KIND_PACE.toNanos()) + 2);
                for (String property : List.of("LEVEL", "WARMTH")) {
                    assertThat(of(heard, property)).hasSizeBetween(10,
                            (int) (tookNanos / PROPERTY_PACE.toNanos()) + 2);
                }
                assertThat(unexpected).isEmpty();
            }
        }
    }

    /** Both knobs at three hundred detents a second: two up, one down, and again. */
    private static void spin(PanelListener hand, long began) {
        for (int i = 0; i < DETENTS; i++) {
            long due = began + i * DETENT_NANOS;
            while (System.nanoTime() - due < 0) {
                LockSupport.parkNanos(100_000);
            }
            if (i % 15 == 0) {
                hand.contact(System.nanoTime(), "busy", i % 30 == 0);
            }
            for (Edge edge : i % 3 == 2 ? DOWN : UP) {
                hand.contact(System.nanoTime(), "level" + edge.contact, edge.closed);
                hand.contact(System.nanoTime(), "warmth" + edge.contact, edge.closed);
            }
        }
    }

    private static void listen(DatagramSocket device, List<Heard> heard) {
        DatagramPacket packet = new DatagramPacket(new byte[100], 100);
        while (true) {
            try {
                packet.setLength(100);
                device.receive(packet);
                heard.add(new Heard(System.nanoTime(),
                        new String(packet.getData(), 0, packet.getLength(), StandardCharsets.US_ASCII)));
            } catch (SocketTimeoutException e) {
                if (!heard.isEmpty()) {
                    return; // a second of silence: nothing was left behind
                }
            } catch (IOException e) {
                throw new AssertionError(e);
            }
        }
    }

    private static List<Heard> of(List<Heard> heard, String property) {
        return heard.stream().filter(h -> h.text.startsWith(property + " ")).toList();
    }

    private static String last(List<Heard> heard, String property) {
        return of(heard, property).getLast().text;
    }

    private static void await(BooleanSupplier holds) {
        long end = System.nanoTime() + Duration.ofSeconds(20).toNanos();
        while (!holds.getAsBoolean()) {
            assertThat(System.nanoTime()).isLessThan(end);
            Hall.pause(5);
        }
    }

    private static Path write(Path folder, int port) throws IOException {
        var files = new ArrayList<String[]>();
        files.add(new String[]{"site.json", "{ \"name\": \"A lamp that is slow of hearing\" }"});
        files.add(new String[]{"panel.json",
            """
                { "buttons": { "dark": { "label": "DARK", "press": "dark" }, "busy": { "label": "BUSY", "press": "busy" } },
                  "knobs": { "level":  { "label": "LEVEL",  "pins": [5, 6], "perDetent": 4, "turns": "lamp.level", "step": 1 },
                             "warmth": { "label": "WARMTH", "pins": [7, 8], "perDetent": 4, "turns": "lamp.warmth", "step": 1 } } }"""});
        files.add(new String[]{"devices.json", """
                { "lamp": { "label": "Lamp", "kind": "slow-lamp", "address": "127.0.0.1", "port": %d } }"""
                .formatted(port)});
        files.add(new String[]{"kinds/slow-lamp.json",
            """
                { "driver": "udp", "fastest": "%d ms", "properties": {
                    "colour": { "type": "whole", "range": [0, 9], "set": "COLOUR {value}" },
                    "level":  { "type": "whole", "range": [0, 1000], "set": "LEVEL {value}",  "fastest": "%d ms" },
                    "warmth": { "type": "whole", "range": [0, 1000], "set": "WARMTH {value}", "fastest": "%d ms" } } }"""
                    .formatted(KIND_PACE.toMillis(), PROPERTY_PACE.toMillis(), PROPERTY_PACE.toMillis())});
        files.add(new String[]{"macros/dark.json", """
                { "label": "Dark", "steps": [ { "set": { "lamp.level": 0, "lamp.warmth": 0 } } ] }"""});
        files.add(new String[]{"macros/busy.json",
            """
                { "label": "Busy", "again": "restart",
                  "steps": [ { "set": { "lamp.colour": 1 } }, { "wait": "30 ms" }, { "set": { "lamp.colour": 2 } } ] }"""});
        for (String[] file : files) {
            Path path = folder.resolve(file[0]);
            Files.createDirectories(path.getParent());
            Files.writeString(path, file[1]);
        }
        return folder;
    }
}
