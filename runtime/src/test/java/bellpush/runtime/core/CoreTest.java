package bellpush.runtime.core;

import static bellpush.runtime.core.TestSite.act;
import static bellpush.runtime.core.TestSite.is;
import static bellpush.runtime.core.TestSite.pause;
import static bellpush.runtime.core.TestSite.ref;
import static bellpush.runtime.core.TestSite.rule;
import static bellpush.runtime.core.TestSite.say;
import static bellpush.runtime.core.TestSite.set;
import static bellpush.runtime.core.TestSite.until;
import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Condition;
import bellpush.config.model.Limits;
import bellpush.config.model.LinkState;
import bellpush.config.model.Look.Pattern;
import bellpush.config.model.Macro;
import bellpush.config.model.Source;
import bellpush.config.model.Step;
import bellpush.config.model.Value;
import bellpush.drivers.spi.Outcome;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;

class CoreTest {
    private static Stage poem() {
        return new Stage(new TestSite()
                .macro("poem", set("mixer.onAir", false), set("mixer.fill", "slides", "mixer.left", 0),
                        until(is("mixer.fill", "slides"), 1000), pause(200), act("mixer.dissolve"))
                .lane("keyer").promise(new Condition.All(List.of(is("mixer.onAir", true), is("mixer.fill", "slides"))))
                .end().site()).ready();
    }

    @Test
    void aPressSendsItsChainInOrderAndWaitsForWhatTheDeviceReports() {
        Stage stage = poem();
        stage.edge("poem", true);
        assertThat(stage.sent).containsExactly("mixer onAir=false", "mixer fill=slides", "mixer left=0");
        stage.pass(500);
        assertThat(stage.sent).hasSize(3);
        stage.report("mixer", "fill", "slides");
        long met = stage.nowMs();
        stage.pass(1000);
        assertThat(stage.sent).endsWith("mixer dissolve!");
        assertThat(stage.sentAtMs.getLast()).isEqualTo(met + 200);
    }

    @Test
    void aRefusalOfOneMessageSaysNothingOfTheSameValueSentOnceMore() {
        Stage stage = new Stage(new TestSite().macro("slides", set("mixer.fill", "slides")).promise(
                is("mixer.fill", "slides")).again(Macro.Again.RESTART).end()
                .lamp("titles", rule(is("mixer.fill", "titles"), Pattern.STEADY)).site()).ready();
        assertThat(stage.lamp("titles")).isEqualTo(Pattern.STEADY);
        stage.press("slides");
        long first = stage.requestOf.get("mixer fill=slides");
        stage.press("slides");
        assertThat(stage.requestOf.get("mixer fill=slides")).isNotEqualTo(first);
        stage.put(new Input.Finished(stage.nowNanos(), "mixer", first, new Outcome.Refused("busy")));
        assertThat(stage.lamp("titles")).as("the second may yet be obeyed").isNotEqualTo(Pattern.STEADY);
        assertThat(stage.core.belief(ref("mixer.fill")).basis()).isNotEqualTo(Belief.Basis.REPORTED);
    }

    @Test
    void whatWasAskedTooEarlyIsAskedOnceMore() {
        Stage stage = new Stage(new TestSite().macro("slides", set("mixer.fill", "slides")).end().site());
        stage.link("mixer", LinkState.UP);
        long early = stage.requestOf.get("mixer fill?");
        stage.press("slides");
        stage.outcome("mixer", "mixer fill=slides", new Outcome.Sent());
        stage.pass(2_000); // asking again comes to nothing, since the first question is still open
        stage.news();
        stage.put(new Input.Reported(stage.nowNanos(), "mixer", Map.of("fill", TestSite.value("titles")), early));
        stage.put(new Input.Finished(stage.nowNanos(), "mixer", early, new Outcome.Done()));
        assertThat(stage.core.belief(ref("mixer.fill")).basis()).isEqualTo(Belief.Basis.ASSUMED);
        stage.pass(1_000);
        assertThat(stage.news()).contains("mixer fill?");
    }

