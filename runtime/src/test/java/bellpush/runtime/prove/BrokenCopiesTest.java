package bellpush.runtime.prove;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Chains of the village hall, broken as admins break them, each with how it came about. Every one is refused, for the right reason
 * and with the shortest story.
 */
class BrokenCopiesTest {
    @TempDir
    Path folder;

    private Finding only(Finding.What what, String of, Copies copy) {
        List<Finding> all = Prover.prove(copy.site(), Limits.DEFAULT).findings();
        List<Finding> found = all.stream().filter(f -> f.what() == what && f.of().equals(of)).toList();
        assertThat(found).as("%s of %s among %s", what, of, all).hasSize(1);
        return found.getFirst();
    }

    private static void story(Finding finding, int presses, int hands, String... lines) {
        assertThat(List.of(finding.presses(), finding.outside())).as("presses and hands of %s", finding)
                .isEqualTo(List.of(presses, hands));
        assertThat(String.join("\n", finding.story())).contains(lines);
    }

    /** "The poem always comes after CLEAR, so the key is off anyway": until somebody goes from the title straight to the poem. */
    @Test
    void thePoemDoesNotTakeTheKeyOffFirst() {
        Copies copy = new Copies(folder).change("macros/poem.json", "    { \"run\": \"key-off\" },\n", "");
        Finding moved = only(Finding.What.UNSTEADY, "poem", copy);
        story(moved, 1, 0, "At the start", "mixer.key.onAir is true", "1. Press POEM");
        assertThat(moved.found()).contains("mixer.key.left", "mixer.key.onAir true");
        assertThat(moved.at().toString()).isEqualTo("macros/poem.json:8:5");
        Finding broken = only(Finding.What.BROKEN_PROMISE, "poem", copy);
        story(broken, 1, 0, "mixer.key.onAir is true", "Promised: mixer.key.onAir true. But mixer.key.onAir is false.");
        assertThat(broken.cure()).contains("opposite");
    }

    /** The mixer answers at once on the bench, so the until looked like waste. In the evening a message is lost. */
    @Test
    void nobodyWaitsUntilTheKeyIsOff() {
        Copies copy = new Copies(folder).change("macros/key-off.json", """
                { "set": { "mixer.key.onAir": false } },
                    { "until": { "mixer.key.onAir": false }, "within": "3 s" }""", """
                { "set": { "mixer.key.onAir": false } }""");
        Finding finding = only(Finding.What.UNSTEADY, "speaker", copy);
        story(finding, 1, 0, "1. Press SPEAKER", "set mixer.key.onAir false");
        assertThat(finding.found()).contains("mixer.key.left").contains("mixer.key.onAir true");
    }

    /** The two lines were swapped when the chain was tidied up. It still works whenever the rail was on preview already. */
    @Test
    void theDissolveComesBeforeThePreview() {
        Copies copy = new Copies(folder).change("macros/song.json", """
                        { "set": { "mixer.preview": "rail" } },
                        { "until": { "mixer.preview": "rail" }, "within": "3 s" },
                        { "do": "mixer.dissolve", "with": { "frames": 20 } },
                """, """
                        { "do": "mixer.dissolve", "with": { "frames": 20 } },
                        { "set": { "mixer.preview": "rail" } },
                        { "until": { "mixer.preview": "rail" }, "within": "3 s" },
                """);
        Finding finding = only(Finding.What.BROKEN_PROMISE, "song", copy);
        story(finding, 1, 0, "mixer.program is", "mixer.preview is", "1. Press SONG", "until mixer.program rail");
        assertThat(finding.at().file()).isEqualTo("macros/song.json");
    }

    /** The speaker's title was made from a copy of the welcome's, and one line kept its old value. */
    @Test
    void theSpeakersNameShowsTheWelcome() {
        Copies copy = new Copies(folder).change("macros/speaker.json",
                "        \"mixer.still\": \"speaker\",\n        \"mixer.key.fill\"",
                "        \"mixer.still\": \"welcome\",\n        \"mixer.key.fill\"");
        Finding finding = only(Finding.What.BROKEN_PROMISE, "speaker", copy);
        story(finding, 1, 0, "1. Press SPEAKER", "mixer.still should be speaker and is welcome");
    }

