package bellpush.config.load;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Every kind of mistake, with all that a person is shown for it. The cases stand in mistakes.txt: a title, the changes to
 * the valid site (file, the passage that goes, the passage that comes), and the complete expected text.
 */
class MistakesTest {
    record Change(String file, String from, String to) {}

    record Mistake(String title, List<Change> changes, String expected) {
        @Override
        public String toString() {
            return title;
        }
    }

    @TempDir
    Path folder;

    @ParameterizedTest
    @MethodSource("mistakes")
    void isExplained(Mistake mistake) {
        assertThat(changed(mistake).rendered(folder)).isEqualTo(mistake.expected);
    }

    @Test
    void theSiteThatTheMistakesAreMadeInIsFlawless() {
        assertThat(TestSite.hall().rendered(folder)).isEmpty();
    }

    static TestSite changed(Mistake mistake) {
        TestSite site = TestSite.hall();
        for (Change change : mistake.changes) {
            if (change.from.isEmpty()) {
                site.with(change.file, change.to);
            } else if (change.from.equals("(file)")) {
                site.without(change.file);
            } else {
                site.change(change.file, change.from, change.to);
            }
        }
        return site;
    }

    static Stream<Mistake> mistakes() throws IOException {
        try (InputStream in = MistakesTest.class.getResourceAsStream("mistakes.txt")) {
            String text = new String(in.readAllBytes(), StandardCharsets.UTF_8);
            return Stream.of(text.split("(?m)^=== ")).skip(1).map(MistakesTest::mistake);
        }
    }

    private static Mistake mistake(String block) {
        String[] halves = block.split("(?m)^>>>\n", 2);
        List<String> lines = halves[0].lines().toList();
        List<Change> changes = new java.util.ArrayList<>();
        String file = "";
        String from = "";
        for (String line : lines.subList(1, lines.size())) {
            if (line.startsWith("file ")) {
                file = line.substring(5);
                from = "";
            } else if (line.startsWith("- ")) {
                from = unescaped(line.substring(2));
                if (from.equals("(file)")) {
                    changes.add(new Change(file, from, ""));
                }
            } else if (line.startsWith("+ ")) {
                changes.add(new Change(file, from, unescaped(line.substring(2))));
            }
        }
        return new Mistake(lines.getFirst(), changes, halves[1]);
    }

    private static String unescaped(String text) {
        return text.replace("\\n", "\n").replace("\\t", "\t").replace("\\~", "\\");
    }
}
