package bellpush.runtime.prove;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.load.SiteLoader;
import bellpush.config.model.Site;
import java.nio.file.Path;
import java.util.Set;
import org.junit.jupiter.api.Test;

/** The village hall's macros lead to what they promise, from whatever state. */
class DemoIsProvedTest {
    private static final Path HALL = Path.of(System.getProperty("bellpush.house", ".."))
            .resolve("config/sites/village-hall");

    static Site hall() {
        return SiteLoader.load(HALL, Set.of("tcp", "udp", "osc")).site().orElseThrow();
    }

    @Test
    void everyMacroOfTheHallKeepsItsPromise() {
        Prover.Proof proof = Prover.prove(hall(), Limits.DEFAULT);
        System.out.println(
                "The hall: " + proof.macros() + " macros, " + proof.ways() + " ways, " + proof.states() + " states");
        assertThat(proof.findings()).isEmpty();
        assertThat(proof.complete()).isTrue();
        assertThat(proof.macros()).isEqualTo(hall().macros().size());
        assertThat(hall().macros().values())
                .allSatisfy(macro -> assertThat(macro.promise()).as(macro.name()).isPresent());
    }
}
