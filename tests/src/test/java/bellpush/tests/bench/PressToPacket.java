package bellpush.tests.bench;

import bellpush.config.model.Answers;
import bellpush.config.model.Button;
import bellpush.config.model.Device;
import bellpush.config.model.FrameRate;
import bellpush.config.model.Framing;
import bellpush.config.model.Kind;
import bellpush.config.model.Lamp;
import bellpush.config.model.Limits;
import bellpush.config.model.Macro;
import bellpush.config.model.Panel;
import bellpush.config.model.Property;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Site;
import bellpush.config.model.Source;
import bellpush.config.model.Step;
import bellpush.config.model.Template;
import bellpush.config.model.Value;
import bellpush.drivers.Drivers;
import bellpush.runtime.log.EventLog;
import bellpush.runtime.panel.NoPanel;
import bellpush.runtime.show.Show;
import io.netty.channel.EventLoop;
import io.netty.channel.MultiThreadIoEventLoopGroup;
import io.netty.channel.nio.NioIoHandler;
import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.nio.ByteBuffer;
import java.nio.channels.DatagramChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.concurrent.Semaphore;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.LockSupport;
import java.util.function.IntToDoubleFunction;
import java.util.stream.IntStream;
import org.HdrHistogram.Histogram;

/**
 * From an edge, posted where a panel posts it, to the first byte that arrives on loopback; beside a bare datagram, and a
 * datagram sent after one hop between threads, in the same process and the same run. Prints microseconds and ratios; asserts
 * nothing. Run it with {@code tests/bench}.
 */
final class PressToPacket {
    private static final int ROUNDS = 7;
    private static final int WARM_UP_ROUNDS = 2;
    private static final int EACH = 2_000;
    private static final long GAP_NANOS = 1_000_000;

    /** Something that makes one datagram leave. */
    private interface Press {
        void now() throws IOException;
    }

    private final DatagramChannel receiver;
    private final Semaphore arrived = new Semaphore(0);
    private volatile long arrivedAt;
    private volatile boolean over;

    private PressToPacket() throws IOException {
        receiver = DatagramChannel.open().bind(new InetSocketAddress(InetAddress.getLoopbackAddress(), 0));
    }

    public static void main(String[] args) throws Exception {
        new PressToPacket().run();
        System.exit(0);
    }

    private void run() throws Exception {
        Thread ear = new Thread(this::listen, "receiver");
        ear.setDaemon(true);
        ear.start();
        InetSocketAddress to = (InetSocketAddress) receiver.getLocalAddress();
        Path folder = Files.createTempDirectory("bellpush-bench");
        DatagramChannel bare = DatagramChannel.open().connect(to);
        ByteBuffer payload = ByteBuffer.allocateDirect(16).put("LEVEL 100".getBytes()).flip();
        Press floor = () -> bare.write(payload.duplicate());
        Runnable write = () -> {
            try {
                bare.write(payload.duplicate());
            } catch (IOException e) {
                throw new java.io.UncheckedIOException(e);
            }
        };
        // The same kind of thread that the core lives on, with nothing else to do.
        MultiThreadIoEventLoopGroup idle = new MultiThreadIoEventLoopGroup(1, NioIoHandler.newFactory());
        EventLoop loop = idle.next();
        Press oneHop = () -> loop.execute(write);
        Drivers drivers = Drivers.installed();
        try (EventLog log = EventLog.open(folder, Limits.DEFAULT.logQueue(), System.err::println);
                Show show = new Show(site(to.getPort()), new NoPanel("a benchmark"), Throwable::printStackTrace)) {
            show.tap(log);
            show.start(name -> drivers.named(name).orElseThrow());
            TimeUnit.MILLISECONDS.sleep(300);
            Press press = () -> show.hand().contact(System.nanoTime(), "go", true);
            Press release = () -> show.hand().contact(System.nanoTime(), "go", false);
            measure(floor, oneHop, press, release);
        } finally {
            over = true;
            idle.shutdownGracefully(0, 1, TimeUnit.SECONDS);
            bare.close();
            receiver.close();
            try (var files = Files.walk(folder)) {
                files.sorted(Comparator.reverseOrder()).forEach(p -> p.toFile().delete());
            }
        }
    }

