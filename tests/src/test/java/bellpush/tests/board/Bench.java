package bellpush.tests.board;

import java.io.IOException;
import java.nio.file.Path;
import java.util.Random;
import java.util.concurrent.TimeUnit;

/** What a check has around it: the chip, the gear, and the program that runs a site on them. */
final class Bench implements AutoCloseable {
    private static final long START_S = 150;
    private static final long PATIENCE_S = 20;

    final SimulatedChip chip;
    final Fingers fingers;
    final Desk desk = new Desk();
    final Clock clock = new Clock();
    /** What the program does with its outputs, from its start on. */
    final Outputs outputs;
    final Program program;

    /** Starts the program and waits until its panel is open and its gear is known. */
    Bench(SimulatedChip chip, String site, Path out, Reader reader, Random random)
            throws IOException, Failure {
        this.chip = chip;
        this.fingers = new Fingers(chip, random);
        this.outputs = new Outputs(chip);
        this.program = Program.run(Path.of("sites", site), out, reader.options());
        try {
            eventually("the program opens its panel and asks the desk for what it shows", START_S, () -> {
                Failure.unless(program.alive(), "the program ended at its start: %s", program.output().strip());
                return desk.known() && program.log().contains("\"what\":\"panel\"");
            });
            Fingers.rest(500);
        } catch (IOException | Failure | RuntimeException e) {
            close();
            throw e;
        }
    }

    /** Something that becomes true. */
    interface Condition {
        boolean holds() throws IOException, Failure;
    }

    static void eventually(String what, Condition condition) throws IOException, Failure {
        eventually(what, PATIENCE_S, condition);
    }

    static void eventually(String what, long withinS, Condition condition) throws IOException, Failure {
        long until = System.nanoTime() + TimeUnit.SECONDS.toNanos(withinS);
        while (!condition.holds()) {
            Failure.unless(System.nanoTime() < until, "within %d s it was not so that %s", withinS, what);
            Fingers.rest(10);
        }
    }

    @Override
    public void close() throws IOException {
        try (program; desk; clock) {
            // closed in the other order
        }
    }
}
