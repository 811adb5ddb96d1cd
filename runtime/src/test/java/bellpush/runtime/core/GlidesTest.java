package bellpush.runtime.core;

import static bellpush.runtime.core.GlideSite.glide;
import static bellpush.runtime.core.TestSite.together;
import static bellpush.runtime.core.TestSite.pause;
import static bellpush.runtime.core.TestSite.ref;
import static bellpush.runtime.core.TestSite.say;
import static bellpush.runtime.core.TestSite.set;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import bellpush.config.model.Ease;
import bellpush.config.model.Limits;
import bellpush.config.model.Joystick;
import bellpush.config.model.LinkState;
import bellpush.config.model.Macro;
import bellpush.config.model.Pin;
import bellpush.config.model.Step;
import bellpush.config.model.Value;
import java.util.List;
import org.assertj.core.data.Offset;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Glides, with gear that moves in virtual time as its tables say. */
class GlidesTest {
    private static final Offset<Double> A_HAIR = within(1e-9);
    /** The longest pace of the head's axes, which is roll's. */
    private static final double PACE_MS = 50;

    private static GlideStage stage(TestSite site) {
        return new GlideStage(GlideSite.of(site));
    }

    private static GlideStage known(TestSite site) {
        GlideStage stage = stage(site);
        stage.place("head.pan", 0);
        stage.place("head.tilt", 0);
        stage.place("head.roll", 0);
        stage.place("head.lift", 0.5);
        stage.place("desk.music", 0);
        stage.place("desk.speech", -60);
        stage.place("curtain.open", 0);
        stage.events.clear();
        return stage;
    }

    @ParameterizedTest
    @EnumSource(Ease.class)
    void aStreamOfValuesFollowsTheEaseAndEndsWithTheTargetExactly(Ease ease) {
        GlideStage stage = known(new TestSite().macro("fade", glide(2_000, ease, "desk.music", -40)).end());
        double start = stage.nowMs();
        stage.press("fade");
        stage.pass(2_100);

        List<GlideStage.Sent> values = stage.sent("desk.music");
        assertThat(values).hasSizeGreaterThan(60);
        for (GlideStage.Sent one : values) {
            double share = (one.atMs() - start) / 2_000;
            assertThat(one.value()).as("at %s of the time", share).isCloseTo(-40 * ease.at(share), within(0.2501));
        }
        assertThat(values.getLast()).isEqualTo(new GlideStage.Sent(start + 2_000, "desk.music", -40, false));
        assertThat(stage.events("done")).hasSize(1);
    }

    @Test
    void theStreamKeepsThePaceOfItsPropertyAndItsLastValueIsOnTime() {
        GlideStage stage = known(new TestSite().macro("fade", glide(1_010, Ease.EVEN, "desk.music", -60)).end());
        double start = stage.nowMs();
        stage.press("fade");
        stage.pass(1_200);

        List<GlideStage.Sent> values = stage.sent("desk.music");
        for (int i = 1; i < values.size(); i++) {
            assertThat(values.get(i).atMs() - values.get(i - 1).atMs()).isGreaterThanOrEqualTo(20);
        }
        assertThat(values.getLast().atMs()).isEqualTo(start + 1_010);
    }

    @Test
    void aTargetThatIsNotOnThePropertysGridIsSentAsItIsWritten() {
        GlideStage stage = known(new TestSite().macro("fade", glide(300, Ease.BOTH, "desk.music", -20.123)).end());
        stage.press("fade");
        stage.pass(400);
        assertThat(stage.values("desk.music").getLast()).isEqualTo(-20.123);
    }

