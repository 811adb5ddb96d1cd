package bellpush.tests.simulation;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.junit.jupiter.api.Test;

/** A small share of what {@code tests/simulate} plays; and that a seed gives the same evening again, in this process and in another. */
class SimulationTest {
    private static final int SEEDS = 24;
    private static final long INPUTS = 4_000;

    private final Evenings evenings = new Evenings();

    @Test
    void inRandomEveningsWhatMustAlwaysBeTrueIsTrue() {
        long inputs = 0;
        long runs = 0;
        for (long seed = 5_000_000; seed < 5_000_000 + SEEDS; seed++) {
            Evening.Result result = evenings.play(seed, INPUTS);
            assertThat(result.broken()).as(() -> evenings.story(result)).isEmpty();
            inputs += result.inputs();
            runs += result.runs();
        }
        assertThat(inputs).isGreaterThanOrEqualTo(SEEDS * INPUTS);
        assertThat(runs).as("macros that have run").isGreaterThan(500);
    }

    @Test
    void aSeedGivesTheSameEveningAgain() {
        for (long seed : List.of(0L, 1L, 2L, 3L)) {
            assertThat(evenings.play(seed, INPUTS)).isEqualTo(evenings.play(seed, INPUTS));
        }
    }

    @Test
    void everyEveningIsAnotherOne() {
        assertThat(evenings.play(0, INPUTS).digest()).isNotEqualTo(evenings.play(2, INPUTS).digest());
    }

    /** Orders of sets and numbers of objects differ from process to process; nothing in the core may rest on them. */
    @Test
    void anotherProcessPlaysTheSameEvenings() throws Exception {
        Map<Long, String> here = new TreeMap<>();
        for (long seed = 0; seed < 4; seed++) {
            here.put(seed, Long.toHexString(evenings.play(seed, 1_000).digest()));
        }
        Process other = new ProcessBuilder(ProcessHandle.current().info().command().orElseThrow(), "-cp",
                System.getProperty("surefire.test.class.path", System.getProperty("java.class.path")),
                "-Dbellpush.house=" + System.getProperty("bellpush.house", ".."), Digests.class.getName(), "4", "1000")
                .redirectErrorStream(true).start();
        List<String> lines = new String(other.getInputStream().readAllBytes(), StandardCharsets.UTF_8)
                .lines().toList();
        assertThat(other.waitFor()).as(() -> String.join("\n", lines)).isZero();
        assertThat(lines).isEqualTo(here.entrySet().stream().map(e -> e.getKey() + " " + e.getValue()).toList());
    }

    /** What the other process runs. */
    static final class Digests {
        private Digests() {}

        public static void main(String[] arguments) {
            Evenings evenings = new Evenings();
            for (long seed = 0; seed < Long.parseLong(arguments[0]); seed++) {
                System.out.println(seed + " "
                        + Long.toHexString(evenings.play(seed, Long.parseLong(arguments[1])).digest()));
            }
        }
    }
}
