package bellpush.runtime.panel.chips;

import bellpush.config.model.Limits;
import bellpush.config.model.Site;
import bellpush.drivers.Drivers;
import bellpush.runtime.kit.SmallSite;
import bellpush.runtime.log.EventLog;
import bellpush.runtime.panel.board.BoardPanel;
import bellpush.runtime.show.Show;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Comparator;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.Stream;

/**
 * What a show costs while nobody touches its panel: the whole runtime in one process, with the chips of {@link IdlePanel} in place of
 * real ones and a header that says nothing. Reading the header through the kernel is not in it: that thread sleeps in the kernel, and
 * {@code tests/board/run --only idle} measures it.
 */
final class IdleCost {
    private static final int SETTLE_SECONDS = 15; // compilers and collectors come to rest
    private static final int SECONDS = 30;
    private static final int ROUNDS = 3;
    private static final double TICKS_IN_SECOND = 100; // USER_HZ (proc(5))
    private static final Path SELF = Path.of("/proc/self");

    private IdleCost() {}

    /** @param switches by thread's name, how often it went to sleep, which is how often it woke */
    private record Cost(Map<String, Long> switches, double cpuSeconds) {
        static Cost now() throws IOException {
            Map<String, Long> switches = new TreeMap<>();
            try (Stream<Path> threads = Files.list(SELF.resolve("task"))) {
                for (Path thread : threads.toList()) {
                    switches.merge(Files.readString(thread.resolve("comm")).strip(), voluntary(thread), Long::sum);
                }
            }
            String stat = Files.readString(SELF.resolve("stat"));
            String[] fields = stat.substring(stat.lastIndexOf(')') + 2).split(" ");
            return new Cost(switches, (Long.parseLong(fields[11]) + Long.parseLong(fields[12])) / TICKS_IN_SECOND);
        }

        private static long voluntary(Path thread) throws IOException {
            try (Stream<String> lines = Files.lines(thread.resolve("status"))) {
                return lines.filter(line -> line.startsWith("voluntary_ctxt_switches:"))
                        .mapToLong(line -> Long.parseLong(line.substring(line.indexOf(':') + 1).strip())).sum();
            }
        }

        long all() {
            return switches.values().stream().mapToLong(Long::longValue).sum();
        }
    }

    public static void main(String[] arguments) throws Exception {
        Site site = SmallSite.with(IdlePanel.JSON);
        IdlePanel idle = new IdlePanel(new World(), new World(), Clock.REAL);
        BoardPanel panel = new BoardPanel(site.panel(), idle.header, idle.buses, Path.of("/nothing"), Clock.REAL,
                new ChipsThread("chips", Clock.REAL, System.err::println),
                new ChipsThread("strips", Clock.REAL, System.err::println));
        Path folder = Files.createTempDirectory("idle");
        Drivers drivers = Drivers.installed();
        try (EventLog log = EventLog.open(folder, Limits.DEFAULT.logQueue(), System.err::println);
                Show show = new Show(site, panel, System.err::println)) {
            show.tap(log);
            show.start(name -> drivers.named(name).orElseThrow());
            System.out.printf("At rest: %s; %d s each, %d cores, Java %s%n", panel.describe(), SECONDS,
                    Runtime.getRuntime().availableProcessors(), Runtime.version().feature());
            Thread.sleep(SETTLE_SECONDS * 1_000L);
            for (int round = 0; round < ROUNDS; round++) {
                measure();
            }
        } finally {
            try (Stream<Path> files = Files.walk(folder)) {
                files.sorted(Comparator.reverseOrder()).forEach(file -> file.toFile().delete());
            }
        }
    }

    private static void measure() throws IOException, InterruptedException {
        Cost before = Cost.now();
        Thread.sleep(SECONDS * 1_000L);
        Cost after = Cost.now();
        System.out.printf(Locale.ROOT, "%.1f wake-ups a second, %.2f %% of one core (aim: below 20, below 1 %%):",
                (after.all() - before.all()) / (double) SECONDS,
                100 * (after.cpuSeconds() - before.cpuSeconds()) / SECONDS);
        after.switches().forEach((thread, count) -> {
            long woke = count - before.switches().getOrDefault(thread, 0L);
            if (woke > 0) {
                System.out.printf(Locale.ROOT, " %s %.1f", thread, woke / (double) SECONDS);
            }
        });
        System.out.println();
    }
}