    /** MICS ON was copied from MICS OFF: the fader was added, the one word was not changed. */
    @Test
    void theMicrophonesStayMuted() {
        Copies copy = new Copies(folder).change("macros/mics-on.json", "\"desk.speech.mute\": false } }]",
                "\"desk.speech.mute\": true } }]");
        Finding finding = only(Finding.What.BROKEN_PROMISE, "mics-on", copy);
        story(finding, 1, 0, "1. Press MICS ON", "Promised: desk.speech.mute false. But desk.speech.mute is true.");
        assertThat(finding.at().toString()).isEqualTo("macros/mics-on.json:5:13");
    }

    /** "Lanes are for the keyer, lights are only lights." Then SONG and LIGHTS LOW are pressed one right after the other. */
    @Test
    void noLaneHoldsTheLights() {
        Copies copy = new Copies(folder).change("macros/lights-low.json", "  \"lane\": \"lights\",\n", "");
        List<Finding> found = Prover.prove(copy.site(), Limits.DEFAULT).findings();
        assertThat(found).isNotEmpty().allSatisfy(f -> assertThat(f.what()).isEqualTo(Finding.What.INTERLEAVED));
        assertThat(found).anySatisfy(f -> {
            assertThat(f.found()).contains("lights-low", "song", "stage-lights.scene");
            assertThat(f.cure()).contains("lights");
            story(f, 2, 0, "1. ", "2. ");
        });
    }

    /** The encoder was quick on the afternoon, with nobody in the hall's network. Its maker says 1.2 s. */
    @Test
    void goingLiveIsGivenTooLittleTime() {
        Copies copy = new Copies(folder).change("macros/go-live.json", "\"within\": \"5 s\"", "\"within\": \"1 s\"");
        Finding finding = only(Finding.What.BROKEN_PROMISE, "go-live", copy);
        story(finding, 1, 0, "encoder.streaming is false", "1. Hold GO LIVE", "after 1000 ms");
        assertThat(finding.cure()).contains("more time");
    }

    /** Somebody thought half a second is enough for any dissolve, and a wait is easier to read than an until. */
    @Test
    void aWaitIsShorterThanTheDissolve() {
        Copies copy = new Copies(folder).change("macros/slides.json",
                "{ \"until\": { \"mixer.program\": \"slides\" }, \"within\": \"5 s\" }", "{ \"wait\": \"500 ms\" }");
        Finding finding = only(Finding.What.SHORT_WAIT, "slides", copy);
        assertThat(finding.found()).contains("500 ms", "800 ms");
        assertThat(finding.at().toString()).isEqualTo("macros/slides.json:19:9");
    }

    /** The hard switch at the end of CLEAR looked needless after the soft one: but not when a title is just coming on air. */
    @Test
    void clearTrustsTheSoftWay() {
        Copies copy = new Copies(folder).change("macros/clear.json", """
                    },
                    { "set": { "mixer.key.onAir": false } }
                """, """
                    }
                """);
        Finding finding = only(Finding.What.BROKEN_PROMISE, "clear", copy);
        story(finding, 2, 0, "2. Press CLEAR, at once", "do mixer.key.dissolve",
                "Promised: mixer.key.onAir false. But mixer.key.onAir is true.");
    }

    /** To spare the desk's relay. But the desk does not tell what its relay does, and somebody at the desk can move it. */
    @Test
    void theCueLightIsOnlySetWhenItIsThoughtOff() {
        Copies copy = new Copies(folder).change("macros/cue-on.json", "[{ \"set\": { \"desk.cueLight\": true } }]",
                "[{ \"if\": { \"desk.cueLight\": true }, \"then\": [{ \"say\": \"It is on\" }], "
                        + "\"else\": [{ \"set\": { \"desk.cueLight\": true } }] }]");
        Finding finding = only(Finding.What.BROKEN_PROMISE, "cue-on", copy);
        story(finding, 2, 1, "1. Press CUE", "Somebody changes desk.cueLight to false at the device.", "2. Press CUE",
                "Promised: desk.cueLight true. But desk.cueLight is false.");
    }

    /** "At the end there must be no music", wrote the treasurer into the promise, and nobody wrote it into the steps. */
    @Test
    void closingPromisesWhatItDoesNotDo() {
        Copies copy = new Copies(folder).change("macros/closing.json", "\"room-lights.level\": 100\n  }",
                "\"room-lights.level\": 100, \"desk.music.mute\": true\n  }");
        Finding finding = only(Finding.What.UNKEPT, "closing", copy);
        story(finding, 1, 0, "desk.music.mute is false", "1. Press CLOSING");
        assertThat(finding.found()).contains("desk.music.mute true");
    }

