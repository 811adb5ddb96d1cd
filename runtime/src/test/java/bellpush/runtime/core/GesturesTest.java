package bellpush.runtime.core;

import static bellpush.runtime.core.TestSite.act;
import static bellpush.runtime.core.TestSite.ref;
import static bellpush.runtime.core.TestSite.rule;
import static bellpush.runtime.core.TestSite.say;
import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Button;
import bellpush.config.model.Condition;
import bellpush.config.model.Knob;
import bellpush.config.model.Lamp;
import bellpush.config.model.Look.Pattern;
import bellpush.config.model.Pin;
import bellpush.config.model.Source;
import bellpush.config.model.Switch;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;

/** What fingers do to buttons, switches and knobs, and what comes of it. */
class GesturesTest {
    private static final Pin SOME_PIN = new Pin.Gpio(5);

    private static TestSite macros(String... names) {
        TestSite site = new TestSite();
        for (String name : names) {
            site.macro(name, say(name)).end();
        }
        return site;
    }

    private static Button button(String name) {
        return Button.named(name, name, Source.NONE);
    }

    private static List<String> said(Stage stage) {
        return stage.events("say").stream().map(line -> line.replaceAll(".*text=([a-z-]+).*", "$1")).toList();
    }

    // ---- double press -------------------------------------------------------------------------------------------------------

    private static Stage twice() {
        return new Stage(macros("one", "two", "long").button(button("b").onPress("one")
                .onTwice(Duration.ofMillis(300), "two").onHold(Duration.ofMillis(800), "long")).site()).ready();
    }

    @Test
    void aSinglePressCountsOnceNoSecondCanFollow() {
        Stage stage = twice();
        stage.press("b"); // 50 ms long
        stage.pass(240);
        assertThat(said(stage)).isEmpty();
        assertThat(stage.lamp("b")).as("it tells that it was felt").isEqualTo(Pattern.SLOW);
        stage.pass(20);
        assertThat(said(stage)).containsExactly("one");
    }

    @Test
    void twoPressesInTimeAreOneDoublePress() {
        Stage stage = twice();
        stage.press("b");
        stage.pass(200);
        stage.press("b");
        stage.pass(1000);
        assertThat(said(stage)).containsExactly("two");
        stage.press("b");
        stage.pass(400);
        stage.press("b");
        stage.pass(1000);
        assertThat(said(stage)).containsExactly("two", "one", "one");
    }

    @Test
    void aHoldOfAButtonWithADoublePressIsTheHoldAlone() {
        Stage stage = twice();
        stage.edge("b", true);
        stage.pass(790);
        assertThat(said(stage)).isEmpty();
        stage.pass(20);
        assertThat(said(stage)).containsExactly("long");
        stage.edge("b", false);
        stage.pass(1000);
        assertThat(said(stage)).containsExactly("long");
        stage.edge("b", true);
        stage.pass(500);
        stage.edge("b", false);
        stage.pass(1000);
        assertThat(said(stage)).as("let go too early for the hold").containsExactly("long", "one");
    }

    // ---- faults -------------------------------------------------------------------------------------------------------------

    @Test
    void aStuckButtonIsSaidOnceMarksItsLampRunsNothingAndWorksAgainWhenItOpens() {
        Stage stage = new Stage(macros("one", "done").button(button("b").onPress("one").onRelease("done")
                .timed(Duration.ofMillis(10), Duration.ZERO, Duration.ofSeconds(30))).site()).ready();
        stage.edge("b", true);
        stage.pass(29_000);
        assertThat(stage.lamp("b")).isEqualTo(Pattern.OFF);
        stage.pass(100_000);
        assertThat(stage.events("note")).singleElement().asString().contains("control=b", "30 s", "stuck");
        assertThat(stage.lamp("b")).isEqualTo(Pattern.FAST);
        assertThat(said(stage)).as("what lasts as long as a finger ends").containsExactly("one", "done");
        stage.edge("b", false);
        stage.pass(100);
        assertThat(stage.lamp("b")).isEqualTo(Pattern.OFF);
        assertThat(said(stage)).containsExactly("one", "done");
        stage.press("b");
        assertThat(said(stage)).containsExactly("one", "done", "one", "done");
    }

