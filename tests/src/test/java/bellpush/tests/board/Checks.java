package bellpush.tests.board;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;

/**
 * The checks of one running program. Each leaves the contacts as it has found them, and gives the figures that it has found, for
 * people.
 */
final class Checks {
    private static final int CHIME = 5;
    private static final int CURTAIN = 6;
    private static final int ZOOM_OUT = 16;
    private static final int ZOOM_IN = 20;
    private static final int CURTAIN_LAMP = 13;
    private static final int ALARM_LAMP = 19;
    static final Set<Integer> LAMPS = Set.of(CURTAIN_LAMP, ALARM_LAMP);
    private static final int[] LEVEL = {17, 27};

    private static final int PRESSES = 200;
    /**
     * The worst of 16 switches bounced for 6.2 ms, and the average was 1.557 ms: J. Ganssle, "A Guide to Debouncing".
     */
    private static final long WORST_BOUNCE_NANOS = 6_200_000;
    private static final long AVERAGE_BOUNCE_NANOS = 1_557_000;
    /** A burst that the machine has drawn out beyond this is no bounce of the published length; its press is made again. */
    private static final long DRAWN_OUT_NANOS = 8_000_000;
    private static final int MOST_DRAWN_OUT = 100;

    /** The site's, which is the default. */
    private static final int LOCKOUT_MS = 10;

    private static final int WARM_UP_DETENTS = 40;
    private static final int SPUN_DETENTS = 500;
    private static final int CARRIED_DETENTS = 500;

    private final Bench bench;
    private final SimulatedChip chip;
    private final Random random;
    private final Reader reader;

    /** @param random decides how contacts bounce and how long fingers stay */
    Checks(Bench bench, Random random, Reader reader) {
        this.bench = bench;
        this.chip = bench.chip;
        this.random = random;
        this.reader = reader;
    }

    /** All lamps are lit for a moment before the evening begins. */
    String start() throws IOException, Failure {
        for (int lamp : LAMPS) {
            Bench.eventually("the lamp on line " + lamp + " has been lit and switched off again",
                    () -> bench.outputs.levels(lamp).contains(1) && bench.outputs.last(lamp).orElse(1) == 0);
        }
        return "the panel is open, all lamps were tested, the gear is known";
    }

    /** Presses with bounce on closing and on opening: one press, one macro. */
    String presses() throws IOException, InterruptedException, Failure {
        int counted = 0;
        int drawnOut = 0;
        int edges = 0;
        long longest = 0;
        for (int press = 1; counted < PRESSES; press++) {
            int chimes = bench.desk.heard("CHIME");
            int marks = bench.clock.marks();
            Fingers.Bounced closing = bench.fingers.move(CHIME, true, bounce(random, press));
            Fingers.rest(LOCKOUT_MS + 10 + random.nextInt(40));
            Fingers.Bounced opening = bench.fingers.move(CHIME, false, bounce(random, press));
            Fingers.rest(LOCKOUT_MS + 20 + random.nextInt(40));
            Bench.eventually("press " + press + " is followed by a chime and a mark",
                    () -> bench.desk.heard("CHIME") > chimes && bench.clock.marks() > marks);
            if (Math.max(closing.tookNanos(), opening.tookNanos()) > DRAWN_OUT_NANOS) {
                Failure.unless(++drawnOut <= MOST_DRAWN_OUT,
                        "the machine is too busy: it has drawn out the bounce of %d presses", drawnOut);
                Fingers.rest(300);
                continue;
            }
            counted++;
            edges += closing.edges() + opening.edges();
            longest = Math.max(longest, Math.max(closing.tookNanos(), opening.tookNanos()));
            Failure.unless(bench.desk.heard("CHIME") == chimes + 1 && bench.clock.marks() == marks + 1,
                    "press %d was followed by %d chimes and %d marks, in place of 1 and 1", press,
                    bench.desk.heard("CHIME") - chimes, bench.clock.marks() - marks);
        }
        int chimes = bench.desk.heard("CHIME");
        Fingers.rest(1_000);
        Failure.unless(bench.desk.heard("CHIME") == chimes, "%d chimes came after the last press",
                bench.desk.heard("CHIME") - chimes);
        return String.format(Locale.ROOT,
                "%d presses, %d macros; %d edges, each contact bounced for up to %.1f ms, lock-out %d ms%s", counted,
                counted, edges, longest / 1e6, LOCKOUT_MS,
                drawnOut == 0 ? "" : "; " + drawnOut + " presses made again, since the machine stood still in them");
    }

