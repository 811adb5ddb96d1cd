package bellpush.tests.board;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.LockSupport;
import java.util.stream.LongStream;
import java.util.stream.Stream;

/**
 * What hands do to contacts, in real time. The simulated chip hands each edge to a kernel thread, and an edge is forgotten that comes
 * before that thread has looked at the one before. On a machine whose processors stand still now and then, any pace is too fast
 * at times; so the thread that closes contacts and the kernel's threads for the edges share one processor, where those go first:
 * an edge is taken before the next can be made. Real chips need none of this.
 */
final class Fingers {
    /** Nobody's hand makes these; they keep each edge of a burst an edge of its own. */
    private static final long LEAST_GAP_NANOS = 200_000;

    /** What a thread may wake too late by. */
    private static final long SPIN_NANOS = 100_000;

    /** Starts a program on any processor; it would be where the thread is that starts it. */
    static final List<String> ANYWHERE = List.of("taskset", "3", "chrt", "-o", "0");

    private final SimulatedChip chip;
    private final Random random;

    /** @param random decides how contacts bounce */
    Fingers(SimulatedChip chip, Random random) {
        this.chip = chip;
        this.random = random;
    }

    /**
     * Puts the calling thread and the threads of the edges of all lines now in use on the first processor.
     *
     * @return how many lines are in use
     */
    int takePlace() throws IOException, InterruptedException {
        String self = Files.readSymbolicLink(Path.of("/proc/thread-self")).getFileName().toString();
        if (!pin(self) || !done("chrt", "-f", "-p", "10", self)) {
            throw new IOException("the thread that moves the contacts cannot be given its place");
        }
        int edges = 0;
        try (Stream<Path> processes = Files.list(Path.of("/proc"))) {
            for (Path process : processes.filter(p -> p.getFileName().toString().matches("\\d+")).toList()) {
                if (comm(process).startsWith("irq/") && pin(process.getFileName().toString())) {
                    edges++;
                }
            }
        }
        return edges;
    }

    private static String comm(Path process) {
        try {
            return Files.readString(process.resolve("comm"));
        } catch (IOException ended) {
            return "";
        }
    }

    /** @return whether it could be done; a thread may have ended meanwhile */
    private static boolean pin(String thread) throws IOException, InterruptedException {
        return done("taskset", "-p", "1", thread);
    }

    private static boolean done(String... words) throws IOException, InterruptedException {
        Process process = new ProcessBuilder(words).redirectErrorStream(true)
                .redirectOutput(ProcessBuilder.Redirect.DISCARD).start();
        return process.waitFor(10, TimeUnit.SECONDS) && process.exitValue() == 0;
    }

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
    double turn(int[] lines, int detents, double edgeMs, java.util.function.IntConsumer whileTurning) {
        long gap = (long) (edgeMs * 1e6);
        long began = System.nanoTime();
        long due = began;
        for (int detent = 1; detent <= Math.abs(detents); detent++) {
            for (Channel channel : detents > 0 ? FORWARD : BACKWARD) {
                chip.pull(lines[channel.index], !channel.closed);
                due = Math.max(due + gap, System.nanoTime() + gap / 2); // what was late is not made up for in a rush
                until(due);
            }
            whileTurning.accept(detent);
        }
        return Math.abs(detents) * 1e9 / (System.nanoTime() - began);
    }

    /** Sleeps, so that the program has this processor as well, and spins for the last part. */
    static void until(long atNanos) {
        long left = atNanos - System.nanoTime();
        while (left > 0) {
            if (left > SPIN_NANOS) {
                LockSupport.parkNanos(left - SPIN_NANOS);
            } else {
                Thread.onSpinWait();
            }
            left = atNanos - System.nanoTime();
        }
    }

    static void rest(long ms) {
        long until = System.nanoTime() + ms * 1_000_000;
        for (long left = until - System.nanoTime(); left > 0; left = until - System.nanoTime()) {
            LockSupport.parkNanos(left);
        }
    }
}
