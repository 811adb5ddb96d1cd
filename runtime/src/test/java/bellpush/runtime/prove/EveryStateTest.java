package bellpush.runtime.prove;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Site;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.stream.LongStream;
import org.junit.jupiter.api.Test;

/** The checker against visiting every state of small random sites: the same verdicts, and the same shortest lengths. */
class EveryStateTest {
    private static final long SITES = Long.getLong("bellpush.prove.sites", 2_400);

    @Test
    void everyVerdictAndEveryShortestLengthAgreesWithVisitingEveryState() {
        int compared = 0;
        int broken = 0;
        int longer = 0;
        List<Long> seeds = LongStream.rangeClosed(1, SITES).boxed().toList();
        List<Compared> all;
        try (Crew crew = new Crew()) {
            all = crew.all(seeds, EveryStateTest::compare);
        }
        for (Compared one : all) {
            if (one.expected.isEmpty()) {
                continue;
            }
            compared++;
            broken += one.expected.get().size();
            longer += (int) one.expected.get().values().stream().filter(l -> l.presses() > 1).count();
            assertThat(one.proved).as("seed %s", one.seed).isEqualTo(one.expected.get());
        }
        System.out.println(
                "Small sites compared: " + compared + " of " + SITES + ", macros with a broken promise: " + broken
                        + ", of these needing more than one press: " + longer);
        assertThat(compared).isGreaterThan((int) (SITES / 2));
        assertThat(longer).as("a good few need a story of several presses").isGreaterThan((int) (SITES / 100));
    }

    private record Compared(long seed, Optional<Map<String, EveryState.Length>> expected,
            Map<String, EveryState.Length> proved) {}

    private static Compared compare(long seed) {
        Site site = SmallSites.of(seed);
        Optional<Map<String, EveryState.Length>> expected = EveryState.of(site);
        return new Compared(seed, expected, expected.isPresent() ? proved(site) : Map.of());
    }

    private static Map<String, EveryState.Length> proved(Site site) {
        Prover.Proof proof = Prover.prove(site, Limits.DEFAULT);
        assertThat(proof.bounds()).isEmpty();
        Map<String, EveryState.Length> found = new TreeMap<>();
        for (Finding finding : proof.findings().stream().filter(f -> f.presses() > 0).toList()) { // with a story
            switch (finding.what()) {
                case BROKEN_PROMISE, FAILS, UNKEPT ->
                    found.put(finding.of(), new EveryState.Length(finding.presses(), finding.outside()));
                default -> {
                }
            }
        }
        return found;
    }
}