    /** Every other time the worst, else anything from the average on. */
    private static long bounce(Random random, int press) {
        return press % 2 == 0 ? WORST_BOUNCE_NANOS : random.nextLong(AVERAGE_BOUNCE_NANOS, WORST_BOUNCE_NANOS);
    }

    /** A knob turned in both directions, while the button beside it is pressed now and then: no detent is lost or made up. */
    String detents() throws IOException, InterruptedException, Failure {
        // What the desk's level is becomes known, and the program warms up.
        bench.fingers.turn(LEVEL, WARM_UP_DETENTS, reader.edgeNanos(), _ -> {});
        Fingers.rest(500);
        int detents = reader.detents();
        double forward = turnTo(detents);
        int sets = bench.desk.heard("LEVEL");
        double backward = turnTo(-detents);
        return String.format(Locale.ROOT,
                "%d detents forward at %.0f a second, %d back at %.0f, none lost; %d + %d messages; %d chimes meanwhile%s",
                detents, forward, detents, backward, sets, bench.desk.heard("LEVEL") - sets, bench.desk.heard("CHIME"),
                reader == Reader.LINES ? "" : spun());
    }

    /** What becomes of a knob that is spun faster than the reader is held to. */
    private String spun() throws IOException {
        int from = Integer.parseInt(bench.desk.value("LEVEL"));
        double pace = bench.fingers.turn(LEVEL, SPUN_DETENTS, Reader.LINES.edgeNanos(), _ -> {});
        Fingers.rest(2_000);
        return String.format(Locale.ROOT, "; of %d at %.0f a second, which this reader is not held to, %d were counted",
                SPUN_DETENTS, pace, Integer.parseInt(bench.desk.value("LEVEL")) - from);
    }

    private double turnTo(int by) throws IOException, Failure {
        int from = Integer.parseInt(bench.desk.value("LEVEL"));
        int chimes = bench.desk.heard("CHIME");
        int[] presses = {0};
        double pace = bench.fingers.turn(LEVEL, by, reader.edgeNanos(), detent -> {
            if (detent % 100 == 10) {
                chip.pull(CHIME, false);
                presses[0]++;
            } else if (detent % 100 == 40) {
                chip.pull(CHIME, true);
            }
        });
        chip.pull(CHIME, true);
        int wanted = from + by;
        try {
            Bench.eventually("the desk's level is " + wanted,
                    () -> bench.desk.value("LEVEL").equals(String.valueOf(wanted)));
        } catch (Failure e) {
            throw new Failure(String.format(Locale.ROOT, "%d detents at %.0f a second moved the level by %d", by, pace,
                    Integer.parseInt(bench.desk.value("LEVEL")) - from));
        }
        Fingers.rest(500);
        Failure.unless(bench.desk.value("LEVEL").equals(String.valueOf(wanted)), "the level did not stay at %d",
                wanted);
        Failure.unless(bench.desk.heard("CHIME") == chimes + presses[0], "%d presses meanwhile gave %d chimes",
                presses[0], bench.desk.heard("CHIME") - chimes);
        return pace;
    }

    /** A rocker: the camera zooms while one side is held, and stands still whenever none is. */
    String rocker() throws IOException, Failure {
        int times = 40;
        for (int time = 0; time < times; time++) {
            boolean in = time % 2 == 0;
            bench.fingers.move(in ? ZOOM_IN : ZOOM_OUT, true, bounce(random, time));
            Bench.eventually("the camera zooms " + (in ? "in" : "out"), () -> zooms(in ? 4 : -4));
            Fingers.rest(LOCKOUT_MS + random.nextInt(60));
            bench.fingers.move(in ? ZOOM_IN : ZOOM_OUT, false, bounce(random, time));
            Bench.eventually("the camera stands still", () -> zooms(0));
            Fingers.rest(300);
            Failure.unless(zooms(0), "the camera stood still at first, and then zoomed with nobody at the rocker");
        }
        return times + " times held and let go, with bounce: the camera zoomed and stood still as often";
    }

    private boolean zooms(int speed) {
        return bench.desk.value("ZOOM").equals(String.valueOf(speed));
    }

