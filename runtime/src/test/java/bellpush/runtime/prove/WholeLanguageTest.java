package bellpush.runtime.prove;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.load.Loaded;
import bellpush.config.load.SiteLoader;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Set;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Each link of the chain language is proved, or shown to break a promise. Invented data throughout. */
class WholeLanguageTest {
    @TempDir
    Path folder;

    @BeforeEach
    void aBoxWithSomeOfEverything() {
        write("site.json", "{ \"name\": \"Small hall\" }");
        write("devices.json",
                "{ \"box\": { \"label\": \"Box\", \"kind\": \"box\", \"address\": \"127.0.0.1\", \"port\": 9 } }");
        write("kinds/box.json", """
                { "about": "a box", "driver": "tcp", "framing": { "endsWith": "\\n" },
                  "properties": {
                    "on": { "type": "flag", "set": "ON {value}", "report": "ON {value}", "takes": "100 ms" },
                    "level": { "type": "whole", "range": [-60, 10], "set": "L {value}", "report": "L {value}" },
                    "spare": { "type": "whole", "range": [-60, 10], "set": "SP {value}", "report": "SP {value}" },
                    "mute": { "type": "flag", "set": "MU {value}" },
                    "slow": { "type": "flag", "set": "S {value}", "report": "S {value}", "takes": "2 s" },
                    "run": { "type": "whole", "range": [-100, 100], "set": "R {value}", "unsettles": ["place"] },
                    "place": { "type": "number", "range": [0, 3], "step": 0.01, "set": "P {value}", "report": "P {value}",
                               "speeds": { "by": "run", "table": [[10, 0.02], [100, 0.5]] } } } }
                """);
    }

