package bellpush.runtime.show;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import bellpush.config.model.Look;
import bellpush.config.model.Look.Pattern;
import java.util.Optional;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.LongRange;
import org.junit.jupiter.api.Test;

/**
 * Flash rates are checked against IEC 60073:2002 (secondary source: slow 24 to 48 a minute, normal 84 to 168 a minute, on to
 * off 1:1 to 4:1) and WCAG 2.x criterion 2.3.1 (from memory: no more than three flashes in any second).
 */
class FlashingTest {
    private static final long MS = 1_000_000;
    private static final long MINUTE_MS = 60_000;

    @Test
    void slowAndFastFlashAtRatesOfIec60073() {
        assertThat(flashesInAMinute(Pattern.SLOW)).isBetween(24L, 48L);
        assertThat(flashesInAMinute(Pattern.FAST)).isBetween(84L, 168L);
    }

    @Test
    void slowAndFastAreOnAsLongAsOff() {
        assertThat(litShare(Pattern.SLOW)).isCloseTo(0.5, within(1e-9));
        assertThat(litShare(Pattern.FAST)).isCloseTo(0.5, within(1e-9));
    }

    @Test
    void noPatternFlashesMoreThanThreeTimesInAnySecond() {
        for (Pattern pattern : Pattern.values()) {
            for (long from = 0; from < 2_000; from++) {
                long flashes = 0;
                for (long ms = from; ms < from + 1_000; ms++) {
                    flashes += lit(pattern, ms * MS) && !lit(pattern, (ms - 1) * MS) ? 1 : 0;
                }
                assertThat(flashes).as("%s from %d ms", pattern, from).isLessThanOrEqualTo(3);
            }
        }
    }

    @Test
    void aPulseIsAShortFlashEveryTwoSeconds() {
        assertThat(flashesInAMinute(Pattern.PULSE)).isEqualTo(30);
        assertThat(litShare(Pattern.PULSE)).isCloseTo(0.075, within(1e-9));
    }

    @Test
    void brightnessIsKeptWhileLit() {
        Look dim = new Look(Pattern.FAST, 0.3, Optional.of("red"));
        assertThat(Flashing.level(dim, 100 * MS)).isEqualTo(0.3);
        assertThat(Flashing.level(dim, 300 * MS)).isZero();
        assertThat(Flashing.level(new Look(Pattern.STEADY, 0.3, Optional.empty()), 300 * MS)).isEqualTo(0.3);
        assertThat(Flashing.level(Look.OFF, 300 * MS)).isZero();
    }

    @Test
    void steadyAndOffNeverChange() {
        assertThat(Flashing.untilChange(Look.OFF, 5)).isEqualTo(Long.MAX_VALUE);
        assertThat(Flashing.untilChange(Look.of(Pattern.STEADY), 5)).isEqualTo(Long.MAX_VALUE);
    }

    @Property
    void theLevelHoldsUntilTheChangeAndNotLonger(
            @ForAll @LongRange(min = -10_000_000_000L, max = Long.MAX_VALUE / 2) long at,
            @ForAll Pattern pattern) {
        Look look = Look.of(pattern);
        long left = Flashing.untilChange(look, at);
        if (left == Long.MAX_VALUE) {
            return;
        }
        assertThat(left).isPositive();
        assertThat(Flashing.level(look, at + left - 1)).isEqualTo(Flashing.level(look, at));
        assertThat(Flashing.level(look, at + left)).isNotEqualTo(Flashing.level(look, at));
    }

    private static boolean lit(Pattern pattern, long nanos) {
        return Flashing.level(Look.of(pattern), nanos) > 0;
    }

    private static long flashesInAMinute(Pattern pattern) {
        long flashes = 0;
        for (long ms = 0; ms < MINUTE_MS; ms++) {
            flashes += lit(pattern, ms * MS) && !lit(pattern, (ms - 1) * MS) ? 1 : 0;
        }
        return flashes;
    }

    private static double litShare(Pattern pattern) {
        long lit = 0;
        for (long ms = 0; ms < MINUTE_MS; ms++) {
            lit += lit(pattern, ms * MS) ? 1 : 0;
        }
        return (double) lit / MINUTE_MS;
    }
}