    /** Each table is another; so is each way. */
    @ParameterizedTest
    @CsvSource({"EVEN, 5000, 90, 40, -15", "START, 4000, -60, 30, 12", "END, 4000, 17.3, -29.9, 3.3",
        "BOTH, 6000, 170, 80, 20", "SMOOTH, 3000, 3, 1, -0.5", "BOTH, 20000, 5, -2, 1"})
    void threeAxesWithDifferentTablesArriveTogether(Ease ease, int ms, double pan, double tilt, double roll) {
        GlideStage stage = known(new TestSite()
                .macro("look", glide(ms, ease, "head.pan", pan, "head.tilt", tilt, "head.roll", roll)).end());
        double start = stage.nowMs();
        stage.press("look");
        stage.pass(ms + 1_000);

        assertThat(stage.at("head.pan")).isEqualTo(pan);
        assertThat(stage.at("head.tilt")).isEqualTo(tilt);
        assertThat(stage.at("head.roll")).isEqualTo(roll);
        for (String axis : List.of("head.pan", "head.tilt", "head.roll")) {
            assertThat(stage.cameAtMs(axis)).as(axis).isBetween(start + ms - PACE_MS, start + ms + PACE_MS);
            assertThat(stage.speed(axis + ".speed")).isZero();
        }
        assertThat(stage.values("head.pan")).as("the last value").containsExactly(pan);
        assertThat(stage.values("head.tilt")).containsExactly(tilt);
        assertThat(stage.values("head.roll")).containsExactly(roll);
        assertThat(stage.events("done")).hasSize(1);
    }

    /** So near the speeds have brought it when they end, that nobody sees the last correction. */
    @Test
    void speedsAloneBringItThereAndFollowTheEase() {
        GlideStage stage = known(new TestSite().macro("look", glide(8_000, Ease.BOTH, "head.pan", 90)).end());
        stage.press("look");
        for (int ms = 1_000; ms < 8_000; ms += 500) {
            stage.pass(ms == 1_000 ? 999 : 500);
            assertThat(stage.at("head.pan")).as("after %s ms", ms).isCloseTo(90 * Ease.BOTH.at(ms / 8_000.0),
                    within(0.5));
        }
        stage.pass(499);
        assertThat(stage.at("head.pan")).isCloseTo(90, within(0.1));
    }

    @Test
    void onItsWayItNeverTurnsBack() {
        GlideStage stage = known(new TestSite().macro("look", glide(20_000, Ease.BOTH, "head.pan", 6)).end());
        stage.press("look");
        stage.pass(21_000);
        assertThat(stage.values("head.pan.speed")).allMatch(speed -> speed >= 0).anyMatch(speed -> speed > 0);
        assertThat(stage.at("head.pan")).isEqualTo(6);
    }

    @Test
    void whatItsTableCannotDoInTheTimeTakesLongerForAllAndSaysSo() {
        GlideStage stage = known(new TestSite()
                .macro("look", glide(1_000, Ease.EVEN, "head.pan", 120, "desk.music", -30), say("there")).end());
        double start = stage.nowMs();
        stage.press("look");
        stage.pass(1_500);
        assertThat(stage.events("say")).isEmpty();
        stage.pass(600);
        assertThat(stage.sent("desk.music").getLast().atMs()).isCloseTo(start + 2_000, within(1.0));
        assertThat(stage.cameAtMs("head.pan")).isCloseTo(start + 2_000, within(PACE_MS));
        assertThat(stage.events("note")).singleElement().asString()
                .contains(
                        "head.pan cannot go faster than 60.0 per second, so the glide takes 2000 ms in place of 1000");
        assertThat(stage.events("say")).hasSize(1);
    }

    @Test
    void aDevicesOwnMoveIsAskedForOnceAndGivenTheTime() {
        GlideStage stage = known(new TestSite()
                .macro("draw", glide(3_000, Ease.BOTH, "curtain.open", 80, "desk.music", -30), say("there")).end());
        stage.press("draw");
        stage.pass(1_500);
        assertThat(stage.at("curtain.open")).isCloseTo(40, within(1.0));
        stage.pass(1_600);
        assertThat(stage.at("curtain.open")).isEqualTo(80);
        assertThat(stage.sent("curtain.open")).hasSize(1);
        assertThat(stage.events("send").getFirst()).contains("overMs=3000");
        assertThat(stage.events("say")).hasSize(1);
    }

    @Test
    void aMoveThatIsTooLongForTheDeviceIsMadeOfValues() {
        GlideStage stage = known(new TestSite().macro("draw", glide(11_000, Ease.EVEN, "curtain.open", 100)).end());
        stage.press("draw");
        stage.pass(11_100);
        assertThat(stage.values("curtain.open")).hasSizeGreaterThan(95).isSorted().last().isEqualTo(100.0);
    }