    private void measure(Press floor, Press oneHop, Press press, Press release) throws Exception {
        List<Histogram> floors = new ArrayList<>();
        List<Histogram> hops = new ArrayList<>();
        List<Histogram> presses = new ArrayList<>();
        System.out.printf(
                "Press to packet: %d rounds of %d each at 1 kHz, the first %d thrown away; %s, %d cores, Java %s%n",
                ROUNDS, EACH, WARM_UP_ROUNDS, System.getProperty("os.arch"), Runtime.getRuntime().availableProcessors(),
                Runtime.version().feature());
        for (int round = 0; round < ROUNDS; round++) {
            System.err.printf("round %d of %d%n", round + 1, ROUNDS);
            Histogram f = times(floor, () -> {});
            Histogram h = times(oneHop, () -> {});
            Histogram p = times(press, release);
            if (round >= WARM_UP_ROUNDS) {
                floors.add(f);
                hops.add(h);
                presses.add(p);
            }
        }
        System.out.printf("%-42s %9s %9s%n", "microseconds, medians of the rounds", "p50", "p99");
        print("bare datagram (the floor)", floors);
        print("one hop between threads, bare datagram", hops);
        print("press, macro, log, packet", presses);
        System.out.printf(Locale.ROOT, "press / floor                 p50 %.2f   p99 %.2f%n",
                medianOfRounds(i -> at(presses, i, 50) / at(floors, i, 50), presses.size()),
                medianOfRounds(i -> at(presses, i, 99) / at(floors, i, 99), presses.size()));
        System.out.printf(Locale.ROOT,
                "press / (2 floors and a hop)  p50 %.2f   p99 %.2f   (aim for p50: at most 1.00)%n",
                medianOfRounds(i -> at(presses, i, 50) / (at(floors, i, 50) + at(hops, i, 50)), presses.size()),
                medianOfRounds(i -> at(presses, i, 99) / (at(floors, i, 99) + at(hops, i, 99)), presses.size()));
    }

    private static void print(String what, List<Histogram> rounds) {
        System.out.printf(Locale.ROOT, "%-42s %9.1f %9.1f%n", what, median(rounds, 50), median(rounds, 99));
    }

    private static double median(List<Histogram> rounds, double percentile) {
        double[] sorted = rounds.stream().mapToDouble(h -> h.getValueAtPercentile(percentile) / 1000.0).sorted()
                .toArray();
        return sorted[sorted.length / 2];
    }

    /** Of the ratios within each round, since the machine changes its pace between rounds. */
    private static double medianOfRounds(IntToDoubleFunction ratio, int rounds) {
        double[] sorted = IntStream.range(0, rounds).mapToDouble(ratio).sorted().toArray();
        return sorted[sorted.length / 2];
    }

    private static double at(List<Histogram> rounds, int round, double percentile) {
        return rounds.get(round).getValueAtPercentile(percentile);
    }

    private Histogram times(Press press, Press release) throws Exception {
        Histogram histogram = new Histogram(10_000_000_000L, 3);
        long next = System.nanoTime();
        for (int i = 0; i < EACH; i++) {
            next += GAP_NANOS;
            for (long left = next - System.nanoTime(); left > 0; left = next - System.nanoTime()) {
                LockSupport.parkNanos(left);
            }
            long start = System.nanoTime();
            press.now();
            if (!arrived.tryAcquire(5, TimeUnit.SECONDS)) {
                throw new IllegalStateException("a packet never arrived");
            }
            histogram.recordValue(Math.max(1, arrivedAt - start));
            release.now();
        }
        return histogram;
    }

    private void listen() {
        ByteBuffer buffer = ByteBuffer.allocateDirect(2048);
        try {
            while (!over) {
                buffer.clear();
                receiver.receive(buffer);
                arrivedAt = System.nanoTime();
                arrived.release();
            }
        } catch (IOException e) {
            if (!over) {
                throw new java.io.UncheckedIOException(e);
            }
        }
    }

    /** One button that sets one property of one udp device; no lock-out, since the benchmark presses a thousand times a second. */
    private static Site site(int port) {
        PropertyType type = new PropertyType.Whole(0, 1000, "", Optional.empty());
        Property level = new Property("level", "", type, Optional.of(new Template.Text("LEVEL {value}")),
                Optional.empty(),
                Optional.empty(), Optional.empty(), false, Value.of(0), Duration.ZERO, Duration.ZERO, Optional.empty(),
                Source.NONE);
        Kind kind = new Kind("dimmer", "", "udp", false, OptionalInt.empty(), new Framing.None(), Optional.empty(),
                Map.of("level", level), Map.of(), List.of(), Optional.empty(), List.of(), Duration.ZERO,
                Optional.empty(),
                Duration.ZERO, Answers.NONE, Map.of(), Source.NONE);
        Device device = new Device("dimmer", "Dimmer", kind, "127.0.0.1", port, Map.of(), Source.NONE);
        Macro macro = new Macro("go", "Go", List.of(), Macro.Again.IGNORE, new Step.Otherwise.Stop(),
                List.of(Step.Set.to(Map.of(new PropertyRef("dimmer", "level"), Value.of(100)), Source.NONE)),
                Optional.empty(), Duration.ofSeconds(1), Source.NONE);
        Lamp lamp = Lamp.named("go", "Go", List.of(), Source.NONE);
        Button button = Button.named("go", "Go", Source.NONE).onPress("go").with(lamp)
                .timed(Duration.ZERO, Duration.ZERO, Button.STUCK_AFTER);
        Panel panel = Panel.of(new LinkedHashMap<>(Map.of("go", button)), Map.of(), Map.of("go", lamp), List.of(),
                Panel.Signs.DEFAULT);
        return new Site(Path.of("."), "Benchmark", new FrameRate(25, 1), Limits.DEFAULT, panel,
                Map.of("dimmer", device),
                Map.of("go", macro));
    }
}
