package bellpush.runtime.core;

import static bellpush.runtime.core.TestSite.act;
import static bellpush.runtime.core.TestSite.pause;
import static bellpush.runtime.core.TestSite.ref;
import static bellpush.runtime.core.TestSite.say;
import static bellpush.runtime.core.TestSite.set;
import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Button;
import bellpush.config.model.Knob;
import bellpush.config.model.Source;
import bellpush.drivers.spi.Outcome;
import java.util.Optional;
import org.junit.jupiter.api.Test;

/** Turning, spinning and pushing. */
class KnobsTest {
    private static Knob.Push push(String press, String turns, double step) {
        Button button = Button.named("left.push", "left.push", Source.NONE);
        return new Knob.Push(press == null ? button : button.onPress(press),
                Optional.ofNullable(turns).map(t -> new Knob.Turning(ref(t), step)));
    }

    private static Stage stage(double step, double faster, Knob.Push push) {
        TestSite site = new TestSite().macro("auto", say("auto")).end();
        return new Stage(site.knob("left", "mixer.left", step, faster, 4, push).site()).ready();
    }

    @Test
    void aDetentIsWorthMoreTheFasterItComesAfterTheOneBefore() {
        assertThat(KnobReading.worth(4, 60_000_000)).isEqualTo(1);
        assertThat(KnobReading.worth(4, 5_000_000_000L)).isEqualTo(1);
        assertThat(KnobReading.worth(4, 35_000_000)).isEqualTo(2);
        assertThat(KnobReading.worth(4, 10_000_000)).isEqualTo(4);
        assertThat(KnobReading.worth(4, 0)).isEqualTo(4);
        assertThat(KnobReading.worth(1, 0)).isEqualTo(1);
        for (int ms = 0; ms < 100; ms++) {
            assertThat(KnobReading.worth(10, ms * 1_000_000L)).as("%d ms", ms)
                    .isGreaterThanOrEqualTo(KnobReading.worth(10, (ms + 1) * 1_000_000L));
        }
    }

    @Test
    void spinningMovesFurtherTurningBackBeginsSlowlyAndNothingPassesTheEnd() {
        Stage stage = stage(10, 4, null);
        for (int i = 0; i < 5; i++) {
            stage.detent("left", true);
            stage.pass(100);
        }
        assertThat(stage.sent).endsWith("mixer left=50");
        for (int i = 0; i < 5; i++) {
            stage.detent("left", true); // the first of them is slow, the others are worth four
            stage.pass(10);
        }
        stage.pass(100);
        assertThat(stage.sent).endsWith("mixer left=220");
        stage.detent("left", true);
        stage.pass(5);
        stage.detent("left", false); // back: one step, however soon
        stage.pass(100);
        assertThat(stage.sent).endsWith("mixer left=220");
        for (int i = 0; i < 100; i++) {
            stage.detent("left", true);
            stage.pass(5);
        }
        stage.pass(100);
        assertThat(stage.sent).endsWith("mixer left=1000");
        assertThat(stage.sent.stream().map(s -> Integer.parseInt(s.replaceAll(".*=", ""))))
                .allMatch(value -> value <= 1000);
    }

    @Test
    void aKnobDrawnOnAScreenIsNeverFaster() {
        Stage stage = stage(1, 10, null);
        for (int i = 0; i < 10; i++) {
            stage.put(new Input.Turned(stage.nowNanos(), "left", 1));
        }
        stage.pass(100);
        assertThat(stage.sent).endsWith("mixer left=10");
    }

    @Test
    void pushedItMovesItsOtherPropertyAndThatPushIsNoPress() {
        Stage stage = stage(10, 1, push("auto", "mixer.left", 1));
        stage.detent("left", true);
        stage.pass(100);
        stage.edge("left.push", true);
        stage.pass(100);
        stage.detent("left", true);
        stage.pass(100);
        stage.edge("left.push", false);
        stage.pass(100);
        stage.detent("left", true);
        stage.pass(100);
        assertThat(stage.sent).as("coarse, fine, coarse").containsExactly("mixer left=10", "mixer left=11",
                "mixer left=21");
        assertThat(stage.events("say")).isEmpty();
        stage.edge("left.push", true);
        stage.pass(100);
        assertThat(stage.events("say")).as("it may still be turned").isEmpty();
        stage.edge("left.push", false);
        assertThat(stage.events("say")).as("let go without having turned").hasSize(1);
    }