    @Test
    void theNextStepWaitsUntilEverythingHasArrived() {
        GlideStage stage = known(new TestSite().macro("fade", glide(500, Ease.EVEN, "desk.music", -30), pause(100),
                set("desk.speech", -10)).end());
        double start = stage.nowMs();
        stage.press("fade");
        stage.pass(700);
        assertThat(stage.sent).extracting(GlideStage.Sent::property).last().isEqualTo("desk.speech");
        assertThat(stage.sent.getLast().atMs()).isEqualTo(start + 600);
        assertThat(stage.sent("desk.music").getLast().atMs()).isEqualTo(start + 500);
    }

    @Test
    void fromAnUnknownPlaceThereIsNoWayUnlessTheDeviceKnowsIt() {
        GlideStage stage = stage(new TestSite().macro("fade", glide(500, Ease.EVEN, "desk.music", -30)).end()
                .macro("draw", glide(500, Ease.EVEN, "curtain.open", 50)).end());
        stage.press("fade");
        stage.press("draw");
        stage.pass(600);
        assertThat(stage.events("failed")).singleElement().asString()
                .contains("desk.music is not known, so there is no way from where it is to -30");
        assertThat(stage.sent("desk.music")).isEmpty();
        assertThat(stage.at("curtain.open")).isEqualTo(50);
    }

    @Test
    void nothingOfAGlideBeginsThatCannotBegin() {
        GlideStage stage = known(new TestSite().macro("look", glide(500, Ease.EVEN, "head.pan", 9, "head.lift", 0.2))
                .end());
        stage.press("look");
        stage.pass(600);
        assertThat(stage.events("failed")).singleElement().asString()
                .contains("head.lift cannot go from 0.5 to 0.2: its speeds go the other way only");
        assertThat(stage.sent).isEmpty();
    }

    @Test
    void whatIsThereAlreadyIsToldOnceAndNotMoved() {
        GlideStage stage = known(new TestSite().macro("look", glide(500, Ease.EVEN, "head.pan", 0)).end());
        stage.press("look");
        stage.pass(600);
        assertThat(stage.sent).extracting(GlideStage.Sent::property).containsExactly("head.pan");
    }

    // --- what ends a glide on the way

    private static TestSite looking() {
        return new TestSite().macro("look", glide(4_000, Ease.BOTH, "head.pan", 90, "head.tilt", 40, "desk.music", -40))
                .again(Macro.Again.RESTART).end();
    }

    private static void stands(GlideStage stage, String... axes) {
        for (String axis : axes) {
            assertThat(stage.speed(axis + ".speed")).as(axis).isZero();
            double at = stage.at(axis);
            stage.pass(2_000);
            assertThat(stage.at(axis)).as(axis).isEqualTo(at);
        }
        assertThat(stage.clock().timers()).isLessThan(5);
    }

    @Test
    void aGlideWhoseMessagesAreRefusedLeavesNoSpeedBehind() {
        GlideStage stage = known(looking());
        stage.press("look");
        stage.pass(1_000);
        assertThat(stage.speed("head.pan.speed")).isNotZero();
        stage.refusing = true;
        stage.pass(50);
        stage.refusing = false;
        stage.pass(2_000);
        assertThat(stage.events("failed")).as("once, not for each message").singleElement().asString()
                .contains("refused to set");
        stands(stage, "head.pan", "head.tilt");
        assertThat(stage.at("head.pan")).isBetween(5.0, 40.0);
    }

    @Test
    void aGlideThatFailsWhereTheMacroGoesOnLeavesNoSpeedBehindEither() {
        GlideStage stage = known(new TestSite().macro("look", glide(4_000, Ease.BOTH, "head.pan", 90), say("on"))
                .onFailure(new Step.Otherwise.GoOn()).end());
        stage.press("look");
        stage.pass(1_000);
        stage.refusing = true;
        stage.pass(50);
        stage.refusing = false;
        stage.pass(1_000);
        stands(stage, "head.pan");
        stage.pass(4_000);
        assertThat(stage.events("say")).hasSize(1);
        assertThat(stage.values("head.pan")).as("no target is sent any more").isEmpty();
    }

