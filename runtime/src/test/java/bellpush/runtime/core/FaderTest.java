package bellpush.runtime.core;

import static bellpush.runtime.core.TestSite.fader;
import static bellpush.runtime.core.TestSite.set;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import bellpush.config.model.Fader;
import bellpush.config.model.Fader.Calibration;
import bellpush.config.model.LinkState;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Value;
import bellpush.drivers.spi.Outcome;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.SplittableRandom;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import org.junit.jupiter.api.Test;

class FaderTest {
    private static final PropertyType DECIBELS = new PropertyType.Number(-60, 10, 0.5, "dB", Optional.empty());
    private static final Calibration READ = new Calibration(0.02, 0.5, 0.98);
    private static final Calibration TURNED_ROUND = new Calibration(0.98, 0.5, 0.02);

    private static FaderReading reading(Calibration calibration, double curve, double steadiness) {
        FaderReading reading = new FaderReading(
                fader("f", "mixer.left", -60, 10, calibration, curve, steadiness, false),
                DECIBELS);
        reading.moved(0, 0.5, Optional.empty(), false);
        return reading;
    }

    private static OptionalDouble move(FaderReading reading, double share) {
        return reading.moved(0, share, Optional.empty(), false);
    }

    @Property
    void everyValueIsInRangeAndOnTheGrid(@ForAll @DoubleRange(min = 0, max = 1) double share,
            @ForAll @DoubleRange(min = 0.3, max = 4) double curve, @ForAll boolean reversed) {
        move(reading(reversed ? TURNED_ROUND : READ, curve, 0.004), share).ifPresent(value -> {
            assertThat(value).isBetween(-60.0, 10.0);
            assertThat(value * 2).isEqualTo(Math.rint(value * 2));
        });
    }

    @Property
    void bothEndsAreReachedWhereverTheCalibrationHasThem(@ForAll @DoubleRange(min = 0, max = 0.4) double low,
            @ForAll @DoubleRange(min = 0.6, max = 1) double high,
            @ForAll @DoubleRange(min = 0, max = 0.02) double steadiness, @ForAll boolean reversed) {
        FaderReading reading = reading(reversed ? new Calibration(high, 0.5, low) : new Calibration(low, 0.5, high), 2,
                steadiness);
        assertThat(move(reading, high)).hasValue(reversed ? -60 : 10);
        assertThat(move(reading, low)).hasValue(reversed ? 10 : -60);
    }

    @Property
    void upIsNeverDown(@ForAll @DoubleRange(min = 0, max = 1) double a, @ForAll @DoubleRange(min = 0, max = 1) double b,
            @ForAll @DoubleRange(min = 0.3, max = 4) double curve) {
        FaderReading reading = reading(READ, curve, 0.004);
        move(reading, 0);
        double first = move(reading, Math.min(a, b)).orElse(-60);
        double second = move(reading, Math.max(a, b)).orElse(first);
        assertThat(second).isGreaterThanOrEqualTo(first);
    }

    /** Noise as great as the steadiness either way, anywhere on the way: a value that was left is not taken again. */
    @Property
    void aHandThatTremblesMakesNothingFlicker(@ForAll @DoubleRange(min = 0.02, max = 0.98) double where,
            @ForAll long seed) {
        double steadiness = 0.004;
        SplittableRandom noise = new SplittableRandom(seed);
        FaderReading reading = reading(READ, 1, steadiness);
        List<Double> values = new ArrayList<>();
        for (int i = 0; i < 300; i++) {
            move(reading, where + (noise.nextDouble() * 2 - 1) * steadiness).ifPresent(values::add);
        }
        assertThat(new HashSet<>(values)).as("%s", values).hasSameSizeAs(values);
        assertThat(values.size()).isLessThanOrEqualTo(4);
    }

    @Property
    void withPickUpNothingJumps(@ForAll @DoubleRange(min = -60, max = 10) double present, @ForAll long seed) {
        SplittableRandom hand = new SplittableRandom(seed);
        Fader made = fader("f", "mixer.left", -60, 10, Calibration.NONE, 1, 0, true);
        FaderReading reading = new FaderReading(made, DECIBELS);
        double value = present;
        double at = hand.nextDouble();
        for (int i = 0; i < 200; i++) {
            OptionalDouble moved = reading.moved(i, at, Optional.of(Value.of(value)), true);
            if (moved.isPresent()) {
                // A step of the hand and the rounding, no more.
                assertThat(moved.getAsDouble()).isCloseTo(value, within(0.05 * 70 * 2 + 0.5));
                value = moved.getAsDouble();
            }
            if (hand.nextInt(40) == 0) {
                value = hand.nextDouble() * 70 - 60;
                reading.setElsewhere(i, Optional.of(Value.of(value)));
            }
            at = Math.clamp(at + (hand.nextDouble() - 0.5) * 0.1, 0, 1);
        }
    }

