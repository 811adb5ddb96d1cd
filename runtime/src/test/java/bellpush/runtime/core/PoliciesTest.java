package bellpush.runtime.core;

import static bellpush.runtime.core.TestSite.*;
import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Condition;
import bellpush.config.model.LinkState;
import bellpush.config.model.Look.Pattern;
import bellpush.config.model.Macro;
import bellpush.config.model.Step;
import bellpush.drivers.spi.Outcome;
import org.junit.jupiter.api.Test;

/** What a step and a macro say of failing, how long a macro may take, and how many presses may wait. */
class PoliciesTest {
    @Test
    void aStepsOwnWordComesBeforeItsMacros() {
        TestSite site = new TestSite();
        site.macro("safe", set("mixer.onAir", false)).end();
        site.macro("plain", orGoOn(set("camera.speed", 1)), act("mixer.swap"), set("camera.speed", 1), say("no")).end();
        site.macro("strict", orStop(set("camera.speed", 1)), say("no")).onFailure(new Step.Otherwise.GoOn()).end();
        site.macro("careful", orRun(set("camera.speed", 1), "safe"), say("no")).onFailure(new Step.Otherwise.GoOn())
                .end();
        Stage stage = new Stage(site.site()).ready();
        stage.link("camera", LinkState.DOWN);
        stage.press("plain");
        assertThat(stage.sent).containsExactly("mixer swap!");
        assertThat(stage.events("note")).first().asString()
                .contains("the link to camera is down; going on as the step says");
        stage.press("strict");
        stage.press("careful");
        assertThat(stage.sent).containsExactly("mixer swap!", "mixer onAir=false");
        assertThat(stage.events("failed")).hasSize(3);
        assertThat(stage.events("say")).isEmpty();
    }

    @Test
    void aRefusalThatComesLaterIsDecidedByTheStepThatSent() {
        TestSite site = new TestSite();
        site.macro("go", orGoOn(set("mixer.fill", "slides")), pause(100), act("mixer.swap"), pause(100),
                act("mixer.dissolve")).end();
        Stage stage = new Stage(site.site()).ready();
        stage.press("go");
        stage.outcome("mixer", "mixer fill=slides", new Outcome.Refused("locked"));
        stage.pass(50);
        assertThat(stage.events("failed")).isEmpty();
        stage.outcome("mixer", "mixer swap!", new Outcome.Refused("locked too"));
        assertThat(stage.events("failed")).singleElement().asString().contains("locked too");
        stage.pass(500);
        assertThat(stage.sent).doesNotContain("mixer dissolve!");
    }

    @Test
    void aMacroThatWasRunDecidesOnWhatItSentThoughItIsOver() {
        TestSite site = new TestSite();
        site.macro("inner", set("mixer.fill", "slides")).onFailure(new Step.Otherwise.GoOn()).end();
        site.macro("outer", run("inner"), pause(100), act("mixer.swap")).end();
        Stage stage = new Stage(site.site()).ready();
        stage.press("outer");
        stage.outcome("mixer", "mixer fill=slides", new Outcome.Refused("locked"));
        stage.pass(200);
        assertThat(stage.events("failed")).isEmpty();
        assertThat(stage.sent).contains("mixer swap!");
    }

    @Test
    void aRunStepThatGoesOnLeavesTheInnerMacroAtItsFailingStep() {
        TestSite site = new TestSite();
        site.macro("inner", until(is("mixer.fill", "slides"), 100), say("inner goes on")).end();
        site.macro("outer", orGoOn(run("inner")), say("outer goes on")).end();
        Stage stage = new Stage(site.site()).ready();
        stage.press("outer");
        stage.pass(200);
        assertThat(stage.events("say")).singleElement().asString().contains("outer goes on");
        assertThat(stage.events("done")).hasSize(1);
    }

    /** Of two messages that are refused, the second must not end what puts things right after the first. */
    @Test
    void aSecondRefusalDoesNotEndTheFallback() {
        TestSite site = new TestSite();
        site.macro("safe", set("mixer.onAir", false), pause(100), act("mixer.swap")).end();
        site.macro("go", set("mixer.fill", "slides"), set("mixer.left", 5), pause(500))
                .onFailure(new Step.Otherwise.Instead("safe")).end();
        Stage stage = new Stage(site.site()).ready();
        stage.press("go");
        stage.outcome("mixer", "mixer fill=slides", new Outcome.Refused("no"));
        stage.outcome("mixer", "mixer left=5", new Outcome.Refused("no"));
        stage.pass(200);
        assertThat(stage.sent).contains("mixer onAir=false", "mixer swap!");
        assertThat(stage.events("failed")).singleElement().asString().contains("refused to set fill to slides");
    }

