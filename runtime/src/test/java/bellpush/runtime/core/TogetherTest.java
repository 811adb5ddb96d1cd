package bellpush.runtime.core;

import static bellpush.runtime.core.TestSite.*;
import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.LinkState;
import bellpush.config.model.Source;
import bellpush.config.model.Step;
import bellpush.drivers.spi.Outcome;
import java.util.List;
import org.junit.jupiter.api.Test;

/** Branches side by side. */
class TogetherTest {
    @Test
    void branchesGoOnByThemselvesAndTheChainWhenAllAreDone() {
        TestSite site = new TestSite();
        site.macro("go",
                together(List.of(pause(100), act("mixer.swap"), pause(100), act("mixer.dissolve")),
                        List.of(set("camera.speed", 0.1), pause(250), set("camera.speed", 0.2))),
                pause(50), set("mixer.fill", "stills")).end();
        Stage stage = new Stage(site.site()).ready();
        long start = stage.nowMs();
        stage.edge("go", true);
        stage.pass(1000);
        assertThat(stage.sent).containsExactly("camera speed=0.1", "mixer swap!", "mixer dissolve!", "camera speed=0.2",
                "mixer fill=stills");
        assertThat(stage.sentAtMs).extracting(at -> at - start).containsExactly(0L, 100L, 200L, 250L, 300L);
        assertThat(stage.events("done")).hasSize(1);
    }

    @Test
    void branchesThatNeedNoTimeAreDoneAtOnceAndEmptyOnesToo() {
        TestSite site = new TestSite();
        site.macro("go", together(List.of(act("mixer.swap")), List.of(), List.of(set("camera.speed", 0.1))),
                act("mixer.dissolve")).end();
        Stage stage = new Stage(site.site()).ready();
        stage.press("go");
        assertThat(stage.sent).containsExactly("mixer swap!", "camera speed=0.1", "mixer dissolve!");
    }

    @Test
    void ifOneFailsTheOthersAreStoppedAndTheStepFails() {
        TestSite site = new TestSite();
        site.macro("go", together(List.of(until(is("mixer.fill", "slides"), 100), say("no")),
                List.of(pause(200), say("no either")), List.of(together(List.of(pause(300), say("nor this")))))).end();
        Stage stage = new Stage(site.site()).ready();
        stage.press("go");
        stage.pass(1000);
        assertThat(stage.events("say")).isEmpty();
        assertThat(stage.events("failed")).singleElement().asString().contains("mixer.fill should be slides");
        assertThat(stage.core.running()).isEmpty();
    }

    @Test
    void theTogetherItselfMayGoOnAndComesBeforeTheMacrosFallback() {
        TestSite site = new TestSite();
        site.macro("safe", say("safe")).end();
        site.macro("go", orGoOn(together(List.of(until(is("mixer.fill", "slides"), 100), say("no")),
                List.of(pause(200), say("no either")))), pause(50), say("after"))
                .onFailure(new Step.Otherwise.Instead("safe"))
                .end();
        Stage stage = new Stage(site.site()).ready();
        stage.edge("go", true);
        stage.pass(149);
        assertThat(stage.events("say")).isEmpty();
        stage.pass(1);
        assertThat(stage.events("say")).singleElement().asString().contains("after");
        assertThat(stage.events("done")).hasSize(1);
    }

    @Test
    void aFallbackEndsAllBranches() {
        TestSite site = new TestSite();
        site.macro("safe", set("mixer.onAir", false)).end();
        site.macro("go", together(List.of(pause(50), set("camera.speed", 1)), List.of(pause(100), act("mixer.swap"))))
                .onFailure(new Step.Otherwise.Instead("safe")).end();
        Stage stage = new Stage(site.site()).ready();
        stage.link("camera", LinkState.DOWN);
        stage.press("go");
        stage.pass(500);
        assertThat(stage.sent).containsExactly("mixer onAir=false");
    }

    @Test
    void aMacroThatGoesOnDoesSoWithinTheBranch() {
        TestSite site = new TestSite();
        site.macro("go", together(List.of(set("camera.speed", 1), act("mixer.swap")), List.of(pause(50))),
                act("mixer.dissolve")).onFailure(new Step.Otherwise.GoOn()).end();
        Stage stage = new Stage(site.site()).ready();
        stage.link("camera", LinkState.DOWN);
        stage.press("go");
        stage.pass(100);
        assertThat(stage.sent).containsExactly("mixer swap!", "mixer dissolve!");
    }

    @Test
    void aRefusalThatComesAfterItsBranchHasEndedFailsTheRestToo() {
        TestSite site = new TestSite();
        site.macro("go", together(List.of(act("mixer.swap")), List.of(pause(200), act("mixer.dissolve")))).end();
        Stage stage = new Stage(site.site()).ready();
        stage.press("go");
        stage.outcome("mixer", "mixer swap!", new Outcome.Refused("no"));
        stage.pass(500);
        assertThat(stage.sent).containsExactly("mixer swap!", "mixer onAir?");
        assertThat(stage.events("failed")).hasSize(1);
    }

    @Test
    void whatABranchRemembersIsRememberedAfterwards() {
        TestSite site = new TestSite();
        site.macro("go",
                together(List.of(new Step.Remember(ref("mixer.fill"), Source.NONE), set("mixer.fill", "stills")),
                        List.of(pause(50))),
                new Step.Restore(ref("mixer.fill"), Source.NONE)).end();
        Stage stage = new Stage(site.site()).ready();
        stage.press("go");
        stage.pass(100);
        assertThat(stage.sent).containsExactly("mixer fill=stills", "mixer fill=titles");
    }

    @Test
    void aMacroRunInABranchKeepsToItsTimeAndFailsTheBranch() {
        TestSite site = new TestSite();
        site.macro("inner", pause(400)).within(200).end();
        site.macro("go", together(List.of(run("inner")), List.of(pause(300), say("no")))).end();
        Stage stage = new Stage(site.site()).ready();
        stage.press("go");
        stage.pass(1000);
        assertThat(stage.events("failed")).singleElement().asString().contains("inner took longer than");
        assertThat(stage.events("say")).isEmpty();
    }

    @Test
    void theStepsOfAllBranchesCountTowardsTheLimit() {
        TestSite site = new TestSite().limits(new bellpush.config.model.Limits(8, 8, 6, 8, 10, 100));
        site.macro("go",
                together(List.of(say("1"), say("2"), say("3")), List.of(say("4"), say("5"), say("6"), say("7"))))
                .end();
        Stage stage = new Stage(site.site()).ready();
        stage.press("go");
        assertThat(stage.events("failed")).singleElement().asString().contains("limit stepsPerPress");
        assertThat(stage.events("say")).hasSize(5);
    }
}
