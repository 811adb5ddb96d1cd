package bellpush.runtime.prove;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.load.Loaded;
import bellpush.config.load.SiteLoader;
import java.nio.file.Path;
import java.util.Optional;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * How the time of a proof grows with the size of a site, files and all. {@code -Dbellpush.prove.big=FOLDER} keeps the sites, to be
 * timed with the command line.
 */
class BigSiteTest {
    @TempDir
    Path temporary;

    @Test
    void timeGrowsAboutAsTheSiteDoes() {
        prove(75, 15); // warms up
        double quarter = prove(75, 15);
        double half = prove(150, 30);
        double whole = prove(300, 60);
        System.out.printf("Growth: twice the site takes %.1f times as long, four times the site %.1f times%n",
                half / quarter, whole / quarter);
        // A quadratic growth would be 16 times; room for a machine that does other things as well.
        assertThat(whole).isLessThan(quarter * 40);
    }

    private double prove(int macros, int devices) {
        int properties = 2_000 / 60 + 1;
        Path folder = Optional.ofNullable(System.getProperty("bellpush.prove.big")).map(Path::of).orElse(temporary)
                .resolve("big-" + macros);
        BigSites.write(folder, macros, devices, properties);
        long start = System.nanoTime();
        Loaded loaded = SiteLoader.load(folder, Set.of("tcp"));
        assertThat(loaded.problems()).isEmpty();
        Prover.Proof proof = Prover.prove(loaded.site().orElseThrow(), Limits.DEFAULT);
        double ms = (System.nanoTime() - start) / 1e6;
        Runtime runtime = Runtime.getRuntime();
        System.out.printf("%d macros, %d devices, %d properties: %.0f ms, %,d ways, %,d states, %d MB of heap in use%n",
                macros, devices, devices * properties, ms, proof.ways(), proof.states(),
                (runtime.totalMemory() - runtime.freeMemory()) >> 20);
        assertThat(proof.complete()).isTrue();
        assertThat(proof.findings()).isEmpty();
        return ms;
    }
}
