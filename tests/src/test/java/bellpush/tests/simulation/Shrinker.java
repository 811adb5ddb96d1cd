package bellpush.tests.simulation;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.IntStream;

/**
 * Makes a broken evening short: leaves out acts as long as the same invariant is still broken, first half of them at a time, then
 * ever smaller pieces (A. Zeller and R. Hildebrandt, Simplifying and Isolating Failure-Inducing Input, IEEE Transactions on Software
 * Engineering 28(2), 2002).
 */
final class Shrinker {
    /**
     * What is left.
     *
     * @param acts   in their order; played with {@link Evening#play(List)} they break the same invariant
     * @param result of playing them
     */
    record Short(List<Integer> acts, Evening.Result result) {}

    private final long seed;
    private final Evening.Play play;
    private final String invariant;
    private final int triesMax;
    private int tries;

    private Shrinker(long seed, Evening.Play play, String invariant, int triesMax) {
        this.seed = seed;
        this.play = play;
        this.invariant = invariant;
        this.triesMax = triesMax;
    }

    /**
     * @param broken   what came of an evening that was played to its end or until it broke
     * @param triesMax how often it may be played again
     */
    static Short shrink(Evening.Result broken, Evening.Play play, int triesMax) {
        Shrinker shrinker = new Shrinker(broken.seed(), play, broken.broken().orElseThrow().invariant, triesMax);
        int acts = broken.act() == Evening.AT_THE_END ? broken.acts() : broken.act() + 1;
        Short shortest = shrinker.tried(IntStream.range(0, acts).boxed().toList());
        return shortest == null
                ? new Short(IntStream.range(0, acts).boxed().toList(), broken)
                : shrinker.shrink(shortest);
    }

    private Short shrink(Short from) {
        Short shortest = from;
        int pieces = 2;
        while (shortest.acts.size() > 1 && tries < triesMax) {
            Short shorter = without(shortest, pieces);
            if (shorter != null) {
                shortest = shorter;
                pieces = Math.max(2, pieces - 1);
            } else if (pieces >= shortest.acts.size()) {
                break;
            } else {
                pieces = Math.min(pieces * 2, shortest.acts.size());
            }
        }
        return shortest;
    }

    private Short without(Short from, int pieces) {
        List<Integer> acts = from.acts;
        for (int i = pieces - 1; i >= 0 && tries < triesMax; i--) {
            int begin = (int) ((long) acts.size() * i / pieces);
            int end = (int) ((long) acts.size() * (i + 1) / pieces);
            List<Integer> fewer = new ArrayList<>(acts.subList(0, begin));
            fewer.addAll(acts.subList(end, acts.size()));
            Short shorter = tried(fewer);
            if (shorter != null) {
                return shorter;
            }
        }
        return null;
    }

    /** Null if the invariant holds. What comes after the act in which it breaks is not needed. */
    private Short tried(List<Integer> acts) {
        tries++;
        Evening.Result result = new Evening(seed, play).play(acts);
        if (result.broken().filter(broken -> broken.invariant.equals(invariant)).isEmpty()) {
            return null;
        }
        int last = acts.indexOf(result.act());
        return new Short(last < 0 ? List.copyOf(acts) : List.copyOf(acts.subList(0, last + 1)), result);
    }
}
