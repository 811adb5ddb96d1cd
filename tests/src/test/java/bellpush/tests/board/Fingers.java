package bellpush.tests.board;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Random;
import java.util.function.IntConsumer;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.LockSupport;
import java.util.stream.LongStream;

/**
 * What hands do to contacts. The simulated chip hands each edge to a kernel thread, and an edge is forgotten that comes before that
 * thread has looked at the one before. The machine has one processor, where those threads go first, so an edge is taken before the
 * next one can be made; and the thread that moves the contacts goes before the program, so that it moves them when it means to.
 */
final class Fingers {
    /** Nobody's hand makes these; they keep each edge of a burst an edge of its own. */
    private static final long LEAST_GAP_NANOS = 200_000;

    private final SimulatedChip chip;
    private final Random random;

    /** @param random decides how contacts bounce */
    Fingers(SimulatedChip chip, Random random) {
        this.chip = chip;
        this.random = random;
    }

    /** The calling thread goes before all but the kernel's. */
    static void goFirst() throws IOException, InterruptedException {
        String self = Files.readSymbolicLink(Path.of("/proc/thread-self")).getFileName().toString();
        Process chrt = new ProcessBuilder("chrt", "-f", "-p", "10", self).redirectErrorStream(true)
                .redirectOutput(ProcessBuilder.Redirect.DISCARD).start();
        if (!chrt.waitFor(10, TimeUnit.SECONDS) || chrt.exitValue() != 0) {
            throw new IOException("the thread that moves the contacts cannot be made to go first");
        }
    }

    /** Starts a program that does not go first, as a program does that is started by a thread that does. */
    static final List<String> IN_LINE = List.of("chrt", "-o", "0");

    /** What one movement of a contact was like: its edges, and how long after the first the last one was. */
    record Bounced(int edges, long tookNanos) {}

    /** Closes or opens a contact to ground, which then bounces for so long: the last edge of the burst is the one that lasts. */
    Bounced move(int line, boolean closed, long bounceNanos) {
        int returns = 1 + random.nextInt(6);
        long[] at = LongStream.concat(LongStream.of(0, bounceNanos),
                random.longs(2L * returns - 1, LEAST_GAP_NANOS, Math.max(LEAST_GAP_NANOS + 1, bounceNanos)))
                .sorted().toArray();
        long began = System.nanoTime();
        boolean now = closed;
        for (long each : at) {
            until(began + each);
            chip.pull(line, !now);
            now = !now;
            until(System.nanoTime() + LEAST_GAP_NANOS / 4);
        }
        return new Bounced(at.length, System.nanoTime() - began);
    }

    /** The two channels of a knob: which contact to ground moves, and whether it closes. */
    private record Channel(int index, boolean closed) {}

    private static final List<Channel> FORWARD = List.of(new Channel(1, true), new Channel(0, true),
            new Channel(1, false), new Channel(0, false));
    private static final List<Channel> BACKWARD = List.of(new Channel(0, true), new Channel(1, true),
            new Channel(0, false), new Channel(1, false));

    /**
     * Turns a knob: four edges for each detent, evenly in time.
     *
     * @param whileTurning is called after each detent with its number, from 1
     * @return detents per second
     */
    double turn(int[] lines, int detents, long gapNanos, IntConsumer whileTurning) {
        long began = System.nanoTime();
        long due = began;
        for (int detent = 1; detent <= Math.abs(detents); detent++) {
            for (Channel channel : detents > 0 ? FORWARD : BACKWARD) {
                chip.pull(lines[channel.index], !channel.closed);
                due = Math.max(due + gapNanos, System.nanoTime() + gapNanos / 2); // what was late is not made up for in a rush
                until(due);
            }
            whileTurning.accept(detent);
        }
        return Math.abs(detents) * 1e9 / (System.nanoTime() - began);
    }

    static void until(long atNanos) {
        for (long left = atNanos - System.nanoTime(); left > 0; left = atNanos - System.nanoTime()) {
            LockSupport.parkNanos(left);
        }
    }

    static void rest(long ms) {
        until(System.nanoTime() + ms * 1_000_000);
    }
}
