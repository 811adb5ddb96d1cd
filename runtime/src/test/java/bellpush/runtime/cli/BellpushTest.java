package bellpush.runtime.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import picocli.CommandLine;
import tools.jackson.core.JsonParser;
import tools.jackson.core.JsonToken;
import tools.jackson.core.ObjectReadContext;
import tools.jackson.core.json.JsonFactory;

class BellpushTest {
    private static final String ESCAPE = "\u001b";

    @TempDir
    Path folder;

    private final Spoken spoken = new Spoken();

    private Path newSite() {
        Path site = folder.resolve("hall");
        assertThat(new Spoken().code("new", site.toString())).isZero();
        return site;
    }

    private static void replace(Path file, String what, String by) throws Exception {
        String text = Files.readString(file);
        assertThat(text).contains(what);
        Files.writeString(file, text.replace(what, by));
    }

    @ParameterizedTest
    @ValueSource(strings = {"run", "check", "rehearse", "wiring", "labels", "new", "schema", "man", "completion"})
    void everyCommandHasHelp(String command) {
        assertThat(spoken.code(command, "--help")).isZero();
        assertThat(spoken.out.toString()).startsWith("Usage: bellpush " + command).contains("Exit codes:");
    }

    @Test
    void aNewSiteChecksCleanAndSaysWhatIsInIt() {
        Path site = newSite();
        assertThat(spoken.code("check", site.toString())).isZero();
        assertThat(spoken.out.toString().strip())
                .startsWith(
                        "No problems: 1 device, 1 macro, 1 button, 0 knobs, 1 lamp.\nProved: 1 macro, no promise can")
                .doesNotContain("finding");
        assertThat(spoken.err.toString()).isEmpty();
    }

    @Test
    void aNewSitePointsEveryFileAtASchemaThatIsThere() throws Exception {
        Path site = newSite();
        for (String file : List.of("site.json", "panel.json", "devices.json", "kinds/lobby-light.json",
                "macros/doors-open.json", "rehearsals/evening.json")) {
            String schema = Files.readString(site.resolve(file)).replaceAll("(?s).*\"\\$schema\": \"([^\"]+)\".*",
                    "$1");
            assertThat(site.resolve(file).resolveSibling(schema)).exists();
        }
    }

    @Test
    void aNewSiteIsNeverWrittenOverAnother() throws Exception {
        Path site = Files.createDirectories(folder.resolve("hall"));
        Files.writeString(site.resolve("mine.txt"), "mine");
        assertThat(spoken.code("new", site.toString())).isEqualTo(1);
        assertThat(spoken.err.toString()).contains("is not an empty folder; nothing was written");
        assertThat(site).isDirectoryContaining("glob:**mine.txt");
        try (var files = Files.list(site)) {
            assertThat(files).hasSize(1);
        }
    }

    @Test
    void checkNamesPlaceLineAndCure() throws Exception {
        Path site = newSite();
        replace(site.resolve("panel.json"), "\"press\": \"doors-open\"", "\"press\": \"door-open\"");
        assertThat(spoken.code("check", site.toString())).isEqualTo(1);
        assertThat(spoken.out.toString()).contains("panel.json:11:", "\"press\": \"door-open\"", "^^^", "doors-open")
                .doesNotContain(ESCAPE).contains("has 1 error");
    }

    @Test
    void coloursAreForTerminalsWhosePeopleWantThem() throws Exception {
        Path site = newSite();
        replace(site.resolve("panel.json"), "\"press\": \"doors-open\"", "\"press\": \"door-open\"");
        spoken.code(true, Map.of(), "check", site.toString());
        assertThat(spoken.out.toString()).contains(ESCAPE);
        for (Map<String, String> unwanted : List.of(Map.of("NO_COLOR", "1"), Map.of("TERM", "dumb"))) {
            Spoken plain = new Spoken();
            plain.code(true, unwanted, "check", site.toString());
            assertThat(plain.out.toString()).doesNotContain(ESCAPE);
        }
    }