    @Test
    void aRunThatTheEndOfAnotherLetsInStartsOnce() {
        TestSite site = new TestSite();
        site.macro("first", until(is("mixer.onAir", true), 1_000), set("mixer.fill", "slides"))
                .again(Macro.Again.QUEUE).promise(is("mixer.fill", "slides")).end();
        site.macro("second", set("mixer.fill", "titles"), say("second")).end();
        Stage stage = new Stage(site.site()).ready();
        stage.press("first");
        stage.press("first"); // one more is queued
        stage.report("mixer", "onAir", true); // the first waits for its promise
        stage.press("second"); // and that is not waited for any more, so the queued one runs, through to its promise
        stage.pass(5_000);
        assertThat(stage.events("say")).hasSize(1);
        assertThat(stage.events("done").stream().filter(e -> e.contains("macro=second"))).hasSize(1);
        assertThat(stage.events("run")).hasSameSizeAs(
                Stream.of("done", "failed", "stopped").flatMap(e -> stage.events(e).stream()).toList());
    }

    @Test
    void whatRunsWhenTheShowEndsIsStoppedInTheLog() {
        Stage stage = poem();
        stage.press("poem");
        stage.end();
        assertThat(stage.events("stopped")).singleElement().asString().contains("macro=poem", "the show ends");
        stage.pass(5_000);
        assertThat(stage.events("done")).isEmpty();
        assertThat(stage.events("failed")).isEmpty();
    }

    @Test
    void theLampShowsTheRunThenTheDoubtThenTheTruth() {
        Stage stage = poem();
        assertThat(stage.lamp("poem")).isEqualTo(Pattern.OFF);
        stage.press("poem");
        assertThat(stage.lamp("poem")).as("running").isEqualTo(Pattern.SLOW);
        stage.report("mixer", "fill", "slides", "left", 0, "onAir", false);
        stage.pass(200);
        assertThat(stage.core.running()).isEmpty();
        assertThat(stage.lamp("poem")).as("sent, not yet reported").isEqualTo(Pattern.SLOW);
        stage.report("mixer", "onAir", true);
        assertThat(stage.lamp("poem")).isEqualTo(Pattern.STEADY);
        assertThat(stage.events("done")).hasSize(1);
        stage.report("mixer", "fill", "stills");
        assertThat(stage.lamp("poem")).as("somebody changed it at the mixer").isEqualTo(Pattern.OFF);
    }

    @Test
    void anUntilThatIsNeverMetFailsOnTheLampAndSaysWhyAndTheSignGoesOutAgain() {
        Stage stage = poem();
        stage.press("poem");
        stage.pass(1000);
        assertThat(stage.events("failed")).singleElement().asString()
                .contains("mixer.fill should be slides and is slides (assumed) after 1000 ms");
        assertThat(stage.lamp("poem")).isEqualTo(Pattern.FAST);
        assertThat(stage.sent).doesNotContain("mixer dissolve!");
        stage.pass(10_000);
        assertThat(stage.lamp("poem")).isEqualTo(Pattern.SLOW);
    }

    @Test
    void aPromiseThatTheDeviceDoesNotConfirmFails() {
        Stage stage = poem();
        stage.press("poem");
        stage.report("mixer", "fill", "slides", "onAir", false);
        stage.pass(5000);
        assertThat(stage.events("failed")).singleElement().asString().contains("promise not kept")
                .contains("mixer.onAir");
    }

    @Test
    void whatFollowsFromAPressCarriesItsId() {
        Stage stage = poem();
        stage.press("poem");
        stage.report("mixer", "fill", "slides");
        stage.pass(300);
        stage.report("mixer", "onAir", true);
        for (String what : List.of("press", "run", "step", "send", "report", "met", "lamp", "done")) {
            assertThat(stage.events(what)).as(what).isNotEmpty().allSatisfy(e -> assertThat(e).startsWith("p1 "));
        }
    }

