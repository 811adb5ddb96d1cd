package bellpush.tests.board;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;

/** The packaged program, started as a person starts it, and seen from outside: its output, its log, what it costs. */
final class Program implements AutoCloseable {
    private static final long TICK_MS = 10; // USER_HZ is 100 (proc(5))

    private final Process process;
    private final Path output;
    private final Path log;

    /** @param out where its output and its event log go, for people to read when something was wrong */
    static Program run(Path site, Path out, List<String> options) throws IOException {
        Files.createDirectories(out);
        List<String> words = new ArrayList<>(Fingers.IN_LINE);
        words.addAll(List.of("runtime/bin/bellpush", "run", site.toString(), "--log", out.toString(),
                "--panel", "board"));
        words.addAll(options);
        Path output = out.resolve("output.txt");
        Process process = new ProcessBuilder(words).redirectErrorStream(true).redirectOutput(output.toFile()).start();
        return new Program(process, output, out);
    }

    private Program(Process process, Path output, Path log) {
        this.process = process;
        this.output = output;
        this.log = log;
    }

    boolean alive() {
        return process.isAlive();
    }

    String output() {
        return read(output);
    }

    /** All lines of its event log so far. */
    String log() throws IOException {
        StringBuilder all = new StringBuilder();
        try (Stream<Path> files = Files.list(log)) {
            files.filter(file -> file.toString().endsWith(".jsonl")).sorted().forEach(file -> all.append(read(file)));
        }
        return all.toString();
    }

    /** A file's text; none if it cannot be read. */
    static String read(Path file) {
        try {
            return Files.readString(file, StandardCharsets.UTF_8);
        } catch (IOException e) {
            return "";
        }
    }

    /**
     * What it has cost so far.
     *
     * @param switches voluntary context switches of all its threads: how often one of them went to sleep, so how often one woke
     * @param cpuMs    processor time
     */
    record Cost(long switches, long cpuMs) {
        Cost since(Cost before) {
            return new Cost(switches - before.switches, cpuMs - before.cpuMs);
        }
    }

    Cost cost() throws IOException {
        Path proc = Path.of("/proc", String.valueOf(process.pid()));
        long switches = 0;
        try (Stream<Path> threads = Files.list(proc.resolve("task"))) {
            for (Path thread : threads.toList()) {
                for (String line : read(thread.resolve("status")).split("\n")) {
                    if (line.startsWith("voluntary_ctxt_switches:")) {
                        switches += Long.parseLong(line.substring(line.indexOf(':') + 1).strip());
                    }
                }
            }
        }
        String stat = Files.readString(proc.resolve("stat"));
        String[] fields = stat.substring(stat.lastIndexOf(')') + 2).split(" ");
        return new Cost(switches, (Long.parseLong(fields[11]) + Long.parseLong(fields[12])) * TICK_MS);
    }

    int threads() throws IOException {
        try (Stream<Path> threads = Files.list(Path.of("/proc", String.valueOf(process.pid()), "task"))) {
            return (int) threads.count();
        }
    }

    /** SIGTERM, as the system does it. @return its exit code, or -1 if it did not end in time */
    int terminate() throws InterruptedException {
        process.destroy();
        return process.waitFor(20, TimeUnit.SECONDS) ? process.exitValue() : -1;
    }

    @Override
    public void close() {
        try {
            if (process.isAlive()) {
                process.destroyForcibly().waitFor(10, TimeUnit.SECONDS);
            }
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }
}
