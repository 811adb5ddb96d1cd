package bellpush.runtime.core;

import static bellpush.runtime.core.TestSite.act;
import static bellpush.runtime.core.TestSite.is;
import static bellpush.runtime.core.TestSite.pause;
import static bellpush.runtime.core.TestSite.rule;
import static bellpush.runtime.core.TestSite.say;
import static bellpush.runtime.core.TestSite.set;
import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Button;
import bellpush.config.model.Condition;
import bellpush.config.model.Lamp;
import bellpush.config.model.Look.Pattern;
import bellpush.config.model.Source;
import java.time.Duration;
import java.util.List;
import java.util.function.UnaryOperator;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;

/** What fingers, and bad contacts, do with buttons and switches. */
class GesturesTest {
    private static final Duration WITHIN = Duration.ofMillis(300);

    private static TestSite macros(String... names) {
        TestSite site = new TestSite();
        for (String name : names) {
            site.macro(name, say(name)).end();
        }
        return site;
    }

    private static List<String> ran(Stage stage) {
        return stage.events("say").stream().map(line -> line.replaceAll(".*text=(\\S+?)[,}].*", "$1")).toList();
    }

    /** On average the switches that were measured bounced 1.557 ms (J. Ganssle, A Guide to Debouncing). */
    @Test
    void bounceAsItIsOnAverageIsOnePressAlsoWithTheFiveMillisecondsThatAreOftenWritten() {
        for (int lockoutMs : new int[]{5, 10}) {
            Stage stage = new Stage(macros("go").button("go",
                    b -> b.timed(Duration.ofMillis(lockoutMs), Duration.ZERO, Button.STUCK_AFTER)).site()).ready();
            long from = stage.nowNanos();
            for (int i = 0; i <= 10; i++) {
                stage.edge(from, i * 0.1557, "go", i % 2 == 0);
            }
            stage.pass(500);
            assertThat(ran(stage)).containsExactly("go");
        }
    }

    // --- the glitch filter

    private static Stage filtered(int steadyMs) {
        return new Stage(macros("go").button("go",
                b -> b.timed(Duration.ofMillis(10), Duration.ofMillis(steadyMs), Button.STUCK_AFTER)).site()).ready();
    }

    @Test
    void aGlitchShorterThanTheFilterIsNoPressAndALongerOneCountsWhenItHasLasted() {
        Stage stage = filtered(2);
        stage.edge("go", true);
        stage.pass(1);
        stage.edge("go", false);
        stage.pass(100);
        assertThat(ran(stage)).isEmpty();
        stage.edge("go", true);
        stage.pass(1);
        assertThat(ran(stage)).isEmpty();
        stage.pass(1);
        assertThat(ran(stage)).containsExactly("go");
    }

    @Test
    void edgesThatComeLateTogetherAreFilteredByTheTimesAtWhichTheyHappened() {
        Stage stage = filtered(2);
        long from = stage.nowNanos();
        stage.pass(80); // the core had other things to do
        stage.edge(from, 0, "go", true); // a glitch of 1 ms
        stage.edge(from, 1, "go", false);
        stage.edge(from, 20, "go", true); // a press of 30 ms
        stage.edge(from, 50, "go", false);
        stage.pass(100);
        assertThat(ran(stage)).containsExactly("go");
        assertThat(stage.events("release")).hasSize(1);
    }

    // --- two presses

    private static TestSite twice() {
        return macros("one", "two", "held").button("one", b -> b.onTwice(WITHIN, "two"));
    }

    @Test
    void aSinglePressRunsOnceItIsClearThatNoSecondFollowsAndTheLampTellsAtOnceThatItWasFelt() {
        Stage stage = new Stage(twice().site()).ready();
        stage.press("one");
        assertThat(stage.lamp("one")).isEqualTo(Pattern.SLOW);
        stage.pass(249);
        assertThat(ran(stage)).isEmpty();
        stage.pass(1);
        assertThat(ran(stage)).containsExactly("one");
        stage.edge("one", true); // still held when the time is over: a press all the same
        stage.pass(300);
        assertThat(ran(stage)).containsExactly("one", "one");
        stage.edge("one", false);
        stage.pass(1000);
        assertThat(ran(stage)).hasSize(2);
    }

    @Test
    void twoPressesInTimeAreADoublePressAtOnceAndNoSingleOne() {
        Stage stage = new Stage(twice().site()).ready();
        stage.press("one");
        stage.pass(100);
        stage.edge("one", true);
        assertThat(ran(stage)).containsExactly("two");
        assertThat(stage.events("double")).hasSize(1);
        stage.pass(50);
        stage.edge("one", false);
        stage.pass(1000);
        assertThat(ran(stage)).containsExactly("two");
        stage.press("one"); // and anew
        stage.pass(1000);
        assertThat(ran(stage)).containsExactly("two", "one");
    }