    /** "Off" was put first, since that is how the lamp begins the evening. It also ends it so. */
    @Test
    void theLampOfTheStreamNeverLights() {
        String on = "          { \"when\": { \"encoder.streaming\": true }, \"show\": \"steady\", \"colour\": \"green\" }";
        String off = "          { \"show\": \"off\" }";
        Copies copy = new Copies(folder).change("panel.json", on + ",\n" + off, off + ",\n" + on);
        Finding finding = only(Finding.What.DEAD_RULE, "stream", copy);
        assertThat(finding.cure()).contains("last");
    }

    /** END RECORD was made from a copy of RECORD; the until was forgotten. It waits three seconds for what cannot be, and goes on. */
    @Test
    void anUntilWaitsForTheOldState() {
        Copies copy = new Copies(folder).change("macros/record-end.json",
                "[{ \"set\": { \"encoder.recording\": false } }]",
                "[{ \"set\": { \"encoder.recording\": false } },\n    { \"until\": { \"encoder.recording\": true }, "
                        + "\"within\": \"3 s\", \"else\": \"go on\" }]");
        Finding finding = only(Finding.What.NEVER_HOLDS, "record-end", copy);
        assertThat(finding.found()).contains("until encoder.recording true");
        assertThat(finding.at().file()).isEqualTo("macros/record-end.json");
    }

    /** One button for both seemed thrifty: MICS OFF became a switch-over. Pressed when they are off already, it puts them on. */
    @Test
    void theMicrophonesAreSwitchedOver() {
        Copies copy = new Copies(folder).change("macros/mics-off.json", "{ \"desk.speech.mute\": true } }]",
                "{ \"desk.speech.mute\": { \"opposite\": true } } }]");
        Finding finding = only(Finding.What.BROKEN_PROMISE, "mics-off", copy);
        story(finding, 1, 0, "At the start, desk.speech.mute is true.\n1. Press MICS OFF: mics-off runs.\n"
                + "   set desk.speech.mute to its opposite   (macros/mics-off.json:5:13)\n",
                "Promised: desk.speech.mute true. But desk.speech.mute is false.");
    }

    /** The same with the cue light, of which the desk never tells: at the first press of the evening there is no opposite. */
    @Test
    void theCueLightIsSwitchedOverFromNobodyKnowsWhat() {
        Copies copy = new Copies(folder).change("macros/cue-on.json", "{ \"desk.cueLight\": true } }]",
                "{ \"desk.cueLight\": { \"opposite\": true } } }]");
        Finding finding = only(Finding.What.BROKEN_PROMISE, "cue-on", copy);
        story(finding, 1, 0, "1. Press CUE: cue-on runs.\n   set desk.cueLight to its opposite", "cue-on fails: ");
        assertThat(finding.cure()).contains("from every state");
    }

    /** "Make sure of the lights", with a time that is enough for the mixer. The dimmers fade for 600 ms and only then tell. */
    @Test
    void theLightsAreToBeConfirmedBeforeTheyCanBe() {
        Copies copy = new Copies(folder).change("macros/lights-low.json", "\"room-lights.level\": 40\n    } }",
                "\"room-lights.level\": 40\n    }, \"confirm\": \"300 ms\" }");
        Finding finding = only(Finding.What.SHORT_WAIT, "lights-low", copy);
        assertThat(finding.found()).contains("confirmed within 300 ms", "takes 600 ms");
        assertThat(finding.at().toString()).isEqualTo("macros/lights-low.json:7:5");
        assertThat(finding.cure()).contains("more than 600 ms");
    }

    /** The line was copied to be changed to a cut, then the telephone rang. The second turns back what the first has begun. */
    @Test
    void theKeyIsDissolvedTwice() {
        String dissolve = "    { \"do\": \"mixer.key.dissolve\", \"with\": { \"frames\": 12 } }";
        Copies copy = new Copies(folder).change("macros/poem.json", dissolve, dissolve + ",\n" + dissolve);
        Finding twice = only(Finding.What.REPEATED, "poem", copy);
        assertThat(twice.found()).contains("do mixer.key.dissolve");
        Finding early = only(Finding.What.TOO_EARLY, "poem", copy);
        story(early, 1, 0, "1. Press POEM", "do mixer.key.dissolve");
        assertThat(early.found()).contains("mixer.key.onAir");
    }
}
