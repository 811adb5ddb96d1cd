package bellpush.runtime.core;

/**
 * Counts the detents of a rotary encoder from the states of its two channels.
 *
 * <p>State is A·2 + B; the cycle 00, 01, 11, 10 counts up, its reverse down; a jump of both bits is a transition that was
 * missed or never was, and counts nothing. An edge to the level that was there already tells of one that was missed, too. Bounce of one channel goes back and forth between two neighbours and comes to nothing.
 * Source: Linux kernel documentation {@code input/devices/rotary-encoder}.
 */
final class Quadrature {
    private static final int INVALID = 2;

    /** Index: old state · 4 + new state. */
    private static final int[] CHANGE = {0, +1, -1, INVALID, -1, 0, INVALID, +1, +1, INVALID, 0, -1, INVALID, -1, +1,
        0};

    private final int perDetent;
    private int state;
    private int progress;
    private long invalid;

    /** @param perDetent transitions per detent: 1, 2 or 4 */
    Quadrature(int perDetent) {
        this.perDetent = perDetent;
    }

    void found(boolean a, boolean closed) {
        state = with(a, closed);
    }

    /** Takes one edge and returns the detents passed: -1, 0 or +1. */
    int edge(boolean a, boolean closed) {
        int next = with(a, closed);
        int change = CHANGE[state * 4 + next];
        if (next == state || change == INVALID) {
            invalid++;
            change = 0;
        }
        state = next;
        progress += change;
        if (Math.abs(progress) >= perDetent) {
            progress = 0;
            return change;
        }
        return 0;
    }

    private int with(boolean a, boolean closed) {
        int bit = a ? 2 : 1;
        return closed ? state | bit : state & ~bit;
    }

    /** Transitions that cannot be. With edges told one by one, a channel that was where it went is the sign of them. */
    long invalid() {
        return invalid;
    }
}