    /** Lamps follow what the desk says, as the kernel shows the outputs. */
    String lamps() throws IOException, InterruptedException, Failure {
        Failure.unless(!chip.high(CURTAIN_LAMP), "the curtain's lamp is on before anything was done");
        int changes = 0;
        for (int time = 0; time < 20; time++) { // somebody at the desk
            boolean open = time % 2 == 0;
            bench.desk.becomes("CURTAIN", open ? "1" : "0");
            Bench.eventually("the curtain's lamp is " + (open ? "on" : "off"),
                    () -> chip.high(CURTAIN_LAMP) == open);
            changes++;
        }
        chip.pull(CURTAIN, false);
        Fingers.rest(60);
        chip.pull(CURTAIN, true);
        Bench.eventually("the desk was told to open the curtain", () -> bench.desk.value("CURTAIN").equals("1"));
        Bench.eventually("the curtain's lamp is on", () -> chip.high(CURTAIN_LAMP));
        bench.desk.becomes("ALARM", "1");
        double flashes = flashesPerSecond(ALARM_LAMP, 8);
        Failure.unless(flashes > 1.7 && flashes < 2.3, "the alarm's lamp flashed %.2f times a second, in place of 2",
                flashes);
        bench.desk.becomes("ALARM", "0");
        Bench.eventually("the alarm's lamp is off", () -> !chip.high(ALARM_LAMP));
        return String.format(Locale.ROOT, "%d changes at the desk seen at the output, and a flash of %.2f Hz",
                changes, flashes);
    }

    /** From the first time that the line goes high to the last. */
    private double flashesPerSecond(int line, long seconds) {
        long until = System.nanoTime() + TimeUnit.SECONDS.toNanos(seconds);
        List<Long> rises = new ArrayList<>();
        boolean was = chip.high(line);
        while (System.nanoTime() < until) {
            boolean is = chip.high(line);
            if (is && !was) {
                rises.add(System.nanoTime());
            }
            was = is;
            Fingers.rest(5);
        }
        return rises.size() < 2 ? 0 : (rises.size() - 1) * 1e9 / (rises.getLast() - rises.getFirst());
    }

    /** Told to stop, the program leaves its outputs dark. */
    String stop() throws IOException, InterruptedException, Failure {
        bench.desk.becomes("CURTAIN", "1");
        bench.desk.becomes("ALARM", "1");
        Bench.eventually("the curtain's lamp is on", () -> chip.high(CURTAIN_LAMP));
        Bench.eventually("the alarm's lamp flashes", () -> chip.high(ALARM_LAMP));
        chip.pull(ZOOM_IN, false);
        Bench.eventually("the camera zooms in", () -> zooms(4));
        Outputs outputs = new Outputs(chip); // from here on
        long began = System.nanoTime();
        int code = bench.program.terminate();
        long tookMs = (System.nanoTime() - began) / 1_000_000;
        Failure.unless(code == 0, "the program ended with %d on SIGTERM", code);
        for (int lamp : LAMPS) {
            Failure.unless(outputs.last(lamp).orElse(1) == 0,
                    "the lamp on line %d was not switched off; what it was set to since SIGTERM: %s", lamp,
                    outputs.levels(lamp));
            Failure.unless(!chip.high(lamp), "the lamp on line %d is on after the program's end", lamp);
        }
        chip.pull(ZOOM_IN, true);
        Failure.unless(zooms(0), "the camera zooms on with speed %s after the program's end", bench.desk.value("ZOOM"));
        return String.format(Locale.ROOT,
                "SIGTERM with the rocker held: the camera stopped, both lamps set to dark, ended with 0 after %d ms",
                tookMs);
    }

