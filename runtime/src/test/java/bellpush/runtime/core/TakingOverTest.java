package bellpush.runtime.core;

import static bellpush.runtime.core.TestSite.*;
import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.LinkState;
import bellpush.config.model.Limits;
import bellpush.config.model.Look.Pattern;
import bellpush.config.model.Macro;
import bellpush.config.model.Step;
import java.util.List;
import org.junit.jupiter.api.Test;

/** A macro that takes lanes instead of waiting for them, and a press that stops others. */
class TakingOverTest {
    private static TestSite keyer() {
        TestSite site = new TestSite();
        site.macro("tidy", set("mixer.onAir", false), pause(100), set("mixer.fill", "titles")).end();
        site.macro("poem", set("mixer.fill", "slides"), pause(5000), act("mixer.dissolve")).lane("keyer")
                .onTakeover("tidy").queue(3).end();
        site.macro("song", set("mixer.fill", "slides"), pause(5000), act("mixer.dissolve")).lane("keyer").end();
        site.macro("still", set("mixer.fill", "stills"), pause(300), act("mixer.swap")).lane("keyer").takesOver().end();
        return site;
    }

    @Test
    void theLaneIsTakenAtOnceAndTheOtherIsStoppedWhereItIs() {
        Stage stage = new Stage(keyer().site()).ready();
        stage.press("song");
        stage.press("still");
        assertThat(stage.sent).containsExactly("mixer fill=slides", "mixer fill=stills");
        assertThat(stage.events("stopped")).singleElement().asString().contains("macro=song")
                .contains("taken over by still");
        stage.pass(10_000);
        assertThat(stage.sent).endsWith("mixer swap!").doesNotContain("mixer dissolve!");
        assertThat(stage.events("failed")).isEmpty();
    }

    @Test
    void whatTidiesUpIsRunToItsEndBeforeTheNewcomerBegins() {
        Stage stage = new Stage(keyer().site()).ready();
        stage.press("poem");
        stage.edge("still", true);
        assertThat(stage.sent).containsExactly("mixer fill=slides", "mixer onAir=false");
        assertThat(stage.events("waits")).singleElement().asString().contains("macro=still").contains("for=poem");
        assertThat(stage.events("note")).singleElement().asString().startsWith("p1 ")
                .contains("taken over by still; running tidy first");
        stage.pass(100);
        assertThat(stage.sent).containsExactly("mixer fill=slides", "mixer onAir=false", "mixer fill=titles",
                "mixer fill=stills");
        assertThat(stage.lamp("poem")).as("it was meant").isNotEqualTo(Pattern.FAST);
        assertThat(stage.events("stopped")).singleElement().asString().contains("taken over by still");
    }

    @Test
    void thoseThatWaitForTheLaneAndForARepeatAreStoppedToo() {
        Stage stage = new Stage(keyer().site()).ready();
        stage.press("poem");
        stage.press("poem");
        stage.press("song");
        stage.press("still");
        stage.pass(20_000);
        assertThat(stage.events("stopped")).hasSize(2);
        assertThat(stage.events("ignored")).singleElement().asString().contains("was stopped by still");
        assertThat(stage.sent).endsWith("mixer swap!").doesNotContain("mixer dissolve!");
        assertThat(stage.core.running()).isEmpty();
    }

    @Test
    void tidyingUpThatFailsIsOnlyNoted() {
        TestSite site = keyer();
        site.macro("tidy", set("camera.speed", 0), say("not reached")).end();
        Stage stage = new Stage(site.site()).ready();
        stage.link("camera", LinkState.DOWN);
        stage.press("poem");
        stage.press("still");
        assertThat(stage.events("note")).last().asString().contains("tidying up failed: the link to camera is down");
        assertThat(stage.events("failed")).isEmpty();
        assertThat(stage.events("say")).isEmpty();
        assertThat(stage.sent).endsWith("mixer fill=stills");
    }

