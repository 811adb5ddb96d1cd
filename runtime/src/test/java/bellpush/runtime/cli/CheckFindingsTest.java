package bellpush.runtime.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What an admin reads of check when a promise can be broken, and how findings are accepted. Invented site. */
class CheckFindingsTest {
    @TempDir
    Path folder;

    private final Spoken spoken = new Spoken();

    @BeforeEach
    void aTitleOfWhichTheKeyMayBeOn() throws IOException {
        Files.createDirectories(folder.resolve("macros"));
        Files.createDirectories(folder.resolve("kinds"));
        write("site.json", "{ \"name\": \"Small hall\" }");
        write("panel.json", "{ \"buttons\": { \"title\": { \"label\": \"TITLE\", \"press\": \"title\" } } }");
        write("devices.json", "{ \"mixer\": { \"kind\": \"small-mixer\", \"address\": \"127.0.0.1\", \"port\": 9 } }");
        write("kinds/small-mixer.json", """
                { "about": "a mixer", "driver": "tcp", "framing": { "endsWith": "\\n" },
                  "properties": {
                    "still": { "type": "text", "longest": 20, "set": "S {value}", "report": "S {value}",
                               "steadyWhile": { "on": true } },
                    "on": { "type": "flag", "set": "K {value}", "report": "K {value}" } } }
                """);
        write("macros/title.json", """
                {
                  "label": "Title",
                  "steps": [
                    { "set": { "mixer.still": "name" } },
                    { "set": { "mixer.on": true } }
                  ],
                  "promise": { "mixer.on": true, "mixer.still": "name" }
                }
                """);
    }

    private void write(String name, String text) throws IOException {
        Files.writeString(folder.resolve(name), text);
    }

    private void accept(String what) throws IOException {
        write("site.json", "{ \"name\": \"Small hall\", \"accepted\": [ { " + what
                + ", \"reason\": \"the key is taken off by hand before\" } ] }");
    }

    private int check(String... options) {
        return spoken.code(Stream.concat(Stream.of("check", folder.toString()), Stream.of(options))
                .toArray(String[]::new));
    }

    @Test
    void aFindingNamesThePlaceTheCureAndTheShortestStory() {
        assertThat(check()).isEqualTo(1);
        assertThat(spoken.out.toString()).isEqualTo("""
                error macros/title.json:4:5
                  mixer.still is changed while this may be so: mixer.on true.
                        { "set": { "mixer.still": "name" } },
                        ^
                  Why: The kind of mixer declares that still must not change then: it would be seen.
                  Cure: Before this step, see to it that it is not so, and wait for that with an until.
                  To accept it: { "finding": "unsteady", "of": "title", "about": "mixer.still", "reason": "..." } in "accepted" of site.json
                  How it comes to it (one press):
                    At the start, mixer.on is true.
                    1. Press TITLE: title runs.
                       set mixer.still name   (macros/title.json:4:5)
                       set mixer.on true   (macros/title.json:5:5)
                       mixer tells: still is name
                       mixer tells: on is true
                       title is done.

                No mistakes in the files: 1 device, 1 macro, 1 button, 0 knobs, 0 lamps.
                Gone through to the end: 1 macro, 1 finding. Covered: 9 states of panel and gear in 5 ways, each of which stands for all values that make no difference.
                """);
    }

    @Test
    void anAcceptedFindingIsNoFaultAndStaysListed() throws IOException {
        accept("\"finding\": \"unsteady\", \"of\": \"title\", \"about\": \"mixer.still\"");
        assertThat(check()).isZero();
        assertThat(spoken.out.toString())
                .contains("accepted macros/title.json:4:5: unsteady of title about mixer.still, since: "
                        + "the key is taken off by hand before")
                .contains("1 macro, 0 findings and 1 accepted");
    }

    @Test
    void whatIsAcceptedOfSomethingElseAcceptsNothing() throws IOException {
        accept("\"finding\": \"unsteady\", \"of\": \"title\", \"about\": \"mixer.on\"");
        assertThat(check()).isEqualTo(1);
        assertThat(spoken.out.toString()).contains("mixer.still is changed while this may be so",
                "warning site.json:1:39", "The accepted finding \"unsteady\" of title about mixer.on is not found");
    }

    @Test
    void programsReadFindingsWithTheirStories() throws IOException {
        accept("\"finding\": \"unsteady\", \"of\": \"title\", \"about\": \"mixer.still\"");
        assertThat(check("--json")).isZero();
        assertThat(spoken.out.toString()).contains("\"finding\":\"unsteady\"", "\"of\":\"title\"",
                "\"about\":\"mixer.still\"", "\"presses\":1", "\"hands\":0", "\"story\":[",
                "\"accepted\":\"the key is taken off by hand before\"");
    }

    @Test
    void whatCannotBeGoneThroughToTheEndIsNotCalledProved() throws IOException {
        StringBuilder conditions = new StringBuilder();
        StringBuilder properties = new StringBuilder();
        for (int i = 0; i < 20; i++) {
            properties.append(", \"p").append(i).append("\": { \"type\": \"flag\", \"set\": \"P").append(i)
                    .append(" {value}\", \"report\": \"P").append(i).append(" {value}\" }");
            conditions.append("{ \"if\": { \"mixer.p").append(i).append("\": true }, \"then\": [ { \"say\": \"p")
                    .append(i).append("\" } ] }, ");
        }
        String kind = Files.readString(folder.resolve("kinds/small-mixer.json"));
        write("kinds/small-mixer.json", kind.stripTrailing().replaceAll("} } }$", "}" + properties + " } }"));
        write("macros/title.json", "{ \"label\": \"Title\", \"steps\": [ " + conditions
                + "{ \"set\": { \"mixer.on\": true } } ], \"promise\": { \"mixer.on\": true } }");
        assertThat(check()).isZero();
        assertThat(spoken.out.toString()).contains("title was not proved: more than 50000 ways through it.",
                "Proved in part: 0 macros", "Of 1 other nothing is claimed").doesNotContain("Proved: ");
        assertThat(spoken.code(true, Map.of(), "check", folder.toString(), "--json")).isZero();
        assertThat(spoken.out.toString()).contains("\"found\":\"title was not proved");
    }
}
