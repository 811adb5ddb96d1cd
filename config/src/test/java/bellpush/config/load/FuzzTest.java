package bellpush.config.load;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.problem.Problem;
import bellpush.config.problem.ProblemJson;
import bellpush.config.problem.ProblemText;
import bellpush.config.problem.SourceLines;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import tools.jackson.databind.JsonNode;

/** Whatever stands in the files, loading ends in a site or in problems, and every problem can be shown. Seeded. */
class FuzzTest {
    private static final int CASES = 20_000;
    private static final String MARKS = "{}[]\",:0-.etfn/*\\ \n\t'";

    @TempDir
    Path folder;

    @Test
    void everyDamagedSiteEndsInASiteOrInProblems() throws IOException {
        TestSite hall = TestSite.hall();
        hall.writeTo(folder);
        Map<String, JsonNode> trees = new TreeMap<>();
        hall.files().forEach(
                (name, bytes) -> trees.put(name, Mutations.MAPPER.readTree(new String(bytes, StandardCharsets.UTF_8))));
        List<String> names = new ArrayList<>(trees.keySet());
        Random random = new Random(7);
        Mutations mutations = new Mutations(random, List.copyOf(trees.values()));
        int sites = 0;
        int damages = 0;
        for (int load = 0; damages < CASES; load++) {
            int together = load % 4 == 0 ? 1 : 1 + random.nextInt(12); // many at once: a load costs more than a file
            List<String> damaged = new ArrayList<>();
            for (int i = 0; i < together; i++, damages++) {
                String name = names.get(random.nextInt(names.size()));
                damaged.add(name);
                Files.write(folder.resolve(name), random.nextBoolean()
                        ? damage(hall.files().get(name), random)
                        : mutations.mutate(trees.get(name)).toString().getBytes(StandardCharsets.UTF_8));
            }
            sites += check(load, String.join(", ", damaged)) ? 1 : 0;
            for (String name : damaged) {
                Files.write(folder.resolve(name), hall.files().get(name));
            }
        }
        assertThat(sites).as("some damage is harmless, most is not").isBetween(20, CASES / 20);
        assertThat(SiteLoader.load(folder, TestSite.DRIVERS).problems()).isEmpty();
    }

    private boolean check(int i, String name) {
        Loaded loaded = SiteLoader.load(folder, TestSite.DRIVERS);
        boolean error = loaded.problems().stream().anyMatch(p -> p.severity() == Problem.Severity.ERROR);
        if (loaded.site().isPresent() == error) {
            throw new AssertionError("case " + i + " in " + name + ": " + loaded.problems());
        }
        for (Problem problem : loaded.problems()) {
            boolean placed = problem.at().line() == 0 || problem.at().column() > 0 && problem.length() > 0;
            if (!placed || problem.found().isBlank() || problem.why().isBlank() || problem.cure().isBlank()
                    || problem.found().matches("(?s).*(Exception|tools\\.jackson|StreamRead).*")) {
                throw new AssertionError("case " + i + " in " + name + ": " + problem);
            }
        }
        if (i % 20 == 0) {
            String text = new ProblemText(SourceLines.in(folder), i % 40 == 0).render(loaded.problems());
            assertThat(text.replace("\u001b[", "").chars().filter(c -> c != '\n').noneMatch(Character::isISOControl))
                    .as("case %s", i).isTrue();
            assertThat(Mutations.MAPPER.readTree(ProblemJson.render(loaded.problems())).size())
                    .isEqualTo(loaded.problems().size());
        }
        return loaded.site().isPresent();
    }

    private static byte[] damage(byte[] original, Random random) {
        byte[] bytes = original.clone();
        for (int n = random.nextInt(4); n >= 0; n--) {
            int at = random.nextInt(bytes.length);
            switch (random.nextInt(5)) {
                case 0 -> bytes[at] = (byte) random.nextInt(256);
                case 1 -> bytes[at] = (byte) MARKS.charAt(random.nextInt(MARKS.length()));
                case 2 -> bytes = splice(bytes, at, Math.min(bytes.length, at + random.nextInt(20)), new byte[0]);
                case 3 -> {
                    int from = random.nextInt(bytes.length);
                    bytes = splice(bytes, at, at,
                            Arrays.copyOfRange(bytes, from, Math.min(bytes.length, from + random.nextInt(30))));
                }
                default -> {
                    if (random.nextInt(4) == 0) {
                        bytes = Arrays.copyOf(bytes, Math.max(1, at));
                    }
                }
            }
            if (bytes.length == 0) {
                return bytes;
            }
        }
        return bytes;
    }

    private static byte[] splice(byte[] bytes, int from, int to, byte[] with) {
        byte[] out = new byte[bytes.length - (to - from) + with.length];
        System.arraycopy(bytes, 0, out, 0, from);
        System.arraycopy(with, 0, out, from, with.length);
        System.arraycopy(bytes, to, out, from + with.length, bytes.length - to);
        return out;
    }
}
