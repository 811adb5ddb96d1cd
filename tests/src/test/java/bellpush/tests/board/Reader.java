package bellpush.tests.board;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.stream.Stream;

/** The program's readers of pins, and what each is held to. */
enum Reader {
    /** The kernel's line requests: the site's lock-out, and a knob spun at 300 detents a second. */
    LINES(10, 300, true, 20),
    /**
     * Pi4J tells when it got to an edge, not when the edge was, has a thread for each channel of a knob, and the kernel keeps 16
     * edges of a line for it. So on a machine as slow as the emulated one it needs a lock-out that covers what the program does
     * meanwhile, and a slower hand.
     */
    PI4J(60, 50, false, Double.POSITIVE_INFINITY);

    private static final int SITES_LOCKOUT_MS = 10;

    private final int lockoutMs;
    private final int detentsInSecond;
    private final boolean comesBack;
    private final double wakesInSecond;

    Reader(int lockoutMs, int detentsInSecond, boolean comesBack, double wakesInSecond) {
        this.lockoutMs = lockoutMs;
        this.detentsInSecond = detentsInSecond;
        this.comesBack = comesBack;
        this.wakesInSecond = wakesInSecond;
    }

    /** What it is called on the command line. */
    String word() {
        return name().toLowerCase(Locale.ROOT);
    }

    static List<Reader> named(String word) {
        return Arrays.stream(values()).filter(reader -> reader.word().equals(word)).toList();
    }

    List<String> options() {
        return List.of("--reader", word());
    }

    /** A copy of a site with the lock-out for this reader. */
    Path site(String name) throws IOException {
        Path from = Path.of("sites", name);
        Path to = Files.createTempDirectory(name);
        try (Stream<Path> all = Files.walk(from)) {
            for (Path each : all.filter(Files::isRegularFile).toList()) {
                Path copy = to.resolve(from.relativize(each).toString());
                Files.createDirectories(copy.getParent());
                Files.writeString(copy, Files.readString(each).replace(lockout(SITES_LOCKOUT_MS), lockout(lockoutMs)));
            }
        }
        return to;
    }

    private static String lockout(int ms) {
        return "\"lockout\": \"" + ms + " ms\"";
    }

    int lockoutMs() {
        return lockoutMs;
    }

    /** Time between two of the four edges of a detent. */
    long edgeNanos() {
        return 1_000_000_000L / (4L * detentsInSecond);
    }

    /** Whether it is to find its chip again. */
    boolean comesBack() {
        return comesBack;
    }

    /** Fewer than this while nothing moves; infinite: only told. */
    double wakesInSecond() {
        return wakesInSecond;
    }
}
