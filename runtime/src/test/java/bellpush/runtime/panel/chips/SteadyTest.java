package bellpush.runtime.panel.chips;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import org.junit.jupiter.api.Test;

class SteadyTest {
    @Test
    void theFirstValueIsToldAndNoiseIsNot() {
        Steady steady = new Steady(0.004);
        assertThat(steady.take(0.5)).hasValue(0.5);
        assertThat(steady.take(0.5039)).isEmpty();
        assertThat(steady.take(0.4961)).isEmpty();
        assertThat(steady.take(0.504)).hasValue(0.504);
        assertThat(steady.take(0.5)).hasValue(0.5);
    }

    @Test
    void theEndsAreReachedExactly() {
        Steady steady = new Steady(0.004);
        steady.take(0.998);
        assertThat(steady.take(1)).hasValue(1);
        assertThat(steady.take(1)).isEmpty();
        assertThat(steady.take(0.998)).isEmpty();
        steady.take(0.002);
        assertThat(steady.take(0)).hasValue(0);
    }

    @Property
    void aValueAtRestWithNoiseWithinTheBandIsToldOnce(@ForAll long seed,
            @ForAll @DoubleRange(min = 0.01, max = 0.99) double rest) {
        Random random = new Random(seed);
        Steady steady = new Steady(0.004);
        int told = 0;
        for (int i = 0; i < 500; i++) {
            told += steady.take(rest + (random.nextDouble() - 0.5) * 0.0039).isPresent() ? 1 : 0;
        }
        assertThat(told).isEqualTo(1);
    }

    @Property
    void whatWasToldIsNeverFurtherAwayThanTheBand(@ForAll long seed) {
        Random random = new Random(seed);
        Steady steady = new Steady(0.004);
        double told = Double.NaN;
        double at = 0.5;
        for (int i = 0; i < 500; i++) {
            at = Math.clamp(at + random.nextGaussian() * 0.003, 0, 1);
            told = steady.take(at).orElse(told);
            assertThat(Math.abs(told - at)).isLessThan(0.004);
        }
    }
}