    @Test
    void aChatteringContactRunsNoStormOfMacrosAndIsHeardAgainOnceItIsQuiet() {
        Stage stage = new Stage(macros("one").button(button("b").onPress("one")).site()).ready();
        for (int i = 0; i < 500; i++) { // 15 ms apart: slower than the lock-out, faster than any finger
            stage.edge("b", i % 2 == 0);
            stage.pass(15);
        }
        assertThat(said(stage)).hasSizeLessThanOrEqualTo(25);
        assertThat(stage.events("note")).singleElement().asString().contains("chatters");
        assertThat(stage.lamp("b")).isEqualTo(Pattern.FAST);
        stage.pass(1100);
        int before = said(stage).size();
        stage.press("b");
        assertThat(said(stage)).hasSize(before + 1);
    }

    @Test
    void aGlitchShorterThanSteadyForIsNoPressAndALongerOneIsThatMuchLater() {
        Stage stage = new Stage(macros("one").button(button("b").onPress("one")
                .timed(Duration.ofMillis(10), Duration.ofMillis(3), Duration.ofSeconds(30))).site()).ready();
        for (int i = 0; i < 20; i++) {
            stage.edge("b", true);
            stage.pass(2);
            stage.edge("b", false);
            stage.pass(5);
        }
        assertThat(said(stage)).isEmpty();
        stage.edge("b", true);
        stage.pass(2);
        assertThat(said(stage)).isEmpty();
        stage.pass(1);
        assertThat(said(stage)).containsExactly("one");
    }

    @Test
    void whatIsHeldAtTheStartIsNoPressAndItsReleaseRunsNothing() {
        Stage stage = new Stage(macros("one", "done").button(button("b").onPress("one").onRelease("done")).site())
                .ready();
        stage.put(new Input.Found(stage.nowNanos(), "b", true));
        stage.pass(500);
        stage.edge("b", false);
        stage.pass(500);
        assertThat(said(stage)).isEmpty();
        stage.press("b");
        assertThat(said(stage)).containsExactly("one", "done");
    }

    // ---- the lamp while held ------------------------------------------------------------------------------------------------

    @Test
    void aLampThatDimsRisesWhileItsButtonIsHeldAndTellsWhenItMayBeLetGo() {
        Lamp dimmed = new Lamp("b", "b", List.of(new Pin.Gpio(12)), true, true, List.of(), Optional.empty(),
                Optional.empty(), Source.NONE);
        Stage stage = new Stage(
                macros("long").button(button("b").onHold(Duration.ofMillis(800), "long").with(dimmed)).site()).ready();
        stage.edge("b", true);
        double before = 0;
        for (int step = 0; step < 8; step++) {
            assertThat(stage.lamp("b")).isEqualTo(Pattern.STEADY);
            double now = stage.core.look("b").brightness();
            assertThat(now).isGreaterThan(before).isLessThan(1);
            before = now;
            stage.pass(step == 7 ? 110 : 100);
        }
        assertThat(said(stage)).containsExactly("long");
        assertThat(stage.core.look("b").brightness()).as("reached").isEqualTo(1);
        stage.pass(600);
        assertThat(stage.lamp("b")).isEqualTo(Pattern.OFF);
    }

    // ---- switches -----------------------------------------------------------------------------------------------------------

    @Test
    void aSwitchIsAStateAtTheStartAndAnEventWhenMoved() {
        Switch mode = new Switch("mode", "MODE", Optional.of(SOME_PIN), false, Duration.ofMillis(10), Duration.ZERO,
                Optional.of("songs"), Optional.of("talks"), Optional.empty(), Source.NONE);
        Stage stage = new Stage(macros("songs", "talks").toggle(mode)
                .lamp("tell", rule(new Condition.SwitchIs("mode", true), Pattern.STEADY)).site()).ready();
        assertThat(stage.lamp("tell")).as("not known yet").isEqualTo(Pattern.PULSE);
        stage.put(new Input.Found(stage.nowNanos(), "mode", true));
        stage.pass(1000);
        assertThat(said(stage)).isEmpty();
        assertThat(stage.lamp("tell")).isEqualTo(Pattern.STEADY);
        stage.edge("mode", false);
        stage.pass(4);
        stage.edge("mode", true); // bounce
        stage.pass(1);
        stage.edge("mode", false);
        stage.pass(1000);
        assertThat(said(stage)).containsExactly("talks");
        assertThat(stage.lamp("tell")).isEqualTo(Pattern.OFF);
        stage.edge("mode", true);
        assertThat(said(stage)).containsExactly("talks", "songs");
    }

