package bellpush.tests.simulation;

import java.io.PrintStream;
import java.lang.management.ManagementFactory;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Queue;
import java.util.TreeMap;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.concurrent.atomic.AtomicLong;
import java.util.stream.Collectors;
import java.util.stream.Stream;

/**
 * The command {@code tests/simulate}: plays random evenings from a row of seeds, on all cores, and prints what they came to. Ends with
 * status 1 if an invariant was broken, after its seed and a short way to it.
 *
 * <pre>
 * --seeds N     how many evenings (1000)
 * --from N      the first seed (0)
 * --inputs N    inputs of all evenings together (10000000)
 * --threads N   (the cores there are)
 * --seed N      this evening alone, and what it recorded where it broke
 * --acts N,N,…  these acts of it alone
 * --lines N     how many of the last inputs and effects to print of it (60)
 * </pre>
 */
final class Simulate {
    private static final int FAILURES_SHOWN = 5;

    private final Map<String, String> options;
    private final PrintStream out;
    private final Evenings evenings = new Evenings();

    private Simulate(Map<String, String> options, PrintStream out) {
        this.options = options;
        this.out = out;
    }

    public static void main(String[] arguments) throws InterruptedException {
        Map<String, String> options = new HashMap<>();
        for (int i = 0; i + 1 < arguments.length; i += 2) {
            options.put(arguments[i], arguments[i + 1]);
        }
        if (arguments.length % 2 != 0
                || !List.of("--seeds", "--from", "--inputs", "--threads", "--seed", "--acts", "--lines")
                        .containsAll(options.keySet())) {
            System.err.println("Usage: tests/simulate [--seeds N] [--from N] [--inputs N] [--threads N]"
                    + " [--seed N [--acts N,N] [--lines N]]");
            System.exit(2);
        }
        Simulate simulate = new Simulate(options, System.out);
        System.exit((options.containsKey("--seed") ? simulate.one() : simulate.many()) ? 0 : 1);
    }

    private long number(String option, long without) {
        return Long.parseLong(options.getOrDefault(option, Long.toString(without)));
    }

    private boolean one() {
        long seed = number("--seed", 0);
        Evening evening = new Evening(seed, evenings.play(seed)).noted((int) number("--lines", 60));
        Evening.Result result = options.containsKey("--acts")
                ? evening.play(Stream.of(options.get("--acts").split(",")).map(Integer::valueOf).toList())
                : evening.play(number("--inputs", 10_000));
        out.printf("seed %d: %,d inputs, %,d runs, %.1f min, digest %016x%n", seed, result.inputs(), result.runs(),
                result.virtualNanos() / 60e9, result.digest());
        out.println(evening.most());
        result.broken().ifPresent(broken -> {
            evening.lines().forEach(out::println);
            out.println(broken.getMessage());
            if (broken.getCause() != null) {
                broken.getCause().printStackTrace(out);
            }
            if (!options.containsKey("--acts")) {
                out.println(evenings.story(result));
            }
        });
        return result.broken().isEmpty();
    }

    private boolean many() throws InterruptedException {
        long seeds = number("--seeds", 1_000);
        long from = number("--from", 0);
        long inputsEach = Math.ceilDiv(number("--inputs", 10_000_000), seeds);
        int threads = (int) number("--threads", Runtime.getRuntime().availableProcessors());
        AtomicLong cpuNanos = new AtomicLong();
        AtomicLong next = new AtomicLong(from);
        Queue<Evening.Result> results = new ConcurrentLinkedQueue<>();
        Queue<Throwable> errors = new ConcurrentLinkedQueue<>();
        long startedAt = System.nanoTime();
        List<Thread> workers = new ArrayList<>();
        for (int i = 0; i < threads; i++) {
            Thread worker = new Thread(() -> {
                for (long seed = next.getAndIncrement(); seed < from + seeds; seed = next.getAndIncrement()) {
                    results.add(evenings.play(seed, inputsEach));
                }
                cpuNanos.addAndGet(ManagementFactory.getThreadMXBean().getCurrentThreadCpuTime());
            }, "evenings-" + i);
            worker.setUncaughtExceptionHandler((_, error) -> errors.add(error));
            worker.start();
            workers.add(worker);
        }
        for (Thread worker : workers) {
            worker.join();
        }
        double seconds = (System.nanoTime() - startedAt) / 1e9;
        errors.forEach(error -> error.printStackTrace(out));
        return told(results, threads, seconds, cpuNanos.get() / 1e9) && errors.isEmpty();
    }

    private boolean told(Queue<Evening.Result> results, int threads, double seconds, double cpuSeconds) {
        long inputs = results.stream().mapToLong(Evening.Result::inputs).sum();
        double virtual = results.stream().mapToDouble(r -> r.virtualNanos() / 1e9).sum();
        long digest = results.stream().mapToLong(r -> r.seed() * 31 ^ r.digest()).sum();
        out.printf("%,d evenings, %,d inputs, %,d macro runs, in %.1f s on %d threads%n", results.size(), inputs,
                results.stream().mapToLong(Evening.Result::runs).sum(), seconds, threads);
        out.printf(
                "%.0f h of evening, %,.0f times as fast as the evening; %.1f us of processor time an input, %.0f s in all%n",
                virtual / 3600, virtual / seconds, cpuSeconds / inputs * 1e6, cpuSeconds);
        out.printf("digest of all effects: %016x%n", digest);
        List<Evening.Result> broken = results.stream().filter(r -> r.broken().isPresent()).sorted(
                Comparator.comparingLong(Evening.Result::seed)).toList();
        if (broken.isEmpty()) {
            out.println("no invariant was broken");
            return true;
        }
        out.printf("BROKEN in %d evenings: %s%n", broken.size(), broken.stream()
                .collect(Collectors.groupingBy(r -> r.broken().orElseThrow().invariant,
                        TreeMap::new, Collectors.counting())));
        List<String> shown = new ArrayList<>();
        for (Evening.Result each : broken) {
            String invariant = each.broken().orElseThrow().invariant;
            if (shown.size() < FAILURES_SHOWN && shown.stream().filter(invariant::equals).count() < 2) {
                shown.add(invariant);
                out.println(evenings.story(each));
            }
        }
        return false;
    }
}