    @Test
    void innerMacrosTidyUpFirstThenThoseAroundThem() {
        TestSite site = new TestSite();
        site.macro("tidy-in", say("inner")).end();
        site.macro("tidy-out", say("outer")).end();
        site.macro("inner", pause(1000)).onTakeover("tidy-in").end();
        site.macro("outer", together(List.of(pause(1000)), List.of(run("inner")))).lane("keyer").onTakeover("tidy-out")
                .end();
        site.macro("still", say("still")).lane("keyer").takesOver().end();
        Stage stage = new Stage(site.site()).ready();
        stage.press("outer");
        stage.press("still");
        assertThat(stage.events("say")).extracting(e -> e.substring(0, e.indexOf(", at")))
                .containsExactly("p1 {run=1, text=inner", "p1 {run=1, text=outer", "p2 {run=2, text=still");
    }

    @Test
    void aSecondNewcomerWaitsForTheSameTidyingUpAndTheFirstIsStopped() {
        TestSite site = keyer();
        site.macro("late", set("mixer.left", 7)).lane("keyer").takesOver().end();
        Stage stage = new Stage(site.site()).ready();
        stage.press("poem");
        stage.edge("still", true);
        stage.edge("late", true);
        stage.pass(1000);
        assertThat(stage.sent).containsExactly("mixer fill=slides", "mixer onAir=false", "mixer fill=titles",
                "mixer left=7");
        assertThat(stage.events("stopped")).first().asString().contains("macro=still").contains("taken over by late");
    }

    @Test
    void aSpeedThatWasSetIsNotLeftBehind() {
        TestSite site = new TestSite().joystick("camera", axis("turn", null, "camera.turn", 18));
        site.macro("sweep", set("camera.turn", 5), pause(5000), set("camera.turn", 0)).lane("camera").end();
        site.macro("still", set("mixer.fill", "stills")).lane("camera").takesOver().end();
        Stage stage = new Stage(site.site()).ready();
        stage.press("sweep");
        stage.press("still");
        stage.pass(100);
        assertThat(stage.sent).contains("camera turn=5", "camera turn=0", "mixer fill=stills");
        assertThat(stage.events("note")).singleElement().asString()
                .contains("stops camera.turn, which sweep had set and left when it was stopped");
    }

    @Test
    void stopEndsEverythingElseWithoutTidyingUpAndDropsWhatWaits() {
        TestSite site = keyer().joystick("camera", axis("turn", null, "camera.turn", 18));
        site.macro("moves", set("mixer.left", 1), set("mixer.left", 2), pause(5000)).promise(is("mixer.left", 2)).end();
        site.macro("promised", set("mixer.preview", "stills")).promise(is("mixer.preview", "stills")).end();
        site.macro("halt", stop(), say("all stopped")).end();
        Stage stage = new Stage(site.site()).ready();
        stage.press("promised");
        stage.press("poem");
        stage.press("song");
        stage.press("poem");
        stage.edge("moves", true);
        stage.edge("halt", true);
        stage.pass(20_000);
        assertThat(stage.sent).containsExactly("mixer preview=stills", "mixer fill=slides", "mixer left=1",
                "camera turn=0");
        assertThat(stage.events("unsent")).singleElement().asString().startsWith("p5 ")
                .contains("did not set left to 2 on mixer, since its macro was stopped");
        assertThat(stage.events("stopped")).hasSize(4).allSatisfy(e -> assertThat(e).contains("stopped by halt"));
        assertThat(stage.events("ignored")).hasSize(1);
        assertThat(stage.events("say")).hasSize(1);
        assertThat(stage.events("failed")).isEmpty();
        assertThat(stage.core.running()).isEmpty();
    }

    @Test
    void stopOfNamedMacrosLeavesTheOthers() {
        TestSite site = keyer();
        site.macro("other", pause(5000), say("other")).end();
        site.macro("halt", stop("poem", "still")).end();
        Stage stage = new Stage(site.site()).ready();
        stage.press("other");
        stage.press("poem");
        stage.press("song");
        stage.press("halt");
        stage.pass(20_000);
        assertThat(stage.events("stopped")).singleElement().asString().contains("macro=poem");
        assertThat(stage.events("say")).hasSize(1);
        assertThat(stage.sent).endsWith("mixer dissolve!");
    }