    private void write(String name, String text) {
        try {
            Path file = folder.resolve(name);
            Files.createDirectories(file.getParent());
            Files.writeString(file, text);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private void macro(String name, String rest) {
        write("macros/" + name + ".json", "{ \"label\": \"" + name + "\", " + rest + " }");
    }

    /** @param presses for each button in turn what its press runs, as JSON */
    private List<Finding> findings(String... presses) {
        StringBuilder buttons = new StringBuilder();
        for (int i = 0; i < presses.length; i++) {
            buttons.append(i == 0 ? "" : ", ").append("\"b").append(i).append("\": { \"label\": \"B").append(i)
                    .append("\", \"press\": ").append(presses[i]).append(" }");
        }
        write("panel.json", "{ \"buttons\": { " + buttons + " } }");
        Loaded loaded = SiteLoader.load(folder, Set.of("tcp"));
        assertThat(loaded.site()).as("%s", loaded.problems()).isPresent();
        Prover.Proof proof = Prover.prove(loaded.site().get(), Limits.DEFAULT);
        assertThat(proof.complete()).as("%s", proof.bounds()).isTrue();
        return proof.findings();
    }

    private static Finding only(List<Finding> findings, Finding.What what) {
        assertThat(findings).as("%s", findings).hasSize(1);
        assertThat(findings.getFirst().what()).isEqualTo(what);
        return findings.getFirst();
    }

    @Test
    void theOppositeOfWhatNoDeviceTellsIsUnknownAtFirst() {
        macro("flip", """
                "steps": [ { "set": { "box.mute": { "opposite": true } } } ],
                "promise": { "any": [ { "box.mute": true }, { "box.mute": false } ] }
                """);
        Finding finding = only(findings("\"flip\""), Finding.What.BROKEN_PROMISE);
        assertThat(finding.found()).contains("box.mute is not known");
        assertThat(finding.presses()).isEqualTo(1);
    }

    @Test
    void theOppositeOfWhatADeviceTellsIsEitherOfTwo() {
        macro("flip", """
                "steps": [ { "set": { "box.on": { "opposite": true } } } ], "promise": { "box.on": true }
                """);
        Finding finding = only(findings("\"flip\""), Finding.What.BROKEN_PROMISE);
        assertThat(finding.story()).contains("At the start, box.on is true.",
                "Promised: box.on true. But box.on is false.");
    }

    @Test
    void aRelativeChangeBreaksAPromiseOnlyFromWhereItMatters() {
        macro("down", """
                "steps": [ { "set": { "box.level": { "by": -3 } } } ], "promise": { "box.level": { "below": 7.5 } }
                """);
        assertThat(findings("\"down\"")).isEmpty();
        macro("down", """
                "steps": [ { "set": { "box.level": { "by": -3 } } } ], "promise": { "box.level": { "below": 7 } }
                """);
        Finding finding = only(findings("\"down\""), Finding.What.BROKEN_PROMISE);
        assertThat(finding.story()).as("the only start from which it is broken").contains(
                "At the start, box.level is 10.", "Promised: box.level below 7. But box.level is 7.");
    }

    @Test
    void severalRelativeChangesAddUpAndTheRangeEndsThem() {
        macro("down", """
                "steps": [ { "set": { "box.level": { "by": -29 } } }, { "set": { "box.level": { "by": -31 } } } ],
                "promise": { "box.level": { "below": -50.5 } }
                """);
        Finding finding = only(findings("\"down\""), Finding.What.BROKEN_PROMISE);
        assertThat(finding.story()).contains("At the start, box.level is 10.");
        macro("down", """
                "steps": [ { "set": { "box.level": { "by": -60 } } }, { "set": { "box.level": { "by": -50 } } } ],
                "promise": { "box.level": -60 }
                """);
        assertThat(findings("\"down\"")).isEmpty();
    }

    @Test
    void whatIsCopiedFromAPropertyIsTheSameWhateverItIs() {
        macro("copy", """
                "steps": [ { "set": { "box.spare": { "property": "box.level" } } },
                           { "set": { "box.level": -60 } },
                           { "set": { "box.level": { "property": "box.spare" } } } ],
                "promise": { "any": [ { "box.spare": 5, "box.level": 5 },
                                      { "not": { "any": [ { "box.spare": 5 }, { "box.level": 5 } ] } } ] }
                """);
        assertThat(findings("\"copy\"")).isEmpty();
    }

    @Test
    void aConfirmationThatIsTooShortIsTold() {
        macro("slow", """
                "steps": [ { "set": { "box.slow": true }, "confirm": { "within": "1 s", "times": 2 } } ],
                "promise": { "box.slow": true }
                """);
        List<Finding> findings = findings("\"slow\"");
        assertThat(findings).extracting(Finding::what).contains(Finding.What.SHORT_WAIT);
        macro("slow", """
                "steps": [ { "set": { "box.slow": true }, "confirm": "3 s" } ], "promise": { "box.slow": true }
                """);
        assertThat(findings("\"slow\"")).isEmpty();
    }

    @Test
    void aStepThatGoesOnWhenItFailsLeavesThePromiseBroken() {
        macro("on", """
                "steps": [ { "set": { "box.mute": { "opposite": true } }, "onFailure": "go on" }, { "set": { "box.on": true } } ],
                "promise": { "box.on": true }
                """);
        assertThat(findings("\"on\"")).isEmpty();
        macro("on", """
                "steps": [ { "set": { "box.mute": { "opposite": true } }, "onFailure": "go on" }, { "set": { "box.on": true } } ],
                "promise": { "box.on": true, "box.mute": true }
                """);
        only(findings("\"on\""), Finding.What.BROKEN_PROMISE);
    }

    @Test
    void branchesSideBySideAreBothDone() {
        macro("both", """
                "steps": [ { "together": [ [ { "set": { "box.on": true } }, { "until": { "box.on": true } } ],
                                           [ { "wait": "1 s" }, { "set": { "box.level": 3 } } ] ] } ],
                "promise": { "box.on": true, "box.level": 3 }
                """);
        assertThat(findings("\"both\"")).isEmpty();
    }

    @Test
    void aGlideEndsAtItsTargetFromEverywhere() {
        macro("go", """
                "steps": [ { "glide": { "box.place": 1.5, "box.level": -10 }, "over": "10 s", "ease": "both" } ],
                "promise": { "box.place": 1.5, "box.level": -10 }
                """);
        assertThat(findings("\"go\"")).isEmpty();
    }

    @Test
    void aGlideThatNeedsMoreTimeThanItsMacroHasIsFoundFromTheFarEnd() {
        macro("go", """
                "within": "7 s",
                "steps": [ { "glide": { "box.place": 3 }, "over": "2 s", "ease": "even" } ],
                "promise": { "box.place": 3 }
                """);
        assertThat(findings("\"go\"")).as("3 m at 0.5 m/s are 6 s").isEmpty();
        macro("go", """
                "within": "5 s",
                "steps": [ { "glide": { "box.place": 3 }, "over": "2 s", "ease": "even" } ],
                "promise": { "box.place": 3 }
                """);
        Finding finding = only(findings("\"go\""), Finding.What.BROKEN_PROMISE);
        assertThat(finding.story()).anyMatch(line -> line.startsWith("At the start, box.place is 0"));
    }

    @Test
    void aRestartInTheMiddleOfItsOwnChainIsTried() {
        String again = "\"again\": \"restart\", ";
        String chain = """
                "steps": [ { "if": { "box.mute": true }, "then": [ { "set": { "box.on": false } } ],
                             "else": [ { "set": { "box.on": true } } ] },
                           { "set": { "box.mute": true } }, { "wait": "1 s" }, { "set": { "box.mute": false } } ],
                "promise": { "box.on": true, "box.mute": false }
                """;
        macro("dip", chain);
        assertThat(findings("\"dip\"")).extracting(Finding::what).containsExactly(Finding.What.DEAD_STEP);
        macro("dip", again + chain);
        Finding finding = only(findings("\"dip\""), Finding.What.BROKEN_PROMISE);
        assertThat(finding.story()).contains("2. Press B0, while the other still runs: dip runs.",
                "Promised: box.on true. But box.on is false.");
    }

    @Test
    void whoTakesOverMeetsWhatTheOtherHasBegun() {
        macro("long", """
                "lane": "box", "steps": [ { "set": { "box.mute": true } }, { "wait": "1 s" }, { "set": { "box.mute": false } } ],
                "promise": { "box.mute": false }
                """);
        macro("cut", """
                "lane": "box", "takesOver": true,
                "steps": [ { "if": { "box.mute": true }, "then": [ { "set": { "box.on": false } } ],
                             "else": [ { "set": { "box.on": true } } ] } ],
                "promise": { "box.on": true }
                """);
        Finding finding = only(findings("\"long\"", "\"cut\""), Finding.What.BROKEN_PROMISE);
        assertThat(finding.of()).isEqualTo("cut");
        assertThat(finding.presses()).isEqualTo(2);
        assertThat(finding.story()).anyMatch(line -> line.startsWith("2. Press B1, while the other still runs: cut"));
        macro("long", """
                "lane": "box", "onTakeover": { "run": "tidy" },
                "steps": [ { "set": { "box.mute": true } }, { "wait": "1 s" }, { "set": { "box.mute": false } } ],
                "promise": { "box.mute": false }
                """);
        macro("tidy", "\"steps\": [ { \"set\": { \"box.mute\": false } } ], \"promise\": { \"box.mute\": false }");
        assertThat(findings("\"long\"", "\"cut\"")).as("what is taken over leaves the box as it should be")
                .extracting(Finding::what).containsExactly(Finding.What.DEAD_STEP);
    }

    @Test
    void whatStopsEverythingIsTriedInTheMiddleOfEverything() {
        macro("long", """
                "steps": [ { "set": { "box.mute": true } }, { "wait": "1 s" }, { "set": { "box.mute": false } } ],
                "promise": { "box.mute": false }
                """);
        macro("halt", """
                "steps": [ { "stop": "everything" }, { "if": { "box.mute": true }, "then": [ { "set": { "box.on": false } } ],
                             "else": [ { "set": { "box.on": true } } ] } ],
                "promise": { "box.on": true }
                """);
        Finding finding = only(findings("\"long\"", "\"halt\""), Finding.What.BROKEN_PROMISE);
        assertThat(finding.presses()).isEqualTo(2);
    }

    @Test
    void aPressThatCountsIsNotIgnoredWhileItsMacroWaits() {
        String steps = """
                "steps": [ { "set": { "box.level": { "by": -3 } } }, { "wait": "1 s" } ],
                "promise": { "box.level": { "below": 8 } }
                """;
        macro("down", steps);
        Finding finding = only(findings("\"down\""), Finding.What.LOST_PRESS);
        assertThat(finding.cure()).isEqualTo("Give down \"again\": \"queue\".");
        macro("down", "\"again\": \"queue\", " + steps);
        assertThat(findings("\"down\"")).isEmpty();
        macro("down", steps.replace(", { \"wait\": \"1 s\" }", ""));
        assertThat(findings("\"down\"")).as("it is done at once").isEmpty();
    }

    @Test
    void whatIsSoOfSeveralCallsOfOneMacroIsToldOnce() {
        macro("preset", """
                "arguments": { "to": { "type": "whole", "range": [-60, 10] } },
                "steps": [ { "if": { "box.on": true }, "then": [ { "set": { "box.level": { "argument": "to" } } } ] } ],
                "promise": { "box.level": { "argument": "to" } }
                """);
        List<Finding> findings = findings("{ \"run\": \"preset\", \"with\": { \"to\": 1 } }",
                "{ \"run\": \"preset\", \"with\": { \"to\": 2 } }");
        Finding finding = only(findings, Finding.What.BROKEN_PROMISE);
        assertThat(finding.of()).isEqualTo("preset");
        assertThat(finding.why()).contains("The same is so of preset to=2");
    }
}