    @Test
    void waitsDoNotDriftWhenTimersAreLate() {
        Stage stage = new Stage(new TestSite()
                .macro("chain", pause(100), act("mixer.swap"), pause(100), act("mixer.swap"), pause(100),
                        act("mixer.swap"))
                .end().site()).ready();
        long start = stage.nowMs();
        stage.edge("chain", true);
        // Each timer is delivered 7 ms late: the chain's own time still counts from when each step was due.
        for (int i = 0; i < 3; i++) {
            Effect.StartTimer timer = (Effect.StartTimer) stage.effects.stream()
                    .filter(e -> e instanceof Effect.StartTimer(long _, long due)
                            && (due / 1_000_000 - start) % 100 == 0)
                    .toList().getLast();
            assertThat(timer.dueAt() / 1_000_000).isEqualTo(start + (i + 1) * 100);
            stage.put(new Input.Due(timer.dueAt() + 7_000_000, timer.timer()));
        }
        assertThat(stage.sent).hasSize(3);
    }

    @Test
    void bounceWithinTheLockoutIsOnePressAndTheReleaseIsNotLost() {
        Stage stage = new Stage(new TestSite().macro("go", act("mixer.swap")).end().site()).ready();
        // Longest bounce among the switches measured: 6.2 ms (J. Ganssle, A Guide to Debouncing).
        for (int i = 0; i < 6; i++) {
            stage.edge("go", i % 2 == 0);
            stage.pass(1);
        }
        stage.edge("go", true);
        stage.pass(100);
        assertThat(stage.events("press")).hasSize(1);
        stage.edge("go", false);
        stage.pass(3);
        stage.edge("go", true);
        stage.pass(1);
        stage.edge("go", false);
        stage.pass(100);
        stage.edge("go", true);
        assertThat(stage.events("press")).hasSize(2);
        assertThat(stage.events("release")).hasSize(1);
    }

    @Test
    void aTapShorterThanTheLockoutIsAPressAndARelease() {
        Stage stage = new Stage(new TestSite().macro("go", act("mixer.swap")).end().site()).ready();
        stage.edge("go", true);
        stage.pass(4);
        stage.edge("go", false);
        stage.pass(50);
        assertThat(stage.events("press")).hasSize(1);
        assertThat(stage.events("release")).hasSize(1);
    }

    @Test
    void aButtonHeldAtTheStartIsNotAPress() {
        Stage stage = new Stage(new TestSite().macro("go", act("mixer.swap")).end().site()).ready();
        stage.put(new Input.Found(stage.nowMs() * 1_000_000, "go", true));
        stage.pass(100);
        assertThat(stage.events("press")).isEmpty();
        stage.edge("go", false);
        stage.pass(100);
        stage.edge("go", true);
        assertThat(stage.events("press")).hasSize(1);
    }

    @Test
    void aHoldActsOnlyAfterItsTimeAndTheLampShowsIt() {
        TestSite site = new TestSite().macro("live", act("mixer.dissolve")).end().hold("guard", "live", 1500);
        Stage stage = new Stage(site.site()).ready();
        stage.edge("guard", true);
        assertThat(stage.lamp("guard")).isEqualTo(Pattern.FAST);
        stage.pass(1400);
        stage.edge("guard", false);
        stage.pass(2000);
        assertThat(stage.sent).isEmpty();
        assertThat(stage.lamp("guard")).isEqualTo(Pattern.OFF);
        stage.edge("guard", true);
        stage.pass(1500);
        assertThat(stage.sent).containsExactly("mixer dissolve!");
    }

    @Test
    void aKnobIsPacedAndItsLastValueArrives() {
        Stage stage = new Stage(new TestSite().knob("left", "mixer.left", 1).site()).ready();
        for (int i = 0; i < 300; i++) { // one second at 300 detents a second
            stage.put(new Input.Turned(stage.nowMs() * 1_000_000, "left", 1));
            stage.pass(i % 3 == 0 ? 4 : 3);
        }
        stage.pass(100);
        assertThat(stage.sent.size()).isBetween(30, 60);
        assertThat(stage.sent).endsWith("mixer left=300");
        for (int i = 1; i < stage.sentAtMs.size(); i++) {
            assertThat(stage.sentAtMs.get(i) - stage.sentAtMs.get(i - 1)).isGreaterThanOrEqualTo(20);
        }
    }