    @Test
    void aThirdPressBeginsAnew() {
        Stage stage = new Stage(twice().site()).ready();
        for (int i = 0; i < 3; i++) {
            stage.press("one");
            stage.pass(50);
        }
        stage.pass(1000);
        assertThat(ran(stage)).containsExactly("two", "one");
    }

    @Test
    void aSecondPressThatComesTooLateIsTwoSinglePressesEvenIfTheCoreWasTooSlowToLookAtTheTime() {
        Stage stage = new Stage(twice().site()).ready();
        long from = stage.nowNanos();
        stage.edge(from, 0, "one", true);
        stage.edge(from, 50, "one", false);
        stage.edge(from, 301, "one", true);
        stage.edge(from, 351, "one", false);
        stage.pass(1000);
        assertThat(ran(stage)).containsExactly("one", "one");
    }

    /** Else the technician reads of a press, and of nothing that came of it. */
    @Test
    void aHoldThatIsLetGoTooEarlyIsNotedWhereNothingElseComesOfThePress() {
        assertThat(notesOfAPressOf700Ms(b -> b.onHold(Duration.ofMillis(1500), "two"))).singleElement().asString()
                .contains("was let go after 700 ms; it runs two only when held for 1500 ms");
        assertThat(notesOfAPressOf700Ms(b -> b.onPress("one").onHold(Duration.ofMillis(1500), "two"))).isEmpty();
        assertThat(notesOfAPressOf700Ms(b -> b.onHold(Duration.ofMillis(600), "two"))).isEmpty();
    }

    private static List<String> notesOfAPressOf700Ms(UnaryOperator<Button> button) {
        Stage stage = new Stage(macros("one", "two").button(button.apply(Button.named("b", "b", Source.NONE))).site())
                .ready();
        stage.edge("b", true);
        stage.pass(700);
        stage.edge("b", false);
        stage.pass(100);
        return stage.events("note");
    }

    @Test
    void withAHoldAsWellTheThreeExcludeEachOther() {
        Stage stage = new Stage(twice().button("one", b -> b.onHold(Duration.ofMillis(1000), "held")).site()).ready();
        stage.edge("one", true);
        stage.pass(999);
        assertThat(ran(stage)).as("a hold goes on").isEmpty();
        stage.pass(1);
        assertThat(ran(stage)).containsExactly("held");
        stage.edge("one", false);
        stage.pass(1000);
        assertThat(ran(stage)).as("the hold alone").containsExactly("held");
        stage.edge("one", true);
        stage.pass(600);
        stage.edge("one", false);
        assertThat(ran(stage)).as("let go early").containsExactly("held", "one");
        stage.press("one");
        stage.edge("one", true);
        stage.pass(5000);
        stage.edge("one", false);
        assertThat(ran(stage)).as("the second press is no hold").containsExactly("held", "one", "two");
    }

    @Test
    void theReleaseFollowsThePressItBelongsToAndADoublePressHasOne() {
        Stage stage = new Stage(
                macros("one", "two", "up").button("one", b -> b.onTwice(WITHIN, "two").onRelease("up")).site()).ready();
        stage.press("one");
        stage.pass(1000);
        assertThat(ran(stage)).containsExactly("one", "up");
        stage.press("one");
        stage.pass(50);
        stage.press("one");
        stage.pass(1000);
        assertThat(ran(stage)).containsExactly("one", "up", "two", "up");
    }

    // --- bad buttons

    @Test
    void aButtonThatSticksSaysSoShowsItRunsNothingAndWorksAgainOnceItHasOpened() {
        Stage stage = new Stage(macros("go", "up").button("go", b -> b.onRelease("up")).site()).ready();
        stage.edge("go", true);
        stage.pass(29_999);
        assertThat(ran(stage)).containsExactly("go");
        assertThat(stage.lamp("go")).isEqualTo(Pattern.OFF);
        stage.pass(1);
        assertThat(stage.lamp("go")).isEqualTo(Pattern.FAST);
        assertThat(ran(stage)).as("what lasts as long as the finger ends").containsExactly("go", "up");
        assertThat(stage.events("note")).singleElement().asString().contains("go").contains("30 s").contains("Look");
        stage.pass(600_000);
        assertThat(stage.lamp("go")).isEqualTo(Pattern.FAST);
        assertThat(stage.events("note")).hasSize(1);
        stage.edge("go", false);
        assertThat(stage.lamp("go")).isEqualTo(Pattern.OFF);
        assertThat(stage.events("note")).hasSize(2).last().asString().contains("works again");
        assertThat(ran(stage)).as("no release").hasSize(2);
        stage.pass(50);
        stage.press("go");
        stage.pass(50);
        assertThat(ran(stage)).containsExactly("go", "up", "go", "up");
    }

