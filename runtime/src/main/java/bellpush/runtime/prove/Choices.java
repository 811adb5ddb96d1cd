package bellpush.runtime.prove;

import java.util.Arrays;

/**
 * All ways through a program that chooses as it goes, by running it again and again: each run follows the choices of the run
 * before it up to the last one that has another way left. The program must be deterministic in all else.
 */
final class Choices {
    private int[] taken = new int[16];
    private int[] of = new int[16];
    /** How many choices are laid down, and how many the present run has passed. */
    private int laid;
    private int passed;
    /** Up to here the present run only repeats the one before. */
    private int repeated;
    /** So many choices are given, and not to be changed. */
    private int given;

    /** One of {@code ways} (at least 1), from 0. Where there is one way only, nothing is chosen. */
    int pick(int ways) {
        if (ways <= 1) {
            return 0;
        }
        if (passed == laid) {
            if (laid == taken.length) {
                taken = Arrays.copyOf(taken, laid * 2);
                of = Arrays.copyOf(of, laid * 2);
            }
            taken[laid] = 0;
            of[laid++] = ways;
        }
        return taken[passed++];
    }

    /** Turns to the next way through; false if there is none left. */
    boolean next() {
        laid = passed; // a run that ended early has nothing to say about choices beyond
        passed = 0;
        while (laid > given) {
            if (++taken[laid - 1] < of[laid - 1]) {
                repeated = laid;
                return true;
            }
            laid--;
        }
        return false;
    }

    /** Whether the present run is where no run was before. */
    boolean onNewGround() {
        return passed >= repeated;
    }

    /** The choices of the present run, to go the same way again. */
    int[] way() {
        return Arrays.copyOf(taken, passed);
    }

    /** All ways that begin with these choices. */
    static Choices after(int[] way) {
        Choices choices = along(way);
        choices.given = way.length;
        choices.repeated = way.length;
        return choices;
    }

    /** Choices that go a way that was gone before; beyond its end, the first of each. */
    static Choices along(int[] way) {
        Choices choices = new Choices();
        choices.taken = Arrays.copyOf(way, Math.max(16, way.length));
        choices.of = new int[choices.taken.length];
        choices.laid = way.length;
        return choices;
    }
}
