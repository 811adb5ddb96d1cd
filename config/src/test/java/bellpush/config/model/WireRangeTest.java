package bellpush.config.model;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import bellpush.config.model.PropertyType.WireRange;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Scales of devices: which values reach them, and which are the same to them. */
class WireRangeTest {
    private static final PropertyType SPEED = new PropertyType.Whole(-100, 100, "%",
            Optional.of(new WireRange(-1, 1)));
    private static final PropertyType LEVEL = new PropertyType.Number(-60, 10, 0.5, "dB",
            Optional.of(new WireRange(0, 1)));
    private static final PropertyType DIMMER = new PropertyType.Whole(0, 1000, "‰", Optional.of(new WireRange(0, 255)));

    @ParameterizedTest
    @CsvSource({"0, 1, false", "-1, 1, false", "1, -1, false", "0.01, 1, false", "0, 255, true", "0, 2, true",
        "-2, 2, true", "100, 0, true", "0, 2.5, false"})
    void sharesAreFractionsAndOtherScalesWithWholeEndsAreWhole(double from, double to, boolean whole) {
        assertThat(new WireRange(from, to).whole()).isEqualTo(whole);
    }

    @Test
    void aSpeedBetweenMinusOneAndOneReachesTheDeviceAsItIs() {
        assertThat(((Value.Num) SPEED.toWire(Value.of(40))).number()).isCloseTo(0.4, within(1e-12));
        assertThat(((Value.Num) SPEED.toWire(Value.of(-7))).number()).isCloseTo(-0.07, within(1e-12));
        assertThat(SPEED.fromWire(Value.of(0.4f))).contains(Value.of(40));
    }

    @Test
    void ofADeviceThatTakesFractionsOnlyValuesWithinHalfAStepAreTheSame() {
        assertThat(SPEED.same(Value.of(40), Value.of(41))).isFalse();
        assertThat(LEVEL.same(Value.of(-8), Value.of(-40))).isFalse();
        assertThat(LEVEL.same(Value.of(-8), Value.of(-8.3))).isFalse();
        assertThat(LEVEL.same(Value.of(-40), Value.of(-39.999999))).isTrue();
    }

    @Test
    void ofADeviceThatTakesWholeNumbersValuesWithinHalfOfOneAreTheSame() {
        assertThat(DIMMER.same(Value.of(500), Value.of(501))).isTrue();
        assertThat(DIMMER.same(Value.of(500), Value.of(503))).isFalse();
    }
}