    @Test
    void beforeTheFallbackRunsEverythingStands() {
        GlideStage stage = known(new TestSite().macro("safe", pause(3_000)).end()
                .macro("look", glide(4_000, Ease.BOTH, "head.pan", 90, "desk.music", -40))
                .onFailure(new Step.Otherwise.Instead("safe")).end());
        stage.press("look");
        stage.pass(1_000);
        stage.link("desk", LinkState.DOWN);
        assertThat(stage.speed("head.pan.speed")).isZero();
        assertThat(stage.events("note")).anyMatch(note -> note.contains("running safe instead"));
        stands(stage, "head.pan");
    }

    @Test
    void aRestartGoesOnFromWhereTheHeadIs() {
        GlideStage stage = known(looking());
        stage.press("look");
        stage.pass(2_000);
        double there = stage.at("head.pan");
        assertThat(there).isCloseTo(45, within(3.0));
        stage.press("look");
        double start = stage.nowMs() - 1;
        assertThat(stage.at("head.pan")).isCloseTo(there, within(0.1));
        stage.pass(4_500);
        assertThat(stage.events("stopped")).hasSize(1);
        assertThat(stage.events("failed")).isEmpty();
        assertThat(stage.at("head.pan")).isEqualTo(90);
        assertThat(stage.cameAtMs("head.pan")).isCloseTo(start + 4_000, within(PACE_MS));
        stands(stage, "head.pan", "head.tilt");
    }

    @Test
    void aRunThatIsStoppedStandsAtOnceWhateverComesNext() {
        GlideStage stage = known(new TestSite().macro("look", pause(1_000), glide(4_000, Ease.BOTH, "head.pan", 90))
                .again(Macro.Again.RESTART).end());
        stage.press("look");
        stage.pass(3_000);
        assertThat(stage.speed("head.pan.speed")).isNotZero();
        stage.press("look");
        assertThat(stage.speed("head.pan.speed")).as("while the new run still waits").isZero();
        stage.pass(5_500);
        assertThat(stage.at("head.pan")).isEqualTo(90);
    }

    @ParameterizedTest
    @ValueSource(strings = {"head.pan", "head.pan.speed"})
    void anotherPressThatSetsTheSameEndsOnlyThatGlide(String what) {
        GlideStage stage = known(looking().macro("else", set(what, 10)).end());
        stage.press("look");
        stage.pass(1_000);
        stage.press("else");
        stage.pass(50); // the property's own pace
        int sent = stage.sent("head.pan.speed").size();
        stage.pass(3_500);
        if (what.equals("head.pan")) {
            assertThat(stage.at("head.pan")).isEqualTo(10);
            assertThat(stage.speed("head.pan.speed")).isZero();
        } else {
            assertThat(stage.speed("head.pan.speed")).as("that is what the other macro wanted").isEqualTo(10);
        }
        assertThat(stage.sent("head.pan.speed")).hasSize(sent);
        assertThat(stage.values("head.pan")).doesNotContain(90.0);
        assertThat(stage.at("head.tilt")).isEqualTo(40);
        assertThat(stage.values("desk.music")).last().isEqualTo(-40.0);
        assertThat(stage.events("note")).anyMatch(note -> note.contains("since something else sets " + what));
        assertThat(stage.events("failed")).isEmpty();
    }

    @Test
    void anotherGlideOfTheSameTakesItOverWithoutAStop() {
        GlideStage stage = known(looking().macro("back", glide(3_000, Ease.BOTH, "head.pan", 0)).end());
        stage.press("look");
        stage.pass(2_000);
        stage.sent.clear();
        stage.press("back");
        assertThat(stage.sent("head.pan.speed")).noneMatch(GlideStage.Sent::urgent);
        stage.pass(3_500);
        assertThat(stage.at("head.pan")).isEqualTo(0);
        assertThat(stage.at("head.tilt")).isEqualTo(40);
        stands(stage, "head.pan", "head.tilt");
    }