    @Test
    void theWaitsOfAFallbackCountFromTheFailure() {
        TestSite site = new TestSite();
        site.macro("safe", pause(100), act("mixer.swap")).end();
        site.macro("go", act("mixer.dissolve"), pause(5000)).onFailure(new Step.Otherwise.Instead("safe")).end();
        Stage stage = new Stage(site.site()).ready();
        stage.edge("go", true);
        stage.outcome("mixer", "mixer dissolve!", new Outcome.Refused("no"));
        long failedAt = stage.nowMs();
        stage.pass(1000);
        assertThat(stage.sent).endsWith("mixer swap!");
        assertThat(stage.sentAtMs.getLast()).isEqualTo(failedAt + 100);
    }

    @Test
    void aFallbackMayGoOnAsItSays() {
        TestSite site = new TestSite();
        site.macro("safe", set("camera.speed", 0), set("mixer.onAir", false)).onFailure(new Step.Otherwise.GoOn())
                .end();
        site.macro("go", until(is("mixer.fill", "slides"), 100)).onFailure(new Step.Otherwise.Instead("safe")).end();
        Stage stage = new Stage(site.site()).ready();
        stage.link("camera", LinkState.DOWN);
        stage.press("go");
        stage.pass(200);
        assertThat(stage.sent).containsExactly("mixer onAir=false");
    }

    @Test
    void aMacroThatTakesTooLongFailsAndSaysSo() {
        TestSite site = new TestSite();
        site.macro("safe", set("mixer.onAir", false)).end();
        site.macro("slow", pause(400), act("mixer.swap"), pause(400), act("mixer.dissolve")).within(500)
                .onFailure(new Step.Otherwise.Instead("safe")).end();
        Stage stage = new Stage(site.site()).ready();
        stage.press("slow");
        stage.pass(2000);
        assertThat(stage.sent).containsExactly("mixer swap!", "mixer onAir=false");
        assertThat(stage.events("failed")).singleElement().asString()
                .contains("slow took longer than 500 ms (within)");
        assertThat(stage.lamp("slow")).isEqualTo(Pattern.FAST);
    }

    @Test
    void theTimeCountsFromWhenItHasItsLanesAndNotTheWaitForAPromise() {
        TestSite site = new TestSite();
        site.macro("first", pause(900)).lane("keyer").end();
        site.macro("second", pause(400), set("mixer.onAir", true)).lane("keyer").within(500)
                .promise(is("mixer.onAir", true)).end();
        Stage stage = new Stage(site.site()).ready();
        stage.press("first");
        stage.press("second");
        stage.pass(2000);
        stage.report("mixer", "onAir", true);
        assertThat(stage.events("failed")).isEmpty();
        assertThat(stage.events("done")).hasSize(2);
    }

    @Test
    void aMacroRunByAnotherHasItsOwnTimeWhereThatEndsSooner() {
        TestSite site = new TestSite();
        site.macro("inner", pause(400), say("too late")).within(300).onFailure(new Step.Otherwise.GoOn()).end();
        site.macro("outer", orGoOn(run("inner")), say("goes on"), pause(400)).within(5000).end();
        Stage stage = new Stage(site.site()).ready();
        stage.press("outer");
        stage.pass(2000);
        assertThat(stage.events("say")).singleElement().asString().contains("goes on");
        assertThat(stage.events("done")).hasSize(1);
    }

    @Test
    void asManyPressesWaitAsTheMacroSays() {
        TestSite site = new TestSite();
        site.macro("go", act("mixer.swap"), pause(1000)).queue(2).end();
        Stage stage = new Stage(site.site()).ready();
        for (int i = 0; i < 5; i++) {
            stage.press("go");
        }
        stage.pass(10_000);
        assertThat(stage.sent).hasSize(3);
        assertThat(stage.events("queued")).hasSize(2);
        assertThat(stage.events("ignored")).hasSize(2).last().asString().contains("2 more runs are waiting already");
        assertThat(stage.events("run")).extracting(e -> e.substring(0, 3)).containsExactly("p1 ", "p2 ", "p3 ");
    }

    @Test
    void macrosOfOneFamilyAreOneForPressesAndConditions() {
        TestSite site = new TestSite();
        site.lamp("any", rule(new Condition.Running("preset"), Pattern.STEADY));
        site.macro("preset to=1", act("mixer.swap"), pause(500)).family("preset").again(Macro.Again.RESTART).end();
        site.macro("preset to=2", act("mixer.dissolve"), pause(500)).family("preset").again(Macro.Again.RESTART).end();
        site.macro("shot to=1", pause(500)).family("shot").queue(2).end();
        site.macro("shot to=2", act("mixer.swap")).family("shot").queue(2).end();
        Stage stage = new Stage(site.site()).ready();
        stage.press("preset to=1");
        assertThat(stage.lamp("any")).isEqualTo(Pattern.STEADY);
        stage.press("preset to=2");
        assertThat(stage.events("stopped")).singleElement().asString().contains("macro=preset to=1");
        assertThat(stage.core.running()).containsExactly("preset to=2");
        stage.pass(1000);
        stage.news();
        stage.press("shot to=1");
        stage.press("shot to=2");
        assertThat(stage.news()).isEmpty();
        stage.pass(500);
        assertThat(stage.news()).containsExactly("mixer swap!");
    }
}
