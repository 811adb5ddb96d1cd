package bellpush.tests.board;

import java.io.IOException;
import java.io.PrintStream;
import java.nio.file.Path;
import java.util.ArrayList;
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
    /** Fewer wake-ups a second than this, with all pins of the header open. */
    private static final double WAKES = 20;
    private static final Path OUT = Path.of("/out");
    private static final PrintStream SAY = System.out;

    private interface Check {
        String run() throws IOException, InterruptedException, Failure;
    }

    public static void main(String[] words) throws IOException, InterruptedException {
        List<String> readers = new ArrayList<>(List.of("lines", "pi4j"));
        Set<String> only = Set.of();
        for (int at = 0; at + 1 < words.length; at += 2) {
            switch (words[at]) {
                case "--reader" -> readers = List.of(words[at + 1].split(","));
                case "--only" -> only = Set.of(words[at + 1].split(","));
                default -> throw new IllegalArgumentException("unknown: " + words[at]);
            }
        }
        boolean well = true;
        try (SimulatedChip chip = new SimulatedChip("header")) {
            chip.plugIn(LABEL);
            if (only.isEmpty() || only.contains("chip")) {
                well &= check("chip", "carries", () -> Checks.carried(chip));
            }
            for (String reader : readers) {
                well &= evening(chip, reader, only);
                if (only.isEmpty() || only.contains("idle")) {
                    well &= idle(chip, reader);
                }
            }
        }
        System.exit(well ? 0 : 1);
    }

    private static boolean evening(SimulatedChip chip, String reader, Set<String> only) throws InterruptedException {
        long began = System.nanoTime();
        try (Bench bench = new Bench(chip, "hall", OUT.resolve(reader), options(reader), new Random(SEED))) {
            say(reader, "start", true, "the panel is open and the gear is known", began);
            Checks checks = new Checks(bench, new Random(SEED), reader.equals("lines") ? 0.83 : 4);
            Map<String, Check> all = new LinkedHashMap<>();
            all.put("presses", checks::presses);
            all.put("detents", checks::detents);
            all.put("lamps", checks::lamps);
            if (reader.equals("lines")) {
                all.put("unplugged", checks::unplugged);
            }
            all.put("stop", checks::stop);
            boolean well = true;
            for (Map.Entry<String, Check> each : all.entrySet()) {
                if (only.isEmpty() || only.contains(each.getKey())) {
                    well &= check(reader, each.getKey(), each.getValue());
                }
            }
            return well;
        } catch (Failure | IOException | RuntimeException e) {
            return say(reader, "start", false, words(e), began);
        }
    }

    private static boolean idle(SimulatedChip chip, String reader) throws InterruptedException {
        return check(reader, "idle", () -> {
            try (Bench bench = new Bench(chip, "idle", OUT.resolve(reader + "-idle"), options(reader),
                    new Random(SEED))) {
                return Checks.idle(bench, reader.equals("lines") ? WAKES : Double.MAX_VALUE);
            }
        });
    }

    private static List<String> options(String reader) {
        return System.getenv("X") == null ? List.of() : List.of("--reader", reader);
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