    @Test
    void aStickTakesTheHead() {
        Joystick.Wire rocker = new Joystick.Wire.Contacts(new Pin.Gpio(5), new Pin.Gpio(6));
        GlideStage stage = known(
                looking().joystick("stick", TestSite.axis("pan", rocker, "head.pan.speed", 6)));
        stage.press("look");
        stage.pass(1_000);
        stage.put(new Input.Contact(stage.clock().now(), "stick.pan.down", true));
        stage.pass(50); // the property's own pace
        assertThat(stage.speed("head.pan.speed")).isEqualTo(-6);
        stage.pass(1_000);
        assertThat(stage.speed("head.pan.speed")).isEqualTo(-6);
        stage.put(new Input.Contact(stage.clock().now(), "stick.pan.down", false));
        stage.pass(3_000);
        assertThat(stage.values("head.pan")).isEmpty();
        assertThat(stage.at("head.tilt")).isEqualTo(40);
        stands(stage, "head.pan", "head.tilt");
    }

    @Test
    void aLinkThatGoesDownInTheMiddleFailsTheGlideAndStopsTheRest() {
        GlideStage stage = known(looking());
        stage.press("look");
        stage.pass(1_000);
        stage.link("desk", LinkState.DOWN);
        assertThat(stage.speed("head.pan.speed")).isZero();
        assertThat(stage.speed("head.tilt.speed")).isZero();
        assertThat(stage.events("failed")).singleElement().asString().contains("the link to desk");
        stands(stage, "head.pan", "head.tilt");
    }

    @Test
    void aHeadWhoseLinkGoesDownIsSaidToMoveOnAndStoppedFirstWhenItIsBack() {
        GlideStage stage = known(looking());
        stage.press("look");
        stage.pass(1_000);
        stage.link("head", LinkState.DOWN);
        stage.pass(500);
        assertThat(stage.speed("head.pan.speed")).as("nobody can tell it").isNotZero();
        assertThat(stage.events("error")).anyMatch(text -> text.contains("head.pan.speed cannot be stopped before"));
        stage.sent.clear();
        stage.link("head", LinkState.UP);
        assertThat(stage.sent.getFirst().property()).endsWith(".speed");
        stands(stage, "head.pan", "head.tilt");
    }

    @Test
    void whatMovesBySpeedsStandsWhenItsLinkIsStale() {
        GlideStage stage = known(looking());
        stage.press("look");
        stage.pass(1_000);
        stage.link("head", LinkState.STALE);
        assertThat(stage.speed("head.pan.speed")).isZero();
        assertThat(stage.events("failed")).singleElement().asString().contains("the link to head is stale");
        stands(stage, "head.pan", "head.tilt");
    }

    @Test
    void valuesGoOnOverAStaleLink() {
        GlideStage stage = known(new TestSite().macro("fade", glide(2_000, Ease.EVEN, "desk.music", -40)).end());
        stage.press("fade");
        stage.pass(500);
        stage.link("desk", LinkState.STALE);
        stage.pass(1_600);
        assertThat(stage.at("desk.music")).isEqualTo(-40);
    }

    @Test
    void theEndOfTheShowStopsEverySpeed() {
        GlideStage stage = known(looking());
        stage.press("look");
        stage.pass(1_000);
        stage.put(new Input.Ending(stage.clock().now(), "test"));
        assertThat(stage.speed("head.pan.speed")).isZero();
        assertThat(stage.speed("head.tilt.speed")).isZero();
        int sent = stage.sent.size();
        stage.pass(4_000);
        assertThat(stage.sent).hasSize(sent);
        assertThat(stage.core.atRest()).isTrue();
    }

    @Test
    void aMoveOfTheDevicesOwnIsEndedByItsCommand() {
        GlideStage stage = known(new TestSite().macro("draw", glide(4_000, Ease.EVEN, "curtain.open", 100, "desk.music",
                -40)).end());
        stage.press("draw");
        stage.pass(1_000);
        stage.link("desk", LinkState.DOWN);
        stage.pass(1_000);
        assertThat(stage.sent).extracting(GlideStage.Sent::property).contains("curtain.hold");
        assertThat(stage.at("curtain.open")).isCloseTo(25, within(1.0));
    }

