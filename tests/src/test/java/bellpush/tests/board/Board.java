package bellpush.tests.board;

import java.io.IOException;
import java.io.PrintStream;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Random;
import java.util.Set;

/** The program that the emulated machine runs. Ends with 0 if all checks hold, 1 if one does not. */
public final class Board {
    static final String LABEL = "pinctrl-sim";
    private static final long SEED = 20_261_125;
    private static final Path OUT = Path.of("/out");
    private static final PrintStream SAY = System.out;

    private interface Check {
        String run() throws IOException, InterruptedException, Failure;
    }

    public static void main(String[] words) throws IOException, InterruptedException {
        List<Reader> readers = List.of(Reader.values());
        Set<String> only = Set.of();
        for (int at = 0; at + 1 < words.length; at += 2) {
            switch (words[at]) {
                case "--reader" -> readers = Reader.named(words[at + 1]);
                case "--only" -> only = Set.of(words[at + 1].split(","));
                default -> throw new IllegalArgumentException("unknown: " + words[at]);
            }
        }
        boolean well = true;
        try (SimulatedChip chip = new SimulatedChip("header")) {
            Fingers.goFirst();
            chip.plugIn(LABEL, Checks.LAMPS);
            if (only.isEmpty() || only.contains("chip")) {
                well &= check("chip", "carries", () -> Checks.carried(chip));
            }
            for (Reader reader : readers) {
                well &= evening(chip, reader, only);
                if (only.isEmpty() || only.contains("idle")) {
                    well &= idle(chip, reader);
                }
            }
        }
        System.exit(well ? 0 : 1);
    }

    /** Most checks share one start of the program, as an evening does. */
    private static boolean evening(SimulatedChip chip, Reader reader, Set<String> only) throws InterruptedException {
        long began = System.nanoTime();
        try (Bench bench = new Bench(chip, "hall", OUT.resolve(reader.word()), reader, new Random(SEED))) {
            Checks checks = new Checks(bench, new Random(SEED), reader);
            boolean well = say(reader.word(), "start", true, checks.start(), began);
            Map<String, Check> all = new LinkedHashMap<>();
            all.put("presses", checks::presses);
            all.put("detents", checks::detents);
            all.put("rocker", checks::rocker);
            all.put("lamps", checks::lamps);
            if (reader.comesBack()) {
                all.put("unplugged", checks::unplugged);
            }
            all.put("stop", checks::stop);
            for (Map.Entry<String, Check> each : all.entrySet()) {
                if (only.isEmpty() || only.contains(each.getKey())) {
                    well &= check(reader.word(), each.getKey(), each.getValue());
                }
            }
            return well;
        } catch (Failure | IOException | RuntimeException e) {
            return say(reader.word(), "start", false, words(e), began);
        }
    }

    private static boolean idle(SimulatedChip chip, Reader reader) throws InterruptedException {
        return check(reader.word(), "idle", () -> {
            try (Bench bench = new Bench(chip, "idle", OUT.resolve(reader.word() + "-idle"), reader,
                    new Random(SEED))) {
                return new Checks(bench, new Random(SEED), reader).idle();
            }
        });
    }

    private static boolean check(String reader, String name, Check check) throws InterruptedException {
        long began = System.nanoTime();
        try {
            return say(reader, name, true, check.run(), began);
        } catch (Failure | IOException | RuntimeException e) {
            return say(reader, name, false, words(e), began);
        }
    }

    private static String words(Exception e) {
        return e instanceof Failure ? e.getMessage() : e.toString();
    }

    private static boolean say(String reader, String name, boolean well, String figures, long beganNanos) {
        SAY.printf(Locale.ROOT, "%-6s %-10s %-7s %s (%.0f s)%n", reader, name, well ? "ok" : "FAILED", figures,
                (System.nanoTime() - beganNanos) / 1e9);
        SAY.flush();
        return well;
    }
}