    @Test
    void aKnobStopsAtTheEndOfItsRangeAndDoesNothingWhereTheValueIsUnknown() {
        Stage stage = new Stage(
                new TestSite().knob("left", "mixer.left", 400).knob("speed", "camera.speed", 0.1).site());
        stage.ready();
        stage.put(new Input.Turned(stage.nowMs() * 1_000_000, "left", 5));
        assertThat(stage.sent).containsExactly("mixer left=1000");
        stage.put(new Input.Turned(stage.nowMs() * 1_000_000, "speed", 1));
        assertThat(stage.sent).hasSize(1);
        assertThat(stage.events("note")).last().asString().contains("camera.speed is not known");
    }

    @Test
    void aKnobReadAsQuadratureCountsDetentsAndDropsImpossibleJumps() {
        Stage stage = new Stage(new TestSite().knob("left", "mixer.left", 1).site()).ready();
        for (int detent = 0; detent < 3; detent++) {
            stage.edge("left.b", true);
            stage.edge("left.a", true);
            stage.edge("left.a", false); // bounce
            stage.edge("left.a", true);
            stage.edge("left.b", false);
            stage.edge("left.a", false);
            stage.pass(50);
        }
        assertThat(stage.sent).endsWith("mixer left=3");
    }

    @Test
    void bounceThatArrivesLateIsBounceStill() {
        Stage stage = new Stage(new TestSite().macro("go", act("mixer.swap")).end().site()).ready();
        long ms = 1_000_000;
        long down = stage.nowMs() * ms;
        stage.edge("go", true);
        stage.pass(100); // the core had other things to do, and the lock-out is long over
        for (int i = 1; i <= 6; i++) {
            stage.put(new Input.Contact(down + i * ms, "go", i % 2 == 0));
        }
        stage.pass(100);
        assertThat(stage.events("press")).hasSize(1);
        assertThat(stage.events("release")).isEmpty();
        stage.put(new Input.Contact(down + 7 * ms, "go", false));
        stage.pass(100);
        assertThat(stage.events("release")).hasSize(1);
    }

    @Test
    void macrosInOneLaneNeverInterleave() {
        TestSite site = new TestSite();
        site.macro("one", set("mixer.fill", "slides"), pause(300), act("mixer.dissolve")).lane("keyer").end();
        site.macro("two", set("mixer.fill", "stills"), pause(300), act("mixer.swap")).lane("keyer").end();
        Stage stage = new Stage(site.site()).ready();
        stage.press("one");
        stage.press("two");
        stage.pass(1000);
        assertThat(stage.sent).containsExactly("mixer fill=slides", "mixer dissolve!", "mixer fill=stills",
                "mixer swap!");
        assertThat(stage.events("waits")).hasSize(1);
    }

    @Test
    void aMacroOvertakenByOneThatWaitedForItsLaneHasNotFailed() {
        TestSite site = new TestSite();
        site.macro("one", set("mixer.fill", "slides"), pause(300)).lane("keyer").promise(is("mixer.fill", "slides"))
                .end();
        site.macro("two", set("mixer.fill", "stills"), pause(300)).lane("keyer").end();
        Stage stage = new Stage(site.site()).ready();
        stage.press("one");
        stage.press("two");
        stage.pass(5000);
        assertThat(stage.events("failed")).isEmpty();
        assertThat(stage.events("done").getFirst()).contains("macro=one", "since two has started");
    }

    @Test
    void aSecondPressDoesWhatTheMacroSays() {
        for (Macro.Again again : Macro.Again.values()) {
            TestSite site = new TestSite();
            site.macro("go", act("mixer.swap"), pause(300), act("mixer.dissolve")).again(again).end();
            Stage stage = new Stage(site.site()).ready();
            stage.press("go");
            stage.pass(50);
            stage.press("go");
            stage.pass(50);
            stage.press("go");
            stage.pass(2000);
            assertThat(stage.sent).as(again.word()).isEqualTo(switch (again) {
                case IGNORE -> List.of("mixer swap!", "mixer dissolve!");
                case RESTART -> List.of("mixer swap!", "mixer swap!", "mixer swap!", "mixer dissolve!");
                case QUEUE -> List.of("mixer swap!", "mixer dissolve!", "mixer swap!", "mixer dissolve!");
            });
            assertThat(stage.core.running()).isEmpty();
        }
    }