    @Test
    void checkSpeaksJsonToPrograms() throws Exception {
        Path site = newSite();
        assertThat(spoken.code("check", "--json", site.toString())).isZero();
        assertThat(spoken.out.toString().strip()).isEqualTo("[]");

        replace(site.resolve("panel.json"), "\"pin\": 17", "\"pin\": 77");
        Spoken broken = new Spoken();
        assertThat(broken.code("check", "--json", site.toString())).isEqualTo(1);
        try (JsonParser json = new JsonFactory().createParser(ObjectReadContext.empty(), broken.out.toString())) {
            assertThat(json.nextToken()).isEqualTo(JsonToken.START_ARRAY);
            assertThat(json.nextToken()).isEqualTo(JsonToken.START_OBJECT);
        }
        assertThat(broken.out.toString()).contains("\"file\":\"panel.json\"");
    }

    @Test
    void aFolderThatIsNotThereIsOneProblemAndNoTrace() {
        assertThat(spoken.code("check", folder.resolve("nowhere").toString())).isEqualTo(1);
        assertThat(spoken.out.toString()).contains("There is no folder").doesNotContain("Exception");
    }

    @Test
    void whatADriverCannotWorkWithIsAProblemOfTheKind() throws Exception {
        Path site = newSite();
        replace(site.resolve("kinds/lobby-light.json"), "\"framing\": { \"endsWith\": \"\\n\" },", "");
        assertThat(spoken.code("check", site.toString())).isEqualTo(1);
        assertThat(spoken.out.toString()).contains("kinds/lobby-light.json:", "framing");
    }

    @Test
    void aSiteWithErrorsIsNotRun() throws Exception {
        Path site = newSite();
        replace(site.resolve("panel.json"), "\"press\": \"doors-open\"", "\"press\": \"door-open\"");
        assertThat(spoken.code("run", site.toString())).isEqualTo(1);
        assertThat(spoken.err.toString()).contains("panel.json:11:", "cannot be run: 1 error. Mend");
        assertThat(site.resolve("logs")).doesNotExist();
    }

    @Test
    void anEdgeTraceWithMistakesKeepsTheShowFromStarting() throws Exception {
        Path site = newSite();
        Path edges = Files.writeString(folder.resolve("edges"), "0 17 0\nsoon 17 1\n");
        assertThat(spoken.code("rehearse", site.toString(), "--panel", "none", "--edges", edges.toString()))
                .isEqualTo(1);
        assertThat(spoken.err.toString().strip()).startsWith(edges + ":2: \"soon 17 1\" is not TIME_MS PIN LEVEL");
    }

    @Test
    void theScriptedEveningIsPlayedWhereThereIsNoTerminal() throws Exception {
        Path site = newSite();
        assertThat(spoken.code("rehearse", site.toString(), "--log", folder.resolve("logs").toString())).isZero();
        assertThat(spoken.out.toString()).contains("press doors", "The evening went as expected: 4 expectations met.");
        try (var logs = Files.list(folder.resolve("logs"))) {
            assertThat(logs).singleElement()
                    .satisfies(log -> assertThat(Files.readString(log)).contains("\"what\":\"press\"").endsWith("}\n"))
                    .satisfies(log -> assertThat(spoken.out.toString()).contains("Event log: " + log));
        }
        assertThat(spoken.err.toString()).isEmpty();
    }

    @Test
    void anExpectationThatIsMissedIsSaidAndFails() throws Exception {
        Path site = newSite();
        replace(site.resolve("rehearsals/evening.json"), "{ \"gear\": { \"lobby.on\": true, \"lobby.level\": 80 } }",
                "{ \"gear\": { \"lobby.level\": 81 }, \"within\": \"100 ms\" }");
        assertThat(spoken.code("rehearse", site.toString())).isEqualTo(1);
        assertThat(spoken.out.toString()).contains("MISSED", "lobby.level is 80", "1 of 4 expectations MISSED.");
    }

