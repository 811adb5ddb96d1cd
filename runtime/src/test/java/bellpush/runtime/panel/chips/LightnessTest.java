package bellpush.runtime.panel.chips;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;

class LightnessTest {
    @Test
    void theFormulaIsCie1976Lightness() {
        // L* = 116 Y^(1/3) − 16, below 8 903.3 Y (CIE 15:2004); that L* = 50 is Y = 0.184 is known from grey cards of 18 %.
        assertThat(Lightness.luminance(0)).isZero();
        assertThat(Lightness.luminance(1)).isEqualTo(1);
        assertThat(Lightness.luminance(0.5)).isCloseTo(0.1842, within(0.0001));
        assertThat(Lightness.luminance(0.08)).isCloseTo(0.008856, within(0.000001));
        for (double seen = 0; seen <= 1; seen += 0.01) {
            double y = Lightness.luminance(seen);
            double back = y > 0.008856 ? 116 * Math.cbrt(y) - 16 : 903.3 * y;
            assertThat(back).isCloseTo(seen * 100, within(0.01));
        }
    }
}