    @Test
    void aDownLinkFailsTheMacroAtOnceAndSendsNothing() {
        Stage stage = poem();
        stage.link("mixer", LinkState.DOWN);
        assertThat(stage.lamp("poem")).isEqualTo(Pattern.PULSE);
        stage.press("poem");
        assertThat(stage.sent).isEmpty();
        assertThat(stage.events("failed")).singleElement().asString().contains("the link to mixer is down");
        assertThat(stage.lamp("poem")).isEqualTo(Pattern.FAST);
        stage.pass(10_000);
        assertThat(stage.lamp("poem")).isEqualTo(Pattern.PULSE);
    }

    @Test
    void aDeviceThatComesBackIsAskedAndNothingOldIsBelievedOrSent() {
        Stage stage = poem();
        stage.report("mixer", "onAir", true, "fill", "slides");
        assertThat(stage.lamp("poem")).isEqualTo(Pattern.STEADY);
        stage.link("mixer", LinkState.DOWN);
        assertThat(stage.core.belief(ref("mixer.onAir")).basis()).isEqualTo(Belief.Basis.UNKNOWN);
        stage.link("mixer", LinkState.UP);
        assertThat(stage.sent).containsExactly("mixer onAir?", "mixer fill?", "mixer left?");
        assertThat(stage.lamp("poem")).isEqualTo(Pattern.PULSE);
        stage.report("mixer", "onAir", false, "fill", "slides");
        assertThat(stage.lamp("poem")).isEqualTo(Pattern.OFF);
    }

    @Test
    void aDeviceThatWasSilentIsNotBelievedUntilItHasBeenAsked() {
        Stage stage = poem();
        stage.report("mixer", "onAir", true, "fill", "slides");
        stage.link("mixer", LinkState.STALE);
        assertThat(stage.lamp("poem")).isEqualTo(Pattern.PULSE);
        stage.link("mixer", LinkState.UP);
        assertThat(stage.lamp("poem")).as("it may have been switched off and on meanwhile").isEqualTo(Pattern.PULSE);
        assertThat(stage.sent).contains("mixer onAir?", "mixer fill?");
    }

    @Test
    void propertiesThatOneAnswerTellsAreAskedForOnce() {
        Stage stage = new Stage(new TestSite().site());
        stage.link("camera", LinkState.UP);
        assertThat(stage.sent).containsExactly("camera pan?");
        stage.outcome("camera", "camera pan?", new Outcome.Done());
        stage.link("camera", LinkState.DOWN);
        stage.link("camera", LinkState.UP);
        assertThat(stage.sent).containsExactly("camera pan?", "camera pan?");
    }

    @Test
    void aQuestionThatWasLostIsPutAgainAFewTimes() {
        Stage stage = new Stage(new TestSite().macro("go", act("mixer.swap")).end().site());
        stage.link("mixer", LinkState.UP);
        for (int i = 0; i < 10; i++) {
            stage.outcome("mixer", "mixer fill?", new Outcome.Failed("no answer"));
            stage.pass(2000);
        }
        assertThat(stage.sent.stream().filter("mixer fill?"::equals)).hasSize(4);
    }

    @Test
    void aRefusalFailsTheMacroAndTheEarlierReportStands() {
        Stage stage = poem();
        stage.press("poem");
        stage.outcome("mixer", "mixer fill=slides", new Outcome.Refused("locked"));
        assertThat(stage.core.belief(ref("mixer.fill")).value()).contains(Value.of("titles"));
        assertThat(stage.events("failed")).singleElement().asString()
                .contains("mixer refused to set fill to slides: locked");
        assertThat(stage.lamp("poem")).isEqualTo(Pattern.FAST);
        assertThat(stage.sent).contains("mixer fill?");
    }

    @Test
    void whatNobodyReportsIsAFactOnceSent() {
        TestSite site = new TestSite();
        site.macro("slow", set("camera.speed", 0.2)).promise(is("camera.speed", 0.2)).end();
        Stage stage = new Stage(site.site()).ready();
        assertThat(stage.lamp("slow")).isEqualTo(Pattern.PULSE);
        stage.press("slow");
        assertThat(stage.lamp("slow")).isEqualTo(Pattern.STEADY);
    }