    // ---- in the core

    private static Stage stage(boolean pickUp) {
        TestSite site = new TestSite()
                .fader(fader("left", "mixer.left", -1000, 1000, Calibration.NONE, 1, 0, pickUp))
                .fader(fader("speed", "camera.speed", 0, 1, Calibration.NONE, 1, 0, pickUp))
                .knob("fine", "mixer.left", 10);
        site.macro("middle", set("mixer.left", 500)).end();
        return new Stage(site.site()).ready();
    }

    @Test
    void whereItIsFoundIsAStateAndNoMove() {
        Stage stage = stage(false);
        stage.move("left", 0.9);
        assertThat(stage.news()).isEmpty();
        stage.move("left", 0.8);
        assertThat(stage.news()).containsExactly("mixer left=600");
        stage.move("left", 0.8);
        assertThat(stage.news()).isEmpty();
    }

    @Test
    void itMovesNothingBeforeItHasPassedTheValue() {
        Stage stage = stage(true);
        stage.move("left", 0.9);
        stage.move("left", 0.7);
        assertThat(stage.news()).isEmpty();
        assertThat(stage.events("note")).hasSize(1).first().asString().contains("has to meet 0");
        stage.move("left", 0.45);
        assertThat(stage.news()).containsExactly("mixer left=-100");
        assertThat(stage.events("slide")).as("in the same gesture that first had to meet it").hasSize(1);
        stage.pass(100);
        stage.move("left", 0.7);
        assertThat(stage.news()).containsExactly("mixer left=400");
    }

    @Test
    void aValueThatSomethingElseHasSetMustBeMetAgain() {
        Stage stage = stage(true);
        stage.move("left", 0.5);
        stage.move("left", 0.6);
        assertThat(stage.news()).containsExactly("mixer left=200");
        stage.report("mixer", "left", 200);
        stage.pass(100);
        stage.press("middle");
        assertThat(stage.news()).containsExactly("mixer left=500");
        stage.move("left", 0.65);
        assertThat(stage.news()).as("not yet at 500").isEmpty();
        stage.move("left", 0.8);
        assertThat(stage.news()).as("passed 500").containsExactly("mixer left=600");
        stage.pass(100);
        stage.put(new Input.Turned(stage.nowMs() * 1_000_000, "fine", 1));
        stage.pass(100);
        stage.news();
        stage.move("left", 0.79);
        assertThat(stage.news()).as("turned up by a knob meanwhile").isEmpty();
        stage.move("left", 0.81);
        assertThat(stage.news()).containsExactly("mixer left=620");
        stage.pass(5_000);
        stage.report("mixer", "left", -300);
        stage.move("left", 0.9);
        assertThat(stage.news()).as("changed at the device").isEmpty();
    }

    @Test
    void itsOwnValuesThatAreReportedLateAreNoChangeByOthers() {
        Stage stage = stage(true);
        stage.move("left", 0.5);
        stage.move("left", 0.6);
        stage.pass(30);
        stage.move("left", 0.7);
        stage.pass(30);
        stage.report("mixer", "left", 200);
        stage.news();
        stage.move("left", 0.8);
        stage.pass(30);
        assertThat(stage.news()).containsExactly("mixer left=600");
    }

    @Test
    void whatItsDeviceNeverTellsIsSetByTheFirstMoveThatIsNoNoise() {
        Stage stage = stage(true);
        stage.move("speed", 0.2);
        stage.move("speed", 0.21);
        stage.move("speed", 0.19);
        assertThat(stage.news()).as("found, and noise").isEmpty();
        assertThat(stage.events("note")).isEmpty();
        stage.move("speed", 0.3);
        assertThat(stage.news()).containsExactly("camera speed=0.3");
        assertThat(stage.events("note")).hasSize(1).first().asString().contains("nobody can tell");
        stage.move("speed", 0.31);
        assertThat(stage.news()).containsExactly("camera speed=0.31");
    }

    @Test
    void whatItsDeviceNeverTellsIsWhatWasSetLastAlsoAfterALostLink() {
        TestSite site = new TestSite().fader(fader("speed", "camera.speed", 0, 1, Calibration.NONE, 1, 0, true));
        site.macro("slow", set("camera.speed", 0.6)).end();
        Stage stage = new Stage(site.site()).ready();
        stage.move("speed", 0.2);
        stage.press("slow");
        stage.news();
        stage.move("speed", 0.4);
        assertThat(stage.news()).as("set by a macro, not met yet").isEmpty();
        stage.link("camera", LinkState.DOWN);
        stage.move("speed", 0.9);
        assertThat(stage.news()).as("nothing can be moved, nor met").isEmpty();
        stage.link("camera", LinkState.UP);
        stage.news();
        stage.move("speed", 0.8);
        assertThat(stage.news()).as("not met yet").isEmpty();
        stage.move("speed", 0.5);
        assertThat(stage.news()).containsExactly("camera speed=0.5");
    }