    @Test
    void aStickThatIsHeldMovesNothingAfterAStopBeforeItWasLetGo() {
        TestSite site = new TestSite().joystick("camera", axis("turn", null, "camera.turn", 18));
        site.macro("halt", stop()).end();
        Stage stage = new Stage(site.site()).ready();
        stage.move("camera.turn", 0.5);
        stage.move("camera.turn", 1);
        stage.pass(100);
        stage.press("halt");
        stage.pass(100);
        assertThat(stage.news()).endsWith("camera turn=0");
        stage.move("camera.turn", 0.9);
        stage.pass(100);
        assertThat(stage.news()).isEmpty();
        stage.move("camera.turn", 0.5);
        stage.move("camera.turn", 1);
        assertThat(stage.news()).isNotEmpty();
    }

    @Test
    void aStopIsNotRefusedWhereTooMuchGoesOn() {
        TestSite site = new TestSite().limits(new Limits(2, 8, 100, 8, 10, 100));
        site.macro("a", pause(1000)).end();
        site.macro("b", pause(1000)).end();
        site.macro("halt", stop()).end();
        Stage stage = new Stage(site.site()).ready();
        stage.press("a");
        stage.press("b");
        stage.press("halt");
        assertThat(stage.events("refused")).isEmpty();
        assertThat(stage.events("stopped")).hasSize(2);
    }

    @Test
    void aFallbackThatIsTakenOverStillCountsAsFailed() {
        TestSite site = keyer();
        site.macro("safe", set("mixer.onAir", false), pause(5000)).end();
        site.macro("go", until(is("mixer.fill", "slides"), 100)).lane("keyer")
                .onFailure(new Step.Otherwise.Instead("safe")).end();
        Stage stage = new Stage(site.site()).ready();
        stage.press("go");
        stage.pass(200);
        stage.press("still");
        assertThat(stage.events("failed")).singleElement().asString().contains("mixer.fill should be slides")
                .contains("taken over by still");
        assertThat(stage.sent).endsWith("mixer fill=stills");
    }

    @Test
    void whatStillWaitsToBeSentOfTheOtherIsNotSent() {
        TestSite site = new TestSite();
        site.macro("tidy", set("mixer.left", 3)).end();
        site.macro("moves", set("mixer.left", 1), set("mixer.left", 2), pause(5000)).lane("keyer").end();
        site.macro("tidied", set("mixer.left", 1), set("mixer.left", 2), pause(5000)).lane("keyer").onTakeover("tidy")
                .end();
        site.macro("still", set("mixer.fill", "stills")).lane("keyer").takesOver().end();
        Stage stage = new Stage(site.site()).ready();
        ask(stage, "moves");
        ask(stage, "still");
        stage.pass(1000);
        assertThat(stage.news()).startsWith("mixer left=1", "mixer fill=stills").doesNotContain("mixer left=2");
        assertThat(stage.events("unsent")).singleElement().asString().startsWith("p1 ").contains("set left to 2");
        ask(stage, "tidied");
        ask(stage, "still");
        stage.pass(1000);
        assertThat(stage.news()).as("but all of its tidying up").containsSubsequence("mixer left=1", "mixer left=3",
                "mixer fill=stills").doesNotContain("mixer left=2");
    }

    @Test
    void aSpeedThatWasSetIsStoppedBeforeTheTidyingUp() {
        TestSite site = new TestSite().joystick("camera", axis("turn", null, "camera.turn", 18));
        site.macro("tidy", pause(500), set("mixer.fill", "titles")).end();
        site.macro("sweep", set("camera.turn", 5), pause(5000)).lane("camera").onTakeover("tidy").end();
        site.macro("still", set("mixer.fill", "stills")).lane("camera").takesOver().end();
        Stage stage = new Stage(site.site()).ready();
        stage.press("sweep");
        stage.news();
        stage.press("still");
        assertThat(stage.news()).containsExactly("camera turn=0");
    }