    @Test
    void aRuleThatIsPassedOverOnAnAssumptionIsNotShownAsFactEither() {
        TestSite site = new TestSite().lamp("air", rule(is("mixer.onAir", true), Pattern.STEADY),
                rule(null, Pattern.OFF));
        site.macro("off", set("mixer.onAir", false)).end();
        Stage stage = new Stage(site.site()).ready();
        stage.report("mixer", "onAir", true);
        stage.press("off");
        assertThat(stage.lamp("air")).isEqualTo(Pattern.SLOW);
        stage.report("mixer", "onAir", false);
        assertThat(stage.lamp("air")).isEqualTo(Pattern.OFF);
    }

    @Test
    void anAnswerToAnOlderQuestionDoesNotOverrideANewerSet() {
        Stage stage = new Stage(new TestSite().macro("go", set("mixer.fill", "slides")).end().site());
        stage.link("mixer", LinkState.UP);
        stage.press("go");
        stage.put(new Input.Reported(stage.nowMs() * 1_000_000, "mixer", Map.of("fill", Value.of("titles")),
                stage.requestOf.get("mixer fill?")));
        assertThat(stage.core.belief(ref("mixer.fill")))
                .matches(b -> b.basis() == Belief.Basis.ASSUMED && b.value().equals(Optional.of(Value.of("slides"))));
    }

    @Test
    void aDeviceThatSaysNothingWhereNothingHasChangedIsAsked() {
        Stage stage = new Stage(new TestSite().macro("go", set("mixer.fill", "titles")).end().site()).ready();
        stage.press("go");
        stage.outcome("mixer", "mixer fill=titles", new Outcome.Sent());
        stage.pass(1000);
        assertThat(stage.sent).containsExactly("mixer fill=titles", "mixer fill?");
        stage.report("mixer", "fill", "titles");
        stage.pass(1000);
        assertThat(stage.sent).hasSize(2);
    }

    @Test
    void whatWasOnBeforeIsPutBack() {
        TestSite site = new TestSite();
        site.macro("peek", new Step.Remember(ref("mixer.fill"), Source.NONE), set("mixer.fill", "stills"), pause(100),
                new Step.Restore(ref("mixer.fill"), Source.NONE)).end();
        Stage stage = new Stage(site.site()).ready();
        stage.press("peek");
        stage.pass(200);
        assertThat(stage.sent).containsExactly("mixer fill=stills", "mixer fill=titles");
    }

    @Test
    void aToggleOfAnUnknownStaysUnknown() {
        Stage stage = new Stage(new TestSite().macro("swap", act("mixer.swap")).end().site());
        stage.link("mixer", LinkState.UP);
        stage.press("swap");
        assertThat(stage.core.belief(ref("mixer.onAir")).value()).isEqualTo(Optional.empty());
        stage.report("mixer", "onAir", true);
        stage.press("swap");
        assertThat(stage.core.belief(ref("mixer.onAir")).value()).contains(Value.of(false));
    }

    @Test
    void failuresGoToTheFallbackAndInnerMacrosDecideFirst() {
        TestSite site = new TestSite();
        site.macro("safe", set("mixer.onAir", false)).end();
        site.macro("inner", until(is("mixer.fill", "slides"), 100), say("not reached")).end();
        site.macro("outer", new Step.Run("inner", Source.NONE), say("not reached either"))
                .onFailure(new Step.Otherwise.Instead("safe")).end();
        site.macro("careless", new Step.Run("inner", Source.NONE), say("goes on"))
                .onFailure(new Step.Otherwise.GoOn()).end();
        Stage stage = new Stage(site.site()).ready();
        stage.press("outer");
        stage.pass(200);
        assertThat(stage.sent).containsExactly("mixer onAir=false");
        assertThat(stage.events("failed")).hasSize(1);
        assertThat(stage.events("say")).isEmpty();
        stage.press("careless");
        stage.pass(200);
        assertThat(stage.events("say")).singleElement().asString().contains("goes on");
        assertThat(stage.events("failed")).hasSize(1);
    }

    @Test
    void anIfTakesItsBranch() {
        TestSite site = new TestSite();
        site.macro("choose", new Step.If(is("mixer.fill", "titles"), List.of(act("mixer.dissolve")),
                List.of(act("mixer.swap")), Source.NONE)).end();
        Stage stage = new Stage(site.site()).ready();
        stage.press("choose");
        stage.report("mixer", "fill", "slides");
        stage.pass(50);
        stage.press("choose");
        assertThat(stage.sent).containsExactly("mixer dissolve!", "mixer swap!");
    }