    @Test
    void aValueThatWasRefusedIsNotWhatWasSetLast() {
        TestSite site = new TestSite().fader(fader("speed", "camera.speed", 0, 1, Calibration.NONE, 1, 0, true));
        site.macro("slow", set("camera.speed", 0.6)).end();
        site.macro("fast", set("camera.speed", 0.9)).end();
        Stage stage = new Stage(site.site()).ready();
        stage.move("speed", 0.2);
        stage.press("slow");
        stage.press("fast");
        stage.outcome("camera", "camera speed=0.9", new Outcome.Refused("test"));
        stage.link("camera", LinkState.DOWN);
        stage.link("camera", LinkState.UP);
        stage.news();
        stage.move("speed", 0.55);
        assertThat(stage.news()).isEmpty();
        stage.move("speed", 0.65);
        assertThat(stage.news()).containsExactly("camera speed=0.65");
    }

    /** After a connect that brought no word of the value: the mixer does not answer. */
    private static Stage unanswered() {
        TestSite site = new TestSite().fader(fader("left", "mixer.left", -1000, 1000, Calibration.NONE, 1, 0, true));
        Stage stage = new Stage(site.site());
        stage.link("mixer", LinkState.UP);
        stage.move("left", 0.9);
        stage.news();
        return stage;
    }

    @Test
    void aValueThatIsAskedForIsWaitedForHoweverFarItIsMoved() {
        Stage stage = unanswered();
        stage.pass(20_000);
        stage.move("left", 0.1);
        assertThat(stage.news()).as("the question is still on its way").isEmpty();
        assertThat(stage.events("note")).hasSize(1).first().asString().contains("not known what mixer.left is");
        stage.report("mixer", "left", 500);
        stage.move("left", 0.2);
        assertThat(stage.news()).as("to meet 500").isEmpty();
        stage.move("left", 0.8);
        assertThat(stage.news()).containsExactly("mixer left=600");
    }

    @Test
    void aDeviceThatAnswersNothingIsAskedAgainAndThenItIsMoved() {
        Stage stage = unanswered();
        for (int i = 0; i < 3; i++) {
            stage.outcome("mixer", "mixer left?", new Outcome.Failed("no answer"));
            stage.move("left", i % 2);
            assertThat(stage.news()).as("asked %s times", i + 1).doesNotContain("mixer left=1000", "mixer left=-1000");
            stage.pass(3_000);
        }
        stage.outcome("mixer", "mixer left?", new Outcome.Failed("no answer"));
        stage.move("left", 0.01);
        assertThat(stage.news()).as("less than a hand's move from where it was left").isEmpty();
        stage.move("left", 0.5);
        assertThat(stage.news()).containsExactly("mixer left=0");
    }

    @Test
    void whatASilenceMadeUnknownIsWaitedForUntilItIsTold() {
        Stage stage = stage(true);
        stage.move("left", 0.4);
        stage.move("left", 0.6);
        assertThat(stage.news()).containsExactly("mixer left=200");
        stage.link("mixer", LinkState.STALE);
        stage.link("mixer", LinkState.UP);
        stage.news();
        stage.move("left", 0.7);
        assertThat(stage.news()).as("what was believed cannot be relied on").isEmpty();
        stage.report("mixer", "left", 450);
        stage.pass(100);
        stage.news();
        stage.move("left", 0.75);
        assertThat(stage.news()).containsExactly("mixer left=500");
    }

    @Test
    void afterALinkWasLostItHasToMeetTheValueAgain() {
        Stage stage = stage(true);
        stage.move("left", 0.5);
        stage.move("left", 0.6);
        stage.link("mixer", LinkState.DOWN);
        stage.link("mixer", LinkState.UP);
        stage.report("mixer", "left", -500);
        stage.news();
        stage.move("left", 0.7);
        assertThat(stage.news()).isEmpty();
    }

    @Test
    void aRefusedValueIsSentAgainWhenTheFaderStandsThereAgain() {
        Stage stage = stage(false);
        stage.move("left", 0.5);
        stage.move("left", 0.6);
        stage.outcome("mixer", "mixer left=200", new Outcome.Refused("test"));
        stage.pass(100);
        stage.news();
        stage.move("left", 0.6);
        assertThat(stage.news()).containsExactly("mixer left=200");
    }

    @Test
    void whereItIsFoundAfterItsConverterWasLostIsAStateAgain() {
        Stage stage = stage(false);
        stage.move("left", 0.5);
        stage.lose("left");
        stage.move("left", 0.9);
        assertThat(stage.news()).isEmpty();
    }
}
