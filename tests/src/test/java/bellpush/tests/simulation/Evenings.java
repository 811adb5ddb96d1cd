package bellpush.tests.simulation;

import bellpush.config.model.Site;
import java.util.List;

/** Which evening belongs to a seed: even seeds play the village hall, odd ones a small site of their own. */
final class Evenings {
    /** One in so many is played twice at the same time, to see that the same inputs lead to the same effects. */
    private static final int TWICE_IN = 16;

    private static final int SHRINK_TRIES_MAX = 400;

    private final List<Site> villageHalls = Halls.villageHalls();

    Evening.Play play(long seed) {
        List<Site> sites = seed % 2 == 0
                ? villageHalls
                : List.of(Halls.random(seed, 0), Halls.random(seed, 1), Halls.random(seed, 2));
        return new Evening.Play(sites, Machine::core, seed % TWICE_IN < 2);
    }

    /** Plays the evening of this seed. */
    Evening.Result play(long seed, long inputs) {
        return new Evening(seed, play(seed)).play(inputs);
    }

    /** What to tell of a broken evening: its seed, what is broken, and the acts that are enough to break it. */
    String story(Evening.Result broken) {
        Shrinker.Short shortest = Shrinker.shrink(broken, play(broken.seed()), SHRINK_TRIES_MAX);
        return "seed " + broken.seed() + ", input " + broken.inputs() + ": "
                + broken.broken().orElseThrow().getMessage()
                + "\n  shrunk to " + shortest.acts().size() + " acts and " + shortest.result().inputs() + " inputs: "
                + shortest.result().broken().orElseThrow().getMessage() + "\n  again: tests/simulate --seed "
                + broken.seed() + " --acts " + String.join(",", shortest.acts().stream().map(String::valueOf).toList());
    }
}