    @Test
    void whereItWasLeftIsAskedFor() {
        GlideStage stage = known(looking());
        stage.press("look");
        stage.pass(1_000);
        stage.link("desk", LinkState.DOWN);
        stage.pass(1_000);
        assertThat(stage.core.belief(ref("head.pan")).basis()).isEqualTo(Belief.Basis.REPORTED);
        assertThat(((Value.Num) stage.core.belief(ref("head.pan")).value().orElseThrow()).number())
                .isCloseTo(stage.at("head.pan"), within(0.01));
    }

    // --- messages

    /** A standstill that nothing confirms is repeated, and would end the last small correction; so that comes again too. */
    @Test
    void whereDatagramsMayBeLostTheLastOfEachRepeatIsTheTarget() {
        GlideStage stage = new GlideStage(
                GlideSite.of(new TestSite().macro("look", glide(1_000, Ease.BOTH, "head.pan", 33.3)).end(), "udp"));
        stage.pass(1_000);
        stage.place("head.pan", 0);
        stage.sent.clear();
        stage.press("look");
        stage.pass(1_900);
        List<GlideStage.Sent> end = stage.sent.stream().filter(one -> one.urgent() || one.property().equals("head.pan"))
                .toList();
        assertThat(end).extracting(GlideStage.Sent::property).containsExactly("head.pan.speed", "head.pan",
                "head.pan.speed", "head.pan", "head.pan.speed", "head.pan", "head.pan.speed", "head.pan");
        assertThat(stage.values("head.pan")).containsOnly(33.3);
        assertThat(stage.at("head.pan")).isEqualTo(33.3);
    }

    /** It drives nothing itself, and must not leave what the one before it has just begun. */
    @Test
    void aGlideThatIsThereAlreadyEndsTheOtherWithAStop() {
        GlideStage stage = known(new TestSite().macro("go", together(List.of(glide(5_000, Ease.EVEN, "head.pan", 90)),
                List.of(glide(1_000, Ease.EVEN, "head.pan", 0)))).end());
        stage.press("go");
        stage.pass(2_000);
        assertThat(stage.speed("head.pan.speed")).isZero();
        assertThat(stage.at("head.pan")).isZero();
    }

    /** What is to stand is not sent the last small way to where it was going, and its standstill is told again all the same. */
    @ParameterizedTest
    @ValueSource(strings = {"everything", "look"})
    void whatIsStoppedAfterItHasArrivedIsNotSentThereOnceMore(String what) {
        GlideStage stage = new GlideStage(GlideSite.of(new TestSite()
                .macro("look", glide(1_000, Ease.BOTH, "head.pan", 33.3), TestSite.pause(2_000)).end()
                .macro("halt", what.equals("everything") ? TestSite.stop() : TestSite.stop(what)).end(), "udp"));
        stage.pass(1_000);
        stage.place("head.pan", 0);
        stage.press("look");
        stage.pass(1_010);
        stage.sent.clear();
        stage.press("halt");
        stage.pass(1_900);
        assertThat(stage.sent).extracting(GlideStage.Sent::property).contains("head.pan.speed")
                .doesNotContain("head.pan");
    }

    @Test
    void onADeviceThatTakesFewMessagesNothingPilesUpAndEachValueIsTheNewest() {
        GlideStage stage = known(new TestSite()
                .macro("fade", glide(2_000, Ease.EVEN, "desk.music", -40, "desk.speech", 0)).end());
        double start = stage.nowMs();
        stage.press("fade");
        stage.pass(2_200);
        List<GlideStage.Sent> all = stage.sent;
        for (int i = 1; i < all.size(); i++) {
            assertThat(all.get(i).atMs() - all.get(i - 1).atMs()).as("the device's own pace")
                    .isGreaterThanOrEqualTo(15 - 1e-6);
        }
        for (GlideStage.Sent one : stage.sent("desk.music")) {
            assertThat(one.value()).isCloseTo(Math.max(-40, -40 * (one.atMs() - start) / 2_000), within(1.0));
        }
        assertThat(all.getLast().atMs()).isLessThanOrEqualTo(start + 2_030);
        assertThat(stage.events("replaced")).isEmpty();
    }

