package bellpush.runtime.prove;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Macro;
import bellpush.config.model.Site;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.TreeMap;
import java.util.concurrent.TimeUnit;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Assumptions;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The same verdicts as an independent model checker: Spin, as Debian packages it (G. J. Holzmann, The Model Checker Spin, IEEE
 * Transactions on Software Engineering 23(5), 1997).
 */
class SpinAgreementTest {
    private static final List<String> LANES = List.of("keyer", "sound", "stream", "record");
    /** With mistakes in them, so that not every verdict is the same. */
    private static final int MUTANTS_OF_EACH = 3;

    @TempDir
    Path folder;

    @Test
    void spinComesToTheSameVerdictsOnLanesOfTheHallWholeAndBroken() throws Exception {
        Assumptions.assumeTrue(there("spin") && there("gcc"),
                "spin or gcc is not installed, so nothing was compared with it: install the packages spin and gcc");
        Site hall = DemoIsProvedTest.hall();
        int compared = 0;
        int broken = 0;
        for (String lane : LANES) {
            List<Site> sites = new ArrayList<>(List.of(hall));
            sites.addAll(mutants(hall, lane));
            for (Site site : sites) {
                Map<String, Boolean> spin = spin(site, lane);
                assertThat(spin).as("lane %s", lane).isEqualTo(proved(site, lane));
                compared += spin.size();
                broken += (int) spin.values().stream().filter(kept -> !kept).count();
            }
        }
        System.out.println("Spin: " + compared + " verdicts on " + LANES.size() + " lanes alike, " + broken
                + " of them on promises that can be broken");
        assertThat(broken).isPositive();
    }

    private static List<Site> mutants(Site hall, String lane) {
        Set<String> names = Promela.of(new Survey(hall), lane).stream().map(Macro::name).collect(Collectors.toSet());
        List<Mutants.Mutant> of = new ArrayList<>(Mutants.of(hall).stream()
                .filter(m -> names.contains(m.macro().name()) && !m.words().contains("without the lane")).toList());
        Collections.shuffle(of, new Random(lane.hashCode()));
        return of.stream().limit(MUTANTS_OF_EACH).map(m -> m.in(hall)).toList();
    }

    private static Map<String, Boolean> proved(Site site, String lane) {
        List<Finding> findings = Prover.prove(site, Limits.DEFAULT).findings();
        Map<String, Boolean> kept = new TreeMap<>();
        Promela.of(new Survey(site), lane).forEach(macro -> kept.put(macro.name(), findings.stream()
                .noneMatch(f -> f.of().equals(macro.name()) && f.presses() == 1 && switch (f.what()) {
                    case BROKEN_PROMISE, FAILS, UNKEPT -> true;
                    default -> false;
                })));
        return kept;
    }

    private Map<String, Boolean> spin(Site site, String lane) throws Exception {
        Files.writeString(folder.resolve("lane.pml"), Promela.of(site, lane));
        assertThat(run("spin", "-a", "lane.pml")).as("spin").doesNotContain("syntax error", "Error:");
        run("gcc", "-O1", "-w", "-DNOREDUCE", "-DVECTORSZ=4096", "-o", "pan", "pan.c");
        Map<String, Boolean> kept = new TreeMap<>();
        for (Macro macro : Promela.of(new Survey(site), lane)) {
            String told = run("./pan", "-a", "-m1000000", "-N", Promela.claim(macro));
            assertThat(told).as("pan of %s", macro.name()).contains("errors:").doesNotContain("max search depth too small");
            kept.put(macro.name(), told.contains("errors: 0"));
        }
        return kept;
    }

    private String run(String... command) throws IOException, InterruptedException {
        Path out = folder.resolve("out.txt");
        Process process = new ProcessBuilder(command).directory(folder.toFile()).redirectErrorStream(true)
                .redirectOutput(out.toFile()).start();
        if (!process.waitFor(60, TimeUnit.SECONDS)) {
            process.destroyForcibly();
            throw new AssertionError(List.of(command) + " does not end");
        }
        return Files.readString(out);
    }

    private static boolean there(String program) {
        return java.util.Arrays.stream(System.getenv("PATH").split(":")).anyMatch(p -> Files.isExecutable(Path.of(p, program)));
    }
}
