package bellpush.runtime.prove;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Macro;
import bellpush.config.model.Site;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Assumptions;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The same verdicts as an independent model checker: Spin, as Debian packages it. What its language means is in G. J. Holzmann, "The
 * SPIN Model Checker: Primer and Reference Manual", Addison-Wesley 2003, and in the manual pages of spinroot.com; the verifier
 * that it writes is ISO C, so a C compiler is needed as well. Without one of the two this says so and compares nothing.
 */
class SpinAgreementTest {
    private static final List<String> LANES = List.of("keyer", "lights", "talk-pages", "sound", "stream", "record",
            "cue");

    /** A chain with a mistake in it, and a macro that it breaks. */
    private record Broken(String macro, String file, String from, String to) {}

    private static final List<Broken> BROKEN = List.of(
            new Broken("poem", "poem", "    { \"run\": \"key-off\" },\n", ""),
            new Broken("welcome", "welcome", "    { \"run\": \"key-off\" },\n", ""),
            new Broken("speaker", "key-off",
                    ",\n    { \"until\": { \"mixer.key.onAir\": false }, \"within\": \"3 s\" }", ""),
            new Broken("slides", "slides", "    { \"run\": \"key-off\" },\n", ""),
            new Broken("slides", "slides", "\"within\": \"5 s\"", "\"within\": \"800 ms\""),
            new Broken("speaker", "speaker", "\"mixer.key.fill\": \"titles\",\n        \"mixer.key.kind\"",
                    "\"mixer.key.fill\": \"slides\",\n        \"mixer.key.kind\""),
            new Broken("lights-low", "lights-low", "\"stage-lights.scene\": \"talk\", \"stage-lights.level\": 100,\n",
                    "\"stage-lights.scene\": \"song\", \"stage-lights.level\": 100,\n"),
            new Broken("song", "song", "        { \"set\": { \"mixer.preview\": \"rail\" } },\n", ""),
            new Broken("go-live", "go-live", "\"within\": \"5 s\"", "\"within\": \"1 s\""),
            new Broken("go-live", "go-live", "\"within\": \"5 s\"", "\"within\": \"1200 ms\""),
            new Broken("mics-on", "mics-on", "\"desk.speech.mute\": false } }]", "\"desk.speech.mute\": true } }]"));

    @TempDir
    Path folder;

    @Test
    void spinComesToTheSameVerdictsOnLanesOfTheHallWholeAndBroken() throws Exception {
        Assumptions.assumeTrue(there("spin") && there("cc"), "spin or a C compiler is not installed, so nothing was"
                + " compared with it: install the packages spin and gcc");
        Map<String, Boolean> wholeSpin = new TreeMap<>();
        Map<String, Boolean> whole = new TreeMap<>();
        Site hall = DemoIsProvedTest.hall();
        List<Finding> none = Prover.prove(hall, Limits.DEFAULT).findings();
        for (String lane : LANES) {
            List<Macro> macros = Promela.of(hall, lane).stream() // some are in several lanes
                    .filter(macro -> !whole.containsKey(Promela.kept(macro.name()))).toList();
            wholeSpin.putAll(spin(hall, macros));
            whole.putAll(proved(macros, none));
        }
        assertThat(wholeSpin).isEqualTo(whole).doesNotContainValue(false);
        int compared = whole.size();
        int against = 0;
        int copies = 0;
        for (Broken broken : BROKEN) {
            Site site = new Copies(folder.resolve("copy" + copies++))
                    .change("macros/" + broken.file + ".json", broken.from, broken.to).site();
            List<Macro> macros = List.of(site.macros().get(broken.macro));
            Map<String, Boolean> spin = spin(site, macros);
            assertThat(spin).as("%s", broken)
                    .isEqualTo(proved(macros, Prover.prove(site, Limits.DEFAULT).findings()))
                    .containsValue(false);
            compared += spin.size();
            against += (int) spin.values().stream().filter(holds -> !holds).count();
        }
        System.out.println("Spin: " + compared + " verdicts alike on " + LANES.size() + " lanes and " + copies
                + " broken copies, " + against + " of them that something does not hold");
        assertThat(whole.keySet()).as("promises of at least three lanes").hasSizeGreaterThan(20);
    }

    /** What {@code check} says of the first press of each macro, with all gear well. */
    private static Map<String, Boolean> proved(List<Macro> macros, List<Finding> findings) {
        Map<String, Boolean> verdicts = new TreeMap<>();
        for (Macro macro : macros) {
            verdicts.put(Promela.kept(macro.name()), findings.stream().noneMatch(f -> switch (f.what()) {
                case BROKEN_PROMISE, FAILS, UNKEPT -> f.of().equals(macro.name()) && f.presses() == 1;
                default -> false;
            }));
            // A step that several macros run is told once, with the names of the others.
            verdicts.put(Promela.steady(macro.name()), findings.stream().noneMatch(f -> f.presses() == 1
                    && f.what() == Finding.What.UNSTEADY
                    && (f.of().equals(macro.name()) || (f.why() + ",").matches("(?s).* run by .*\\b"
                            + java.util.regex.Pattern.quote(macro.name()) + "[,.].*"))));
        }
        return verdicts;
    }

    private Map<String, Boolean> spin(Site site, List<Macro> macros) throws Exception {
        List<String> claims = new ArrayList<>();
        macros.forEach(macro -> claims.addAll(List.of(Promela.kept(macro.name()), Promela.steady(macro.name()))));
        Files.writeString(folder.resolve("lane.pml"), Promela.of(site, macros));
        assertThat(run("spin", "-a", "lane.pml")).as("spin on %s", claims).doesNotContain("error", "Error");
        assertThat(run("cc", "-O0", "-w", "-DNOREDUCE", "-o", "pan", "pan.c")).as("the C compiler").isEmpty();
        Map<String, Boolean> verdicts = new TreeMap<>();
        for (String claim : claims) {
            String told = run(folder.resolve("pan").toString(), "-a", "-m100000", "-N", claim);
            assertThat(told).as("%s", claim).containsPattern("errors: [01]\\b").doesNotContain("too small");
            verdicts.put(claim, told.contains("errors: 0"));
        }
        return verdicts;
    }

    private String run(String... command) throws IOException, InterruptedException {
        Path out = folder.resolve("out.txt");
        Process process = new ProcessBuilder(command).directory(folder.toFile()).redirectErrorStream(true)
                .redirectOutput(out.toFile()).start();
        if (!process.waitFor(120, TimeUnit.SECONDS)) {
            process.destroyForcibly();
            throw new AssertionError(List.of(command) + " does not end");
        }
        return Files.readString(out);
    }

    private static boolean there(String program) {
        return Arrays.stream(System.getenv("PATH").split(":"))
                .anyMatch(directory -> Files.isExecutable(Path.of(directory, program)));
    }
}