    /** The chip goes and comes back in the middle of the show. */
    String unplugged() throws IOException, InterruptedException, Failure {
        bench.desk.becomes("CURTAIN", "0");
        Bench.eventually("the curtain's lamp is off", () -> !chip.high(CURTAIN_LAMP));
        chip.pull(ZOOM_IN, false);
        Bench.eventually("the camera zooms in", () -> zooms(4));
        String before = bench.program.log();
        chip.unplug();
        Bench.eventually("the camera that zoomed when the pins went stands still", () -> zooms(0));
        Bench.eventually("the log notes that the pins are gone",
                () -> newPanelLines(before) > 0);
        String gone = bench.program.log();
        bench.desk.becomes("CURTAIN", "1"); // the show goes on
        Bench.eventually("the desk's report is in the log",
                () -> bench.program.log().substring(gone.length()).contains("desk.curtain.open")
                        || bench.program.log().substring(gone.length()).contains("\"curtain.open\""));
        Fingers.rest(2_000);
        Failure.unless(bench.program.alive(), "the program ended when its chip went");
        chip.plugIn(Board.LABEL, LAMPS);
        long began = System.nanoTime();
        Bench.eventually("the curtain's lamp shows what the desk said meanwhile",
                () -> chip.high(CURTAIN_LAMP));
        long tookMs = (System.nanoTime() - began) / 1_000_000;
        int chimes = bench.desk.heard("CHIME");
        for (int press = 0; press < 10; press++) {
            chip.pull(CHIME, false);
            Fingers.rest(50);
            chip.pull(CHIME, true);
            Fingers.rest(50);
        }
        Bench.eventually("ten presses give ten chimes again", () -> bench.desk.heard("CHIME") >= chimes + 10);
        Fingers.rest(500);
        Failure.unless(bench.desk.heard("CHIME") == chimes + 10, "ten presses gave %d chimes",
                bench.desk.heard("CHIME") - chimes);
        return String.format(Locale.ROOT,
                "noted, the camera stopped, the show went on; %d ms after the chip was back its lamp was right, then 10 presses, 10 macros",
                tookMs);
    }

    private long newPanelLines(String before) throws IOException {
        return bench.program.log().substring(before.length()).lines()
                .filter(line -> line.contains("\"what\":\"panel\""))
                .count();
    }

    /** What it costs to wait for a finger. The share of an emulated processor is for comparing only. */
    String idle() throws IOException, InterruptedException, Failure {
        boolean told = Double.isInfinite(reader.wakesInSecond()); // and then soon, since it keeps the machine busy
        Fingers.rest(told ? 2_000 : 8_000); // compilers and collectors have settled
        int seconds = told ? 5 : 20;
        Program.Cost before = bench.program.cost();
        Thread.sleep(seconds * 1_000L);
        Program.Cost cost = bench.program.cost().since(before);
        double wakes = cost.switches() / (double) seconds;
        Failure.unless(wakes < reader.wakesInSecond(), "%.1f wake-ups a second, and fewer than %.0f are wanted", wakes,
                reader.wakesInSecond());
        return String.format(Locale.ROOT, "%.1f wake-ups a second, %.1f %% of one processor, %d threads", wakes,
                cost.cpuMs() / (seconds * 10.0), bench.program.threads());
    }

    /**
     * What the simulated chip itself carries: edges as fast as they can be made, seen by the kernel's own tool. What the program
     * loses below this pace is the program's loss.
     */
    static String carried(SimulatedChip chip) throws IOException, InterruptedException, Failure {
        int edges = 4 * CARRIED_DETENTS;
        Path seen = Files.createTempFile("edges", ".txt");
        List<String> words = new ArrayList<>(Fingers.IN_LINE);
        words.addAll(List.of("gpiomon", "-c", chip.device(), "--bias", "pull-up", "--format", "%o %e",
                "--num-events", String.valueOf(edges), String.valueOf(LEVEL[0]), String.valueOf(LEVEL[1])));
        Process monitor = new ProcessBuilder(words).redirectErrorStream(true).redirectOutput(seen.toFile()).start();
        try {
            Fingers fingers = new Fingers(chip, new Random());
            long until = System.nanoTime() + TimeUnit.SECONDS.toNanos(20);
            while (linesInUse() < LEVEL.length) {
                Failure.unless(System.nanoTime() < until, "gpiomon did not open its lines");
                Fingers.rest(20);
            }
            double pace = fingers.turn(LEVEL, CARRIED_DETENTS, Reader.LINES.edgeNanos() / 2, _ -> {});
            boolean all = monitor.waitFor(5, TimeUnit.SECONDS);
            monitor.destroy();
            monitor.waitFor(5, TimeUnit.SECONDS);
            int counted = Files.readAllLines(seen).size();
            Failure.unless(all && counted == edges, "%d of %d edges seen by gpiomon at %.0f detents a second", counted,
                    edges, pace);
            return String.format(Locale.ROOT, "%d edges of a knob at %.0f detents a second, all seen by gpiomon", edges,
                    pace);
        } finally {
            monitor.destroyForcibly();
        }
    }

    /** Each line that somebody waits for edges of has a thread of the kernel's. */
    private static long linesInUse() throws IOException {
        try (Stream<Path> processes = Files.list(Path.of("/proc"))) {
            return processes.filter(process -> Program.read(process.resolve("comm")).startsWith("irq/")).count();
        }
    }
}