    // ---- knobs --------------------------------------------------------------------------------------------------------------

    private static Stage pushed(boolean press) {
        Button push = press ? button("k.push").onPress("auto") : button("k.push");
        Knob knob = new Knob("k", "K", Optional.empty(), Optional.empty(), 4, ref("mixer.left"), 10, 1,
                Optional.of(new Knob.Push(push, Optional.of(new Knob.Turning(ref("mixer.left"), 1)))),
                Optional.empty(), Source.NONE);
        return new Stage(macros("auto").knob(knob).site()).ready();
    }

    @Test
    void turnedWhilePushedAKnobMovesInItsFineStep() {
        Stage stage = pushed(true);
        stage.put(new Input.Turned(stage.nowNanos(), "k", 2));
        stage.pass(100);
        assertThat(stage.sent).containsExactly("mixer left=20");
        stage.report("mixer", "left", 20);
        stage.edge("k.push", true);
        stage.pass(100);
        stage.put(new Input.Turned(stage.nowNanos(), "k", 3));
        stage.pass(100);
        assertThat(stage.sent).containsExactly("mixer left=20", "mixer left=23");
        stage.edge("k.push", false);
        stage.pass(500);
        assertThat(said(stage)).as("it was pushed to turn").isEmpty();
    }

    @Test
    void aPushWithoutTurningIsAPress() {
        Stage stage = pushed(true);
        stage.edge("k.push", true);
        stage.pass(100);
        assertThat(said(stage)).as("it may still be turned").isEmpty();
        stage.edge("k.push", false);
        assertThat(said(stage)).containsExactly("auto");
    }

    @Test
    void aSpunKnobIsWorthMoreAndASlowOneNever() {
        assertThat(KnobReading.worth(4, 60_000_000)).isEqualTo(1);
        assertThat(KnobReading.worth(4, 5_000_000_000L)).isEqualTo(1);
        assertThat(KnobReading.worth(4, 10_000_000)).isEqualTo(4);
        assertThat(KnobReading.worth(4, 0)).isEqualTo(4);
        assertThat(KnobReading.worth(4, 35_000_000)).isEqualTo(2);
        assertThat(KnobReading.worth(1, 0)).isEqualTo(1);
    }

    @Test
    void noDetentIsLostAtThreeHundredASecondWhileMacrosRun() {
        TestSite site = macros("busy").knob("k", "mixer.left", 1);
        site.macro("long", act("mixer.swap"), TestSite.pause(30), act("mixer.swap"), TestSite.pause(30),
                act("mixer.swap")).end();
        Stage stage = new Stage(site.site()).ready();
        boolean[][] gray = {{false, true}, {true, true}, {true, false}, {false, false}};
        long at = stage.nowNanos();
        boolean a = false;
        boolean b = false;
        for (int detent = 0; detent < 600; detent++) {
            if (detent % 50 == 0) {
                stage.press("long");
            }
            for (boolean[] state : gray) {
                at += 1_000_000_000L / 300 / 4;
                stage.passTo(at);
                if (a != state[0]) {
                    stage.put(new Input.Contact(Math.max(at, stage.nowNanos()), "k.a", state[0]));
                }
                if (b != state[1]) {
                    stage.put(new Input.Contact(Math.max(at, stage.nowNanos()), "k.b", state[1]));
                }
                a = state[0];
                b = state[1];
            }
            stage.sent.stream().filter(words -> words.startsWith("mixer left=")).reduce((_, last) -> last)
                    .ifPresent(words -> stage.report("mixer", "left", Integer.parseInt(words.substring(11))));
        }
        stage.pass(1000);
        assertThat(stage.sent.stream().filter(words -> words.startsWith("mixer left=")).reduce((_, last) -> last))
                .hasValue("mixer left=600");
    }

    @Test
    void aKnobWithEdgesMissingIsNotedOnce() {
        Stage stage = new Stage(macros("one").knob("k", "mixer.left", 1).site()).ready();
        for (int i = 0; i < 200; i++) { // of each bounce only the closing is seen
            stage.edge("k.a", true);
            stage.pass(2);
        }
        assertThat(stage.sent).isEmpty();
        assertThat(stage.events("note")).singleElement().asString().contains("control=k", "jumps");
    }
}