    @Test
    void aButtonFoundHeldRunsNothingUntilItIsPressedAndIsStuckIfItStays() {
        Stage stage = new Stage(
                macros("go", "up", "held").button("go", b -> b.onRelease("up").onHold(Duration.ofSeconds(1), "held"))
                        .site())
                .ready();
        stage.found("go", true);
        stage.pass(2000);
        assertThat(stage.lamp("go")).isEqualTo(Pattern.OFF);
        stage.edge("go", false);
        stage.pass(1000);
        assertThat(ran(stage)).isEmpty();
        assertThat(stage.events("release")).isEmpty();
        stage.press("go");
        stage.pass(50);
        assertThat(ran(stage)).containsExactly("go", "up");
        stage.found("go", true);
        stage.pass(30_000);
        assertThat(stage.lamp("go")).isEqualTo(Pattern.FAST);
        assertThat(ran(stage)).hasSize(2);
    }

    @Test
    void aContactThatChattersIsNotedOnceAndIgnoredUntilItHasBeenQuietForASecond() {
        Stage stage = new Stage(macros("go").site()).ready();
        for (int i = 0; i < 2_000; i++) { // ten seconds
            stage.edge("go", i % 2 == 0);
            stage.pass(5);
        }
        assertThat(ran(stage).size()).as("no storm of macros").isLessThanOrEqualTo(CleanContact.EDGES_MAX / 2 + 1);
        assertThat(stage.events("press")).hasSameSizeAs(stage.events("release"));
        assertThat(stage.events("note")).singleElement().asString().contains("chatters");
        assertThat(stage.lamp("go")).isEqualTo(Pattern.FAST);
        int before = ran(stage).size();
        stage.pass(994);
        stage.edge("go", true); // not yet
        stage.edge("go", false);
        stage.pass(999);
        assertThat(stage.lamp("go")).isEqualTo(Pattern.FAST);
        stage.pass(2);
        assertThat(stage.lamp("go")).isEqualTo(Pattern.OFF);
        assertThat(stage.events("note")).last().asString().contains("works");
        assertThat(ran(stage)).hasSize(before);
        stage.press("go");
        assertThat(ran(stage)).hasSize(before + 1);
    }

    @Test
    void theFastestFingerIsNoChatter() {
        Stage stage = new Stage(macros("go").site()).ready();
        for (int i = 0; i < 100; i++) { // 15 presses a second, more than anybody can
            stage.edge("go", true);
            stage.pass(33);
            stage.edge("go", false);
            stage.pass(33);
        }
        assertThat(ran(stage)).hasSize(100);
    }

    // --- lamps under a finger

    @Test
    void aLampThatDimsRisesWhileItsButtonIsHeldAndIsSteadyForAMomentOnceItMayBeLetGo() {
        TestSite site = new TestSite().macro("live", pause(2000)).end().hold("guard", "live", 1600);
        Stage stage = new Stage(site.lamp("guard",
                (Lamp lamp) -> new Lamp(lamp.name(), lamp.label(), lamp.pins(), true, true, lamp.rules(), lamp.led(),
                        lamp.about(), lamp.at()))
                .site()).ready();
        stage.edge("guard", true);
        List<Double> seen = IntStream.range(0, 8).mapToObj(_ -> {
            double brightness = stage.look("guard").brightness();
            assertThat(stage.lamp("guard")).isEqualTo(Pattern.STEADY);
            stage.pass(200);
            return brightness;
        }).toList();
        assertThat(seen).isSorted().doesNotHaveDuplicates().allMatch(b -> b > 0 && b < 1);
        assertThat(stage.look("guard").brightness()).as("reached").isEqualTo(1);
        assertThat(stage.lamp("guard")).isEqualTo(Pattern.STEADY);
        stage.pass(500);
        assertThat(stage.lamp("guard")).as("now the macro").isEqualTo(Pattern.SLOW);
    }

    @Test
    void aLampThatDoesNotDimBlinksWhileHeldAndIsSteadyForAMomentAsWell() {
        Stage stage = new Stage(new TestSite().macro("live", pause(2000)).end().hold("guard", "live", 1600).site())
                .ready();
        stage.edge("guard", true);
        stage.pass(1599);
        assertThat(stage.lamp("guard")).isEqualTo(Pattern.FAST);
        stage.pass(1);
        assertThat(stage.lamp("guard")).isEqualTo(Pattern.STEADY);
        stage.edge("guard", false);
        stage.pass(500);
        assertThat(stage.lamp("guard")).isEqualTo(Pattern.SLOW);
    }

