package bellpush.runtime.core;

import static bellpush.runtime.core.GlideSite.glide;
import static bellpush.runtime.core.TestSite.*;
import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Ease;
import bellpush.config.model.LinkState;
import bellpush.config.model.Operand;
import bellpush.config.model.Source;
import bellpush.config.model.Step;
import java.time.Duration;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;

/** Glides among the other steps: in branches, with values that are looked up, failing, taken over and stopped. */
class GlidesInMacrosTest {
    private static GlideStage known(TestSite site) {
        GlideStage stage = new GlideStage(GlideSite.of(site));
        stage.place("head.pan", 0);
        stage.place("head.tilt", 0);
        stage.place("desk.music", 0);
        stage.place("desk.speech", -60);
        stage.place("curtain.open", 0);
        stage.events.clear();
        return stage;
    }

    private static List<String> texts(GlideStage stage, String what) {
        return stage.events(what).stream().map(Object::toString).toList();
    }

    @Test
    void branchesGlideForAsLongAsEachOfThemTakes() {
        GlideStage stage = known(new TestSite().macro("go",
                together(List.of(glide(2_000, Ease.BOTH, "head.pan", 30), say("turned")),
                        List.of(glide(500, Ease.EVEN, "desk.music", -20), glide(500, Ease.EVEN, "desk.music", -10)),
                        List.of(glide(1_000, Ease.BOTH, "curtain.open", 80))),
                set("desk.speech", 0)).end());
        stage.press("go");
        stage.pass(1_900);
        assertThat(stage.at("desk.music")).isEqualTo(-10);
        assertThat(stage.at("desk.speech")).isEqualTo(-60);
        stage.pass(200);
        assertThat(stage.at("head.pan")).isEqualTo(30);
        assertThat(stage.at("desk.speech")).isZero();
        assertThat(stage.events("done")).hasSize(1);
    }

    @Test
    void aBranchThatFailsStopsTheGlideOfTheOther() {
        GlideStage stage = known(new TestSite().macro("go", together(List.of(glide(5_000, Ease.EVEN, "head.pan", 90)),
                List.of(pause(1_000), until(is("desk.speech", 0), 100)))).end());
        stage.press("go");
        stage.pass(1_000);
        assertThat(stage.speed("head.pan.speed")).isNotZero();
        stage.pass(200);
        assertThat(stage.speed("head.pan.speed")).isZero();
        assertThat(stage.events("failed")).hasSize(1);
    }

    @Test
    void targetsAreLookedUpWhenTheStepBegins() {
        Map<bellpush.config.model.PropertyRef, Operand> targets = new LinkedHashMap<>();
        targets.put(ref("desk.speech"), new Operand.Present(ref("desk.music")));
        targets.put(ref("desk.music"), new Operand.By(-15));
        GlideStage stage = known(new TestSite().macro("cross",
                new Step.Glide(targets, Duration.ofMillis(500), Ease.EVEN, Source.NONE)).end());
        stage.place("desk.music", -5);
        stage.press("cross");
        stage.pass(600);
        assertThat(stage.at("desk.speech")).isEqualTo(-5);
        assertThat(stage.at("desk.music")).isEqualTo(-20);
    }

    @Test
    void aTargetThatIsNotKnownFailsTheStepAndNothingMoves() {
        GlideStage stage = known(new TestSite().macro("lift",
                new Step.Glide(Map.of(ref("head.lift"), new Operand.By(0.1)), Duration.ofMillis(500), Ease.EVEN,
                        Source.NONE))
                .end());
        stage.press("lift");
        stage.pass(600);
        assertThat(texts(stage, "failed")).singleElement().asString()
                .contains("head.lift is not known, so it cannot be changed by 0.1");
        assertThat(stage.sent).isEmpty();
    }

    @Test
    void aGlideThatIsRefusedGoesOnAtOnceWhereItsStepSaysSo() {
        GlideStage stage = known(
                new TestSite().macro("go", orGoOn(glide(5_000, Ease.EVEN, "curtain.open", 80)), say("on")).end());
        stage.refusing = true;
        stage.press("go");
        stage.pass(10);
        assertThat(texts(stage, "say")).hasSize(1);
        assertThat(stage.events("done")).hasSize(1);
    }

    @Test
    void whatIsTakenOverWhileItGlidesStandsBeforeItTidiesUp() {
        TestSite site = new TestSite();
        site.macro("tidy", set("desk.speech", -30)).end();
        site.macro("sweep", glide(5_000, Ease.EVEN, "head.pan", 90)).lane("head").onTakeover("tidy").end();
        site.macro("home", glide(500, Ease.EVEN, "head.tilt", 5)).lane("head").takesOver().end();
        GlideStage stage = known(site);
        stage.press("sweep");
        stage.pass(1_000);
        assertThat(stage.speed("head.pan.speed")).isNotZero();
        stage.press("home");
        stage.pass(50);
        assertThat(stage.speed("head.pan.speed")).isZero();
        assertThat(stage.at("desk.speech")).isEqualTo(-30);
        assertThat(stage.at("head.pan")).isBetween(10.0, 30.0);
        stage.pass(1_000);
        assertThat(stage.at("head.tilt")).isEqualTo(5);
        assertThat(stage.events("failed")).isEmpty();
    }