    @Test
    void aRehearsalThatIsNotThereComesWithTheNearestName() {
        assertThat(spoken.code("rehearse", newSite().toString(), "--script", "evning")).isEqualTo(1);
        assertThat(spoken.err.toString()).contains("There is no rehearsal \"evning\"", "Did you mean \"evening\"?");
    }

    @Test
    void anEdgeTracePressesInARehearsal() throws Exception {
        Path site = newSite();
        Path edges = Files.writeString(folder.resolve("edges"), "1500 17 0\n1600 17 1\n");
        Path recorded = folder.resolve("recorded");
        assertThat(spoken.code("rehearse", site.toString(), "--panel", "none", "--edges", edges.toString(),
                "--record-edges",
                recorded.toString())).isZero();
        assertThat(spoken.out.toString()).contains("doors pressed", "doors-open starts");
        List<String> lines = Files.readAllLines(recorded);
        assertThat(lines).hasSize(3);
        assertThat(lines.get(1)).endsWith(" 17 0");
        assertThat(lines.get(2)).endsWith(" 17 1");
    }

    @Test
    void wiringTellsWhatToSolder() {
        Path site = newSite();
        assertThat(spoken.code("wiring", site.toString())).isZero();
        assertThat(spoken.out.toString())
                .contains("Switch the board off", "11   GPIO 17", "button contact", "other side to ground")
                .doesNotContain(ESCAPE);
        assertThat(spoken.err.toString()).isEmpty();
    }

    @Test
    void wiringThatWouldHarmTheBoardIsAnError() throws Exception {
        Path site = newSite();
        replace(site.resolve("panel.json"), "\"pin\": 22", "\"led\": { \"volts\": 2, \"milliamps\": 30 }, \"pin\": 22");
        assertThat(spoken.code("wiring", site.toString())).isEqualTo(1);
        assertThat(spoken.out.toString()).contains("panel.json:", "bears 8 mA", "Do not build it like this");
    }

    @Test
    void wiringSpeaksJsonToProgramsAndProposes() throws Exception {
        Path site = newSite();
        replace(site.resolve("panel.json"), "\"pin\": 17,", "");
        assertThat(spoken.code("wiring", site.toString(), "--propose")).isZero();
        assertThat(spoken.out.toString()).startsWith("// A proposal for panel.json")
                .contains("\"doors\": { \"pin\": 5 }");
        Spoken program = new Spoken();
        assertThat(program.code("wiring", site.toString(), "--propose", "--json")).isZero();
        int depth = 0;
        try (JsonParser json = new JsonFactory().createParser(ObjectReadContext.empty(), program.out.toString())) {
            for (JsonToken token = json.nextToken(); token != null; token = json.nextToken()) {
                depth += token.isStructStart() ? 1 : token.isStructEnd() ? -1 : 0;
            }
        }
        assertThat(depth).isZero();
        assertThat(program.out.toString()).contains("\"header\":[{\"position\":",
                "\"proposal\":{\"panel\":{\"buttons\"",
                "\"without\":[\"doors\"]");
    }

    @Test
    void labelsAreWrittenAndNamed() {
        Path site = newSite();
        assertThat(spoken.code("labels", site.toString(), "--paper", "letter")).isZero();
        for (String file : List.of("strips.pdf", "front.pdf", "cue-card.pdf", "strips.svg", "front.svg",
                "cue-card.svg")) {
            assertThat(site.resolve("labels").resolve(file)).isNotEmptyFile();
            assertThat(spoken.out.toString()).contains(file);
        }
        assertThat(spoken.out.toString()).contains("Print at 100 %");
    }

