package bellpush.config.problem;

import bellpush.config.problem.Problem.Severity;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import java.util.function.Supplier;

/**
 * Collects what is wrong with a site. One place is complained about in the same words only once. Owned by one thread.
 */
public final class Problems {
    /** More than this are counted and not kept: nobody reads them, and a hostile file must not fill the memory. */
    public static final int LIMIT = 10_000;

    private final Set<Problem> all = new LinkedHashSet<>();
    private int dropped;
    private boolean errors;
    private boolean quiet;

    public void error(Spot spot, String found, String why, String cure) {
        errors |= !quiet;
        add(new Problem(Severity.ERROR, spot.at(), Math.max(1, spot.length()), found, why, cure));
    }

    public void warning(Spot spot, String found, String why, String cure) {
        add(new Problem(Severity.WARNING, spot.at(), Math.max(1, spot.length()), found, why, cure));
    }

    /** What is found meanwhile is not kept, since it was told before. */
    public <T> T quietly(Supplier<T> work) {
        boolean before = quiet;
        quiet = true;
        try {
            return work.get();
        } finally {
            quiet = before;
        }
    }

    private void add(Problem problem) {
        if (quiet) {
            return;
        }
        if (all.size() < LIMIT) {
            all.add(problem);
        } else if (!all.contains(problem)) {
            dropped++;
        }
    }

    public boolean hasErrors() {
        return errors;
    }

    /** How many were found, warnings included. */
    public int count() {
        return all.size() + dropped;
    }

    /** By file, line and column. */
    public List<Problem> sorted() {
        List<Problem> sorted = new ArrayList<>(all);
        sorted.sort(Comparator.comparing((Problem p) -> p.at().file()).thenComparing(p -> p.at().line())
                .thenComparing(p -> p.at().column()));
        if (dropped > 0) {
            sorted.add(new Problem(Severity.ERROR, Spot.NONE.at(), 1, dropped + " more problems are not listed.",
                    "A list of more than " + LIMIT + " problems helps nobody.",
                    "Mend the ones above and check again."));
        }
        return List.copyOf(sorted);
    }
}