    @Test
    void aStopEndsGlidesAndEverySpeed() {
        TestSite site = new TestSite();
        site.macro("sweep", glide(5_000, Ease.EVEN, "head.pan", 90)).end();
        site.macro("fade", glide(5_000, Ease.EVEN, "desk.music", -60)).end();
        site.macro("turn", set("head.tilt.speed", 0.5), pause(5_000)).end();
        site.macro("halt", stop()).end();
        GlideStage stage = known(site);
        stage.press("sweep");
        stage.press("fade");
        stage.press("turn");
        stage.pass(1_000);
        stage.press("halt");
        stage.pass(100);
        double music = stage.at("desk.music");
        assertThat(stage.speed("head.pan.speed")).isZero();
        assertThat(stage.speed("head.tilt.speed")).isZero();
        stage.pass(10_000);
        assertThat(stage.at("desk.music")).isEqualTo(music);
        assertThat(stage.events("stopped")).hasSize(3);
    }

    @Test
    void aGlideThatTakesLongerThanItsMacroMayEndsOnTheWay() {
        GlideStage stage = known(
                new TestSite().macro("sweep", glide(5_000, Ease.EVEN, "head.pan", 90)).within(1_000).end());
        stage.press("sweep");
        stage.pass(1_500);
        assertThat(texts(stage, "failed")).singleElement().asString().contains("took longer than 1 s (within)");
        assertThat(stage.speed("head.pan.speed")).isZero();
    }

    @Test
    void aLinkThatGoesDownIsDecidedByTheStep() {
        GlideStage stage = known(new TestSite()
                .macro("go", orGoOn(glide(5_000, Ease.EVEN, "head.pan", 90)), set("desk.speech", 0)).end());
        stage.press("go");
        stage.pass(500);
        stage.link(GlideSite.HEAD, LinkState.DOWN);
        stage.pass(10);
        assertThat(stage.at("desk.speech")).isZero();
        assertThat(stage.events("done")).hasSize(1);
    }

    @Test
    void whatAGlidePassesOnItsWayIsNobodyElsesDoing() {
        GlideStage stage = known(new TestSite().macro("sweep", glide(2_000, Ease.EVEN, "head.pan", 90),
                glide(2_000, Ease.EVEN, "curtain.open", 90)).end());
        stage.press("sweep");
        for (int i = 0; i < 50; i++) {
            stage.pass(100);
            stage.tellAll();
        }
        assertThat(texts(stage, "elsewhere")).isEmpty();
    }

    @Test
    void aHandAtTheDeviceTakesWhatGlidesByValues() {
        GlideStage stage = known(new TestSite().macro("fade", glide(6_000, Ease.EVEN, "desk.music", -40), say("on"))
                .end());
        stage.press("fade");
        stage.pass(3_000);
        stage.place("desk.music", 4); // it has been between 0 and -20 until now
        int before = stage.values("desk.music").size();
        stage.pass(4_000);
        assertThat(stage.values("desk.music")).hasSize(before);
        assertThat(stage.at("desk.music")).isEqualTo(4);
        assertThat(texts(stage, "elsewhere")).singleElement().asString().contains("desk.music", "to=4");
        assertThat(texts(stage, "note")).anyMatch(note -> note.contains("somebody moves it at the device"));
        assertThat(texts(stage, "say")).hasSize(1);
    }

    @Test
    void whatADeviceTellsLateOrRoundedIsNoHand() {
        GlideStage stage = known(
                new TestSite().macro("fade", glide(6_000, Ease.EVEN, "desk.music", -40)).end());
        stage.press("fade");
        for (int tenths = 0; tenths < 50; tenths++) {
            double told = -Math.rint(Math.max(0, stage.at("desk.music") * -1 - 10)) + 1; // up to 1.5 s late, 1 dB beside
            stage.put(new Input.Reported(stage.clock().now(), "desk", Map.of("music", TestSite.value(told)), 0));
            stage.pass(100);
        }
        stage.pass(1_500);
        assertThat(stage.at("desk.music")).isEqualTo(-40);
        assertThat(texts(stage, "elsewhere")).isEmpty();
    }

    @Test
    void aDeviceThatSaysItStandsIsNotDrivenOn() {
        GlideStage stage = known(new TestSite().macro("sweep", glide(8_000, Ease.EVEN, "head.pan", 90)).end());
        stage.press("sweep");
        stage.pass(4_000);
        stage.tell("head.pan.speed", 0); // somebody has stopped it there
        assertThat(stage.speed("head.pan.speed")).as("and it is told so in any case").isZero();
        int before = stage.sent("head.pan.speed").size();
        stage.pass(5_000);
        assertThat(stage.sent("head.pan.speed")).hasSize(before);
        assertThat(stage.values("head.pan")).isEmpty();
        assertThat(stage.at("head.pan")).isBetween(40.0, 50.0);
    }

    @Test
    void aSpeedThatIsToldAsItWasSentIsNoHand() {
        GlideStage stage = known(new TestSite().macro("sweep", glide(4_000, Ease.BOTH, "head.pan", 90)).end());
        stage.press("sweep");
        for (int tenths = 0; tenths < 40; tenths++) {
            stage.tell("head.pan.speed", stage.speed("head.pan.speed"));
            stage.pass(100);
        }
        stage.pass(500);
        assertThat(stage.at("head.pan")).isEqualTo(90);
    }
}
