package bellpush.config.model;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

/** That each ease is the published formula. */
class EaseTest {
    /**
     * CSS Easing Functions Level 1 (W3C), sections 2.1 and 2.2, gives the curves by their control points; these are their
     * values at the quarters, worked out apart from this program by halving in double precision. {@code smooth} is 3t² - 2t³
     * (The OpenGL Shading Language, section 8.3), by hand: 5/32, 1/2, 27/32.
     */
    @ParameterizedTest
    @CsvSource({"EVEN, 0.25, 0.5, 0.75", "START, 0.093464650719, 0.315356812573, 0.621861869175",
        "END, 0.378138130825, 0.684643187427, 0.906535349281", "BOTH, 0.129161931047, 0.5, 0.870838068953",
        "SMOOTH, 0.15625, 0.5, 0.84375"})
    void theQuartersAreThoseOfTheFormula(Ease ease, double quarter, double half, double threeQuarters) {
        assertThat(ease.at(0)).isZero();
        assertThat(ease.at(0.25)).isCloseTo(quarter, within(1e-11));
        assertThat(ease.at(0.5)).isCloseTo(half, within(1e-11));
        assertThat(ease.at(0.75)).isCloseTo(threeQuarters, within(1e-11));
        assertThat(ease.at(1)).isEqualTo(1);
    }

    /** The other way round: a point of the curve, in Bernstein's form with the document's control points, lies on the ease. */
    @ParameterizedTest
    @CsvSource({"START, 0.42, 0, 1, 1", "END, 0, 0, 0.58, 1", "BOTH, 0.42, 0, 0.58, 1"})
    void pointsOfThePublishedCurveLieOnIt(Ease ease, double x1, double y1, double x2, double y2) {
        for (int i = 1; i < 100; i++) {
            double t = i / 100.0;
            double first = 3 * t * Math.pow(1 - t, 2);
            double second = 3 * t * t * (1 - t);
            double x = first * x1 + second * x2 + Math.pow(t, 3);
            double y = first * y1 + second * y2 + Math.pow(t, 3);
            assertThat(ease.at(x)).as("at %s", x).isCloseTo(y, within(1e-11));
        }
    }

    /**
     * SVG 1.1 (W3C), section 19.2.9, prints what animations from 10 to 20 in 4 s with such curves are after each second,
     * rounded in its own way: the curve itself is up to 0.1 from what is printed. The figures are from memory.
     */
    @ParameterizedTest
    @CsvSource({"0.5, 0, 0.5, 1, 11.0, 15.0, 19.0", "0, 0.75, 0.25, 1, 18.0, 19.3, 19.8",
        "1, 0, 0.25, 0.25, 10.1, 10.6, 16.9"})
    void theCurveAgreesWithThePrintedTableOfAnotherStandard(double x1, double y1, double x2, double y2, double quarter,
            double half, double threeQuarters) {
        CubicBezier curve = new CubicBezier(x1, y1, x2, y2);
        assertThat(10 + 10 * curve.applyAsDouble(0.25)).isCloseTo(quarter, within(0.15));
        assertThat(10 + 10 * curve.applyAsDouble(0.5)).isCloseTo(half, within(0.15));
        assertThat(10 + 10 * curve.applyAsDouble(0.75)).isCloseTo(threeQuarters, within(0.15));
    }

    @ParameterizedTest
    @EnumSource(Ease.class)
    void noneGoesBackOrFasterThanItSays(Ease ease) {
        double before = 0;
        for (int i = 1; i <= 10_000; i++) {
            double at = ease.at(i / 10_000.0);
            assertThat(at).isGreaterThanOrEqualTo(before);
            assertThat((at - before) * 10_000).isLessThanOrEqualTo(ease.steepest() * 1.005);
            before = at;
        }
        assertThat(before).isEqualTo(1);
    }

    @Test
    void whatIsOutsideTheTimeIsTheEndThatIsNearest() {
        assertThat(Ease.BOTH.at(-0.1)).isZero();
        assertThat(Ease.BOTH.at(1.1)).isEqualTo(1);
        assertThat(Ease.BOTH.at(Double.POSITIVE_INFINITY)).isEqualTo(1);
    }
}