    @Test
    void withoutAnotherPropertyThePushCountsAtOnceAndTurningGoesOnAsBefore() {
        Stage stage = stage(10, 1, push("auto", null, 0));
        stage.edge("left.push", true);
        assertThat(stage.events("say")).hasSize(1);
        stage.pass(50);
        stage.detent("left", true);
        assertThat(stage.sent).containsExactly("mixer left=10");
        stage.edge("left.push", false);
        stage.pass(50);
        assertThat(stage.events("say")).hasSize(1);
    }

    @Test
    void aPushThatSticksIsNoPressAndTheKnobTurnsAsIfItWereNotPushed() {
        Stage stage = stage(10, 1, push("auto", "mixer.left", 1));
        stage.edge("left.push", true);
        for (int i = 0; i < 4; i++) { // in use: it is not stuck, however long
            stage.pass(20_000);
            stage.report("mixer", "left", 0);
            stage.detent("left", true);
            assertThat(stage.sent).endsWith("mixer left=1");
        }
        stage.pass(30_000);
        assertThat(stage.events("note")).singleElement().asString().contains("stuck");
        stage.report("mixer", "left", 0);
        stage.detent("left", true);
        assertThat(stage.sent).endsWith("mixer left=10");
        stage.edge("left.push", false);
        stage.pass(50);
        assertThat(stage.events("say")).isEmpty();
    }

    @Test
    void edgesThatWereMissedCountNothingAndAreNotedOncePerBurst() {
        Stage stage = stage(1, 1, null);
        for (int burst = 0; burst < 2; burst++) {
            for (int i = 0; i < 200; i++) {
                stage.edge("left.a", true); // and never the edge between
                stage.pass(10);
            }
            stage.pass(3000);
        }
        assertThat(stage.events("note")).hasSize(2).allMatch(note -> note.contains("left") && note.contains("jumps"));
        for (int i = 0; i < 100; i++) { // now and then is nothing to speak of
            stage.edge("left.a", true);
            stage.pass(60);
        }
        assertThat(stage.events("note")).hasSize(2);
        assertThat(stage.sent).isEmpty();
    }

    @Test
    void noDetentIsLostAtThreeHundredASecondWhileMacrosRun() {
        TestSite site = new TestSite().knob("left", "mixer.left", 1, 1, 4, null);
        site.macro("busy", set("mixer.fill", "slides"), pause(15), act("mixer.dissolve"), set("mixer.onAir", false))
                .again(bellpush.config.model.Macro.Again.RESTART).end();
        Stage stage = new Stage(site.site()).ready();
        for (int i = 0; i < 900; i++) {
            stage.detent("left", i % 3 != 2);
            if (i % 30 == 0) {
                stage.edge("busy", i % 60 == 0);
            }
            stage.pass(i % 3 == 0 ? 4 : 3);
        }
        stage.pass(1000);
        assertThat(stage.sent.stream().filter(s -> s.startsWith("mixer left")).toList()).last()
                .isEqualTo("mixer left=300");
        assertThat(stage.sent).contains("mixer dissolve!");
    }

    @Test
    void aMacroThatSetsWhatIsBeingTurnedIsWhereTheKnobGoesOnFrom() {
        TestSite site = new TestSite().knob("left", "mixer.left", 1, 1, 4, null);
        site.macro("reset", set("mixer.left", -500)).end();
        Stage stage = new Stage(site.site()).ready();
        for (int i = 0; i < 20; i++) {
            stage.detent("left", true);
            if (i == 9) {
                stage.press("reset");
            }
            stage.pass(3);
        }
        stage.pass(1000);
        assertThat(stage.sent).endsWith("mixer left=-490");
    }

    @Test
    void whatIsTurnedAllTheTimeIsAskedForOnceWhenItRests() {
        Stage stage = stage(1, 1, null);
        for (int i = 1; i <= 40; i++) {
            stage.detent("left", true);
            stage.pass(30);
            stage.outcome("mixer", "mixer left=" + i, new Outcome.Sent());
        }
        long going = stage.effects.stream().filter(Effect.StartTimer.class::isInstance).count()
                - stage.effects.stream().filter(Effect.StopTimer.class::isInstance).count();
        assertThat(going).as("timers that were started and not stopped").isLessThan(5);
        assertThat(stage.news()).doesNotContain("mixer left?");
        stage.pass(3_000);
        assertThat(stage.news()).containsExactly("mixer left?");
    }
}
