package bellpush.tests.board;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;

/** The program's readers of pins, and what each is held to. */
enum Reader {
    /** The kernel's line requests: a knob spun at 300 detents a second. */
    LINES(300, 2_000, true, 20),
    /**
     * Pi4J tells when it got to an edge, not when the edge was, and has a thread for each channel of a knob: which of two edges was
     * the first is lost whenever the program stands still for longer than lies between them, as while memory is tidied up. So it
     * is held to a hand that turns slowly, and what it makes of a spun knob is only told.
     */
    PI4J(10, 100, false, Double.POSITIVE_INFINITY);

    private final int detentsInSecond;
    private final int detents;
    private final boolean comesBack;
    private final double wakesInSecond;

    Reader(int detentsInSecond, int detents, boolean comesBack, double wakesInSecond) {
        this.detentsInSecond = detentsInSecond;
        this.detents = detents;
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

    /** Detents in each direction of which none may be lost or made up. */
    int detents() {
        return detents;
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
