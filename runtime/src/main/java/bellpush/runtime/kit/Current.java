package bellpush.runtime.kit;

import java.util.List;

/**
 * A sum of currents with the limit it must not pass, for the worst case: every lamp lit, every contact closed.
 *
 * @param what   what is added up
 * @param items  what it consists of, in words
 * @param limit  mA; infinite where only the sum is of interest
 * @param source where the limit is from
 */
record Current(String what, double milliamps, List<String> items, double limit, String source) {
    boolean isOver() {
        return milliamps > limit * (1 + 1e-9);
    }
}