    @Test
    void labelsThatCannotBeWrittenAreOneSentence() throws Exception {
        Path site = newSite();
        Path file = Files.writeString(folder.resolve("file"), "");
        assertThat(spoken.code("labels", site.toString(), "--out", file.toString())).isEqualTo(1);
        assertThat(spoken.err.toString()).startsWith("The labels cannot be written to " + file).doesNotContain("\tat ");
        assertThat(new Spoken().code("labels", site.toString(), "--paper", "a5")).isEqualTo(2);
    }

    @Test
    void schemasAreWrittenForEditors() throws Exception {
        Path schemas = folder.resolve("schema");
        assertThat(spoken.code("schema", schemas.toString())).isZero();
        assertThat(Files.readString(schemas.resolve("panel.json")))
                .contains("https://json-schema.org/draft/2020-12/schema");
        assertThat(spoken.out.toString()).startsWith("6 schemas written");
    }

    @Test
    void theManualPageTellsEveryCommandAndOption() {
        assertThat(spoken.code("man")).isZero();
        String page = spoken.out.toString();
        CommandLine line = Bellpush
                .commandLine(new Console(new PrintWriter(new StringWriter()), new PrintWriter(new StringWriter()),
                        false, Map.of()));
        line.getSubcommands().forEach((name, command) -> {
            assertThat(page).contains(".SS " + name + "\n");
            command.getCommandSpec().options()
                    .forEach(option -> assertThat(page).contains(option.longestName().replace("-", "\\-")));
        });
        assertThat(page).startsWith(".TH BELLPUSH 1").contains(".SH NAME\n", ".SH SYNOPSIS\n", ".SH \"EXIT STATUS\"\n")
                .doesNotContain("${", "%n");
        assertThat(page.lines().filter(text -> text.startsWith("'"))).isEmpty();
        assertThat(page.lines().filter(String::isBlank)).as("an empty line breaks the paragraph").isEmpty();
    }

    @Test
    void bashCanReadTheCompletionScript() throws Exception {
        assertThat(spoken.code("completion")).isZero();
        Path script = Files.writeString(folder.resolve("completion.bash"), spoken.out.toString());
        Process bash = new ProcessBuilder("bash", "-n", script.toString()).redirectErrorStream(true).start();
        assertThat(new String(bash.getInputStream().readAllBytes())).isEmpty();
        assertThat(bash.waitFor()).isZero();
        assertThat(spoken.out.toString()).contains("rehearse", "--record-edges", "\"board\" \"screen\" \"none\"")
                .doesNotContain("BOARD");
    }

    @Test
    void wrongUsageIsToldInASentenceWithWhatWasProbablyMeant() {
        assertThat(spoken.code("chekc", "hall")).isEqualTo(2);
        assertThat(spoken.err.toString()).isEqualToNormalizingNewlines(
                "bellpush has no command chekc.\nDid you mean check?\nSee: bellpush --help\n");
    }

    @Test
    void anOptionThatIsNotThereIsToldToo() {
        assertThat(spoken.code("rehearse", "--recordedges=x")).isEqualTo(2);
        assertThat(spoken.err.toString()).contains("bellpush rehearse has no option --recordedges=x.",
                "Did you mean --record-edges?");
    }

    @Test
    void aPanelThatIsNoneIsToldTheOnesThereAre() {
        assertThat(spoken.code("rehearse", "--panel", "scren")).isEqualTo(2);
        assertThat(spoken.err.toString()).contains("it is board, screen or none, not \"scren\"");
    }

    @Test
    void nothingAtAllIsAnsweredWithTheCommands() {
        assertThat(spoken.code()).isEqualTo(2);
        assertThat(spoken.err.toString()).contains("Say what to do.", "run, check, rehearse");
        assertThat(spoken.out.toString()).isEmpty();
    }

    @Test
    void aPathThatNoComputerHasIsWrongUsageAndNoTrace() {
        assertThat(spoken.code("check", "a\u0000b")).isEqualTo(2);
        assertThat(spoken.err.toString()).doesNotContain("\tat ");
    }
}