    @Test
    void aStopGoesAheadOfEverythingThatWaitsAndNoMoveFollowsIt() {
        TestSite site = new TestSite().limits(new Limits(8, 8, 100, 2, 10, 100));
        site.macro("move", set("mixer.left", 1), set("mixer.left", 2), act("mixer.swap")).end();
        site.macro("halt", act("mixer.stop")).end();
        Stage stage = new Stage(site.site()).ready();
        stage.edge("move", true);
        assertThat(stage.sent).containsExactly("mixer left=1");
        stage.edge("halt", true);
        assertThat(stage.sent).as("the queue is full").startsWith("mixer left=1", "mixer stop!");
        stage.pass(200);
        assertThat(stage.sent).contains("mixer swap!").doesNotContain("mixer left=2");
        assertThat(stage.events("unsent")).singleElement().asString().contains("stop went ahead of it");
        assertThat(stage.lamp("move")).isEqualTo(Pattern.FAST);
        assertThat(stage.lamp("halt")).isNotEqualTo(Pattern.FAST);
    }

    @Test
    void limitsHoldAndSaySo() {
        TestSite site = new TestSite().limits(new Limits(2, 8, 5, 3, 10, 100));
        site.macro("long", say("1"), say("2"), say("3"), say("4"), say("5"), say("6")).end();
        site.macro("a", pause(1000)).end();
        site.macro("b", pause(1000)).end();
        site.macro("c", pause(1000)).end();
        site.macro("flood", set("mixer.left", 1), set("mixer.left", 2), act("mixer.swap"), act("mixer.swap"),
                act("mixer.swap")).end();
        Stage stage = new Stage(site.site()).ready();
        stage.press("long");
        assertThat(stage.events("failed")).singleElement().asString().contains("limit stepsPerPress");
        stage.press("flood");
        assertThat(stage.events("failed")).last().asString().contains("limit waitingSends");
        stage.press("a");
        stage.press("b");
        stage.press("c");
        assertThat(stage.events("refused")).singleElement().asString().contains("limit runs");
        assertThat(stage.lamp("c")).isEqualTo(Pattern.FAST);
    }

    @Test
    void theSameInputsGiveTheSameEffects() {
        Stage one = poem();
        Stage two = poem();
        for (Stage stage : List.of(one, two)) {
            stage.press("poem");
            stage.report("mixer", "fill", "slides");
            stage.pass(250);
            stage.link("camera", LinkState.DOWN);
            stage.report("mixer", "onAir", true);
            stage.pass(100);
        }
        assertThat(one.effects).isEqualTo(two.effects);
    }

    @Test
    void monotonicTimeMayBeginBelowZero() {
        Core core = new Core(new TestSite().macro("slow", pause(100), say("here")).end().site());
        List<Effect> effects = new ArrayList<>();
        core.accept(new Input.Started(-5_000_000_000L), effects::add);
        core.accept(new Input.Asked(-4_000_000_000L, "slow"), effects::add);
        assertThat(effects).anySatisfy(effect -> assertThat(effect).isInstanceOfSatisfying(Effect.StartTimer.class,
                timer -> assertThat(timer.dueAt()).isEqualTo(-3_900_000_000L)));
    }

    @Test
    void aQuestionAfterASetIsPutAgainHoweverOftenItWasNotAnsweredBefore() {
        Stage stage = new Stage(new TestSite().macro("stills", set("mixer.fill", "stills")).end().site()).ready();
        for (int times = 0; times < 2; times++) {
            stage.press("stills");
            stage.outcome("mixer", "mixer fill=stills", new Outcome.Sent());
            stage.news();
            int asked = 0;
            for (int i = 0; i < 10; i++) {
                stage.pass(2_500);
                if (stage.news().contains("mixer fill?")) {
                    asked++;
                    stage.outcome("mixer", "mixer fill?", new Outcome.Failed("no answer"));
                }
            }
            assertThat(asked).isEqualTo(4);
        }
    }
}