    @Test
    void theLogTellsBeginningAndEndAndNotEachValue() {
        GlideStage stage = known(new TestSite().macro("fade", glide(2_000, Ease.EVEN, "desk.music", -40)).end());
        stage.press("fade");
        stage.pass(2_100);
        assertThat(stage.events("glide")).containsExactly(
                "{run=1, property=desk.music, to=-40, by=values, overMs=2000}");
        assertThat(stage.events("send")).hasSize(1);
        assertThat(stage.events("step")).singleElement().asString()
                .contains("glide desk.music -40 over 2000 ms, even");
    }

    @Test
    void theSameGlideTwiceIsTheSameToTheNanosecond() {
        List<List<GlideStage.Sent>> runs = List.of(0, 1).stream().map(_ -> {
            GlideStage stage = known(looking());
            stage.press("look");
            stage.pass(5_000);
            return stage.sent;
        }).toList();
        assertThat(runs.get(0)).isEqualTo(runs.get(1)).isNotEmpty();
        assertThat(runs.get(0).getLast().atMs()).isCloseTo(runs.get(1).getLast().atMs(), A_HAIR);
    }

    /** Which is nobody's step: what it belonged to has been given up. */
    @Test
    void aCommandThatEndsAMoveMayBeRefusedWithoutFailingTheRun() {
        GlideStage stage = known(new TestSite().macro("draw",
                TestSite.orGoOn(TestSite.together(List.of(glide(5_000, Ease.EVEN, "curtain.open", 100)),
                        List.of(TestSite.pause(100), TestSite.until(TestSite.is("desk.music", 5), 100)))),
                TestSite.pause(500), TestSite.say("on")).end());
        stage.press("draw");
        stage.pass(150);
        stage.refusing = true;
        stage.pass(900);
        assertThat(stage.refused).extracting(send -> send.request().getClass().getSimpleName()).contains("DoCommand");
        assertThat(stage.events("say")).hasSize(1);
        assertThat(stage.events("failed")).isEmpty();
    }

    private static TestSite narrow(TestSite site) {
        return site.limits(new Limits(8, 8, 100, 1, 100, 100));
    }

    @Test
    void aGlideWhoseFirstMessageCannotBeSentIsNotWaitedFor() {
        GlideStage stage = known(narrow(new TestSite().macro("look", set("head.roll.speed", 1),
                set("head.roll.speed", 2), TestSite.orGoOn(glide(5_000, Ease.EVEN, "head.tilt", 20, "curtain.open", 9)),
                TestSite.say("on")).end()));
        stage.press("look");
        assertThat(stage.events("say")).hasSize(1);
        assertThat(stage.values("curtain.open")).as("the rest of it does not begin").isEmpty();
        stage.pass(6_000);
        assertThat(stage.core.running()).isEmpty();
        assertThat(stage.speed("head.tilt.speed")).isZero();
    }

    @Test
    void aTargetThatCannotBeSentOnceMoreIsLeftAtThat() {
        GlideStage stage = new GlideStage(GlideSite.of(narrow(new TestSite().macro("look",
                glide(1_000, Ease.EVEN, "head.tilt", 20), TestSite.pause(10), set("head.roll.speed", 1),
                set("head.roll.speed", 2)).end()), "udp"));
        stage.place("head.tilt", 0);
        stage.press("look");
        stage.pass(3_000);
        assertThat(stage.values("head.tilt").getLast()).isEqualTo(20);
        assertThat(stage.core.running()).isEmpty();
    }

    /** What ends the move goes ahead of the message that begins it, which is then thrown away. */
    @Test
    void aBranchThatFailsBeforeTheMoveOfAnotherHasLeftFailsTheTogetherOnce() {
        GlideStage stage = known(new TestSite().macro("draw",
                TestSite.orGoOn(TestSite.together(
                        List.of(set("curtain.open", 5), glide(5_000, Ease.EVEN, "curtain.open", 100)),
                        List.of(TestSite.until(TestSite.is("desk.music", 5), 5)))),
                TestSite.pause(500), TestSite.say("on")).end());
        stage.press("draw");
        stage.pass(2_000);
        assertThat(stage.sent("curtain.hold")).hasSize(1);
        assertThat(stage.values("curtain.open")).containsExactly(5.0);
        assertThat(stage.events("say")).hasSize(1);
        assertThat(stage.events("failed")).isEmpty();
    }
}