    @Test
    void aPressDuringTheTidyingUpDoesNotCutItShortAndWaitsForItsTurn() {
        for (var again : Macro.Again.values()) {
            TestSite site = new TestSite();
            site.macro("tidy", pause(300), set("mixer.fill", "titles")).end();
            site.macro("poem", set("mixer.fill", "slides"), pause(100), say("poem")).lane("keyer").onTakeover("tidy")
                    .again(again).end();
            site.macro("still", set("mixer.fill", "stills")).lane("keyer").takesOver().end();
            Stage stage = new Stage(site.site()).ready();
            stage.press("poem");
            stage.press("still");
            stage.press("poem");
            stage.pass(2000);
            assertThat(stage.sent).as("%s", again).startsWith("mixer fill=slides", "mixer fill=titles",
                    "mixer fill=stills", "mixer fill=slides");
            assertThat(stage.events("say")).hasSize(1);
            assertThat(stage.core.running()).isEmpty();
        }
    }

    @Test
    void aMacroThatIsPressedAgainLeavesNeitherASpeedNorWhatWaitsToBeSent() {
        TestSite site = new TestSite().joystick("camera", axis("turn", null, "camera.turn", 18));
        site.macro("sweep", until(is("mixer.fill", "titles"), 1000), set("mixer.left", 1), set("camera.turn", 5),
                set("mixer.left", 2), pause(5000), set("camera.turn", 0))
                .again(Macro.Again.RESTART).end();
        Stage stage = new Stage(site.site()).ready();
        stage.pass(100);
        stage.news();
        ask(stage, "sweep");
        assertThat(stage.news()).containsExactly("mixer left=1", "camera turn=5");
        stage.report("mixer", "fill", "stills");
        ask(stage, "sweep");
        assertThat(stage.events("stopped")).singleElement().asString().contains("pressed again");
        assertThat(stage.news()).containsExactly("camera turn=0");
        stage.pass(2000);
        assertThat(stage.news()).doesNotContain("mixer left=2");
    }

    @Test
    void ofThoseThatWaitInARowNoneBeginsWhileTheyAreStopped() {
        for (boolean stop : List.of(false, true)) {
            TestSite site = new TestSite();
            site.macro("holds", pause(5000)).lane("a").end();
            site.macro("first", set("mixer.fill", "slides")).lane("a", "b").end();
            site.macro("second", set("mixer.fill", "titles")).lane("b").end();
            site.macro("still", set("mixer.fill", "stills")).lane("a", "b").takesOver().end();
            site.macro("halt", stop()).end();
            Stage stage = new Stage(site.site()).ready();
            List.of("holds", "first", "second", stop ? "halt" : "still").forEach(macro -> ask(stage, macro));
            stage.pass(10_000);
            assertThat(stage.news()).isEqualTo(stop ? List.of() : List.of("mixer fill=stills"));
            assertThat(stage.events("stopped")).hasSize(3);
        }
    }

    /** A repeat that takes over begins in the middle of another's beginning. */
    @Test
    void whatBeginsWhileItIsTakenOverLeavesNothingBehindEither() {
        TestSite site = new TestSite();
        site.macro("zero", pause(100)).lane("a").takesOver().queue(1).promise(is("mixer.fill", "stills")).end();
        site.macro("four", set("mixer.fill", "slides"), set("mixer.left", 1), set("mixer.left", 2), pause(5000))
                .lane("a").end();
        site.macro("six", say("six")).lane("a").end();
        Stage stage = new Stage(site.site()).ready();
        List.of("zero", "zero", "four", "six").forEach(macro -> ask(stage, macro));
        stage.pass(10_000);
        assertThat(stage.news()).doesNotContain("mixer left=2");
        assertThat(stage.events("stopped")).hasSize(2);
        assertThat(stage.core.running()).isEmpty();
    }

    private static void ask(Stage stage, String macro) {
        stage.put(new Input.Asked(stage.nowNanos(), macro));
    }
}
