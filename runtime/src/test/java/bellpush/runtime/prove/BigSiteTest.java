package bellpush.runtime.prove;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Site;
import org.junit.jupiter.api.Test;

/** How the time of a proof grows with the size of a site. */
class BigSiteTest {
    @Test
    void timeGrowsAboutAsTheSiteDoes() {
        prove(75, 15); // warms up
        double quarter = prove(75, 15);
        double half = prove(150, 30);
        double whole = prove(300, 60);
        System.out.printf("Growth: four times the site takes %.1f times as long%n", whole / quarter);
        assertThat(half).isPositive();
        // A quadratic growth would be 16 times; room for a machine that does other things as well.
        assertThat(whole).isLessThan(quarter * 40);
    }

    private static double prove(int macros, int devices) {
        int properties = 2_000 / 60 + 1;
        Site site = BigSites.of(macros, devices, properties);
        long start = System.nanoTime();
        Prover.Proof proof = Prover.prove(site, Limits.DEFAULT);
        double ms = (System.nanoTime() - start) / 1e6;
        Runtime runtime = Runtime.getRuntime();
        System.out.printf("%d macros, %d devices, %d properties: %.0f ms, %,d ways, %,d states, %d MB of heap in use%n",
                macros,
                devices, devices * properties, ms, proof.ways(), proof.states(),
                (runtime.totalMemory() - runtime.freeMemory()) >> 20);
        assertThat(proof.complete()).isTrue();
        assertThat(proof.findings()).isEmpty();
        return ms;
    }
}