    @Test
    void whileAPromiseIsWaitedForADarkLampShowsThatItsMacroIsNotDoneButARuleThatShowsSomethingKnowsBetter() {
        TestSite site = new TestSite();
        site.macro("warm", set("mixer.fill", "slides")).promise(is("mixer.fill", "slides")).end();
        Stage stage = new Stage(site.lamp("warm", rule(is("mixer.fill", "slides"), Pattern.STEADY),
                rule(is("mixer.fill", "stills"), Pattern.PULSE)).site()).ready();
        stage.press("warm");
        stage.report("mixer", "fill", "titles");
        assertThat(stage.lamp("warm")).as("reported, and not what was promised").isEqualTo(Pattern.SLOW);
        stage.report("mixer", "fill", "stills");
        assertThat(stage.lamp("warm")).as("a rule of its own").isEqualTo(Pattern.PULSE);
        stage.report("mixer", "fill", "slides");
        assertThat(stage.lamp("warm")).isEqualTo(Pattern.STEADY);
    }

    // --- switches

    private static TestSite toggles(boolean wired) {
        return macros("songs", "talks").toggle("mode", wired, "songs", "talks")
                .lamp("shows", rule(new Condition.SwitchIs("mode", true), Pattern.STEADY));
    }

    @Test
    void whereASwitchStandsAtTheStartIsAStateAndMovingItIsAnEvent() {
        Stage stage = new Stage(toggles(true).site()).ready();
        assertThat(stage.core.on("mode")).isEmpty();
        assertThat(stage.lamp("shows")).as("not found yet").isEqualTo(Pattern.PULSE);
        assertThat(stage.core.missing(new Condition.SwitchIs("mode", true))).get().asString()
                .contains("not been found");
        stage.found("mode", true);
        assertThat(stage.lamp("shows")).isEqualTo(Pattern.STEADY);
        assertThat(ran(stage)).isEmpty();
        assertThat(stage.events("switch")).isEmpty();
        assertThat(stage.events("note")).singleElement().asString().contains("stands on");
        stage.edge("mode", false);
        stage.pass(3);
        stage.edge("mode", true); // bounce
        stage.pass(1);
        stage.edge("mode", false);
        stage.pass(50);
        assertThat(stage.lamp("shows")).isEqualTo(Pattern.OFF);
        assertThat(ran(stage)).containsExactly("talks");
        stage.edge("mode", true);
        stage.pass(50);
        assertThat(ran(stage)).containsExactly("talks", "songs");
        assertThat(stage.events("switch")).hasSize(2).last().asString().contains("to=on");
    }

    @Test
    void aSwitchWithoutAPinIsOffUntilItIsPutOn() {
        Stage stage = new Stage(toggles(false).site()).ready();
        assertThat(stage.core.on("mode")).contains(false);
        assertThat(stage.lamp("shows")).isEqualTo(Pattern.OFF);
        stage.edge("mode", true);
        assertThat(stage.core.on("mode")).contains(true);
        assertThat(stage.lamp("shows")).isEqualTo(Pattern.STEADY);
        assertThat(ran(stage)).containsExactly("songs");
    }

    @Test
    void aSwitchThatChattersCannotBeToldUntilItIsQuiet() {
        Stage stage = new Stage(toggles(false).site()).ready();
        for (int i = 0; i < 200; i++) {
            stage.edge("mode", i % 2 == 0);
            stage.pass(10);
        }
        assertThat(stage.core.on("mode")).isEmpty();
        assertThat(stage.lamp("shows")).isEqualTo(Pattern.PULSE);
        stage.edge("mode", true);
        int before = ran(stage).size();
        stage.pass(1001);
        assertThat(stage.core.on("mode")).contains(true);
        assertThat(ran(stage)).hasSize(before);
    }

    @Test
    void aMacroAsksWhereTheSwitchStands() {
        TestSite site = macros("songs", "talks").toggle("mode", false, null, null);
        site.macro("words", new bellpush.config.model.Step.If(new Condition.SwitchIs("mode", true),
                List.of(act("mixer.dissolve")), List.of(act("mixer.swap")), Source.NONE)).end();
        Stage stage = new Stage(site.site()).ready();
        stage.press("words");
        stage.edge("mode", true);
        stage.pass(50);
        stage.press("words");
        assertThat(stage.sent).containsExactly("mixer swap!", "mixer dissolve!");
    }
}
