package bellpush.runtime.kit;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.stream.IntStream;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class LedResistorTest {
    /** The series as IEC 60063 has it (read in a component table that names the standard). */
    private static final List<Integer> IEC_60063 = List.of(10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39,
            43,
            47, 51, 56, 62, 68, 75, 82, 91);

    @Test
    void theSeriesIsThatOfTheStandard() {
        List<Double> walked = IntStream.rangeClosed(1_000, 9_999).mapToObj(tenths -> E24.atLeast(tenths / 100.0))
                .distinct().toList();
        assertThat(walked.subList(0, 24)).isEqualTo(IEC_60063.stream().map(Integer::doubleValue).toList());
        assertThat(walked.getLast()).isEqualTo(100);
    }

    @ParameterizedTest
    @CsvSource({"1, 1", "9.11, 10", "91, 91", "91.1, 100", "999, 1000", "1000, 1000", "1001, 1100",
        "9999999, 10000000"})
    void theNextHigherValueIsNeverBelow(double ohms, double standard) {
        assertThat(E24.atLeast(ohms)).isCloseTo(standard, within(1e-6));
    }

    @ParameterizedTest
    @CsvSource({"1, 1", "9.9, 9.1", "100, 100", "5200, 5100", "10999, 10000"})
    void theNextLowerValueIsNeverAbove(double ohms, double standard) {
        assertThat(E24.atMost(ohms)).isCloseTo(standard, within(1e-6));
    }

    @Property
    void neighboursInTheSeriesEncloseAnyValue(@ForAll @DoubleRange(min = 1, max = 1_000_000) double ohms) {
        double above = E24.atLeast(ohms);
        double below = E24.atMost(ohms);
        assertThat(above).isGreaterThanOrEqualTo(ohms * (1 - 1e-8));
        assertThat(below).isLessThanOrEqualTo(ohms * (1 + 1e-8));
        assertThat(above / below).isLessThan(1.16); // the widest step of the series is 13 to 15
    }

    /**
     * Worked examples. 9 V at 2 V and 15 mA: encyclopedia article "LED circuit", whose answer is from E12, 470 Ω, and E24 has the
     * same. 9 V and 12 V at 1.8 V and 5 mA: online course "Diode-LED" (hobby-electronics.info), which rounds 2040 Ω down
     * where the rule is up. 5 V at 2 V and 15 mA: a circuits course's lesson on LED resistors.
     */
    @ParameterizedTest
    @CsvSource({"9, 2, 15, 466.67, 470", "9, 1.8, 5, 1440, 1500", "12, 1.8, 5, 2040, 2200", "5, 2, 15, 200, 200"})
    void publishedExamplesComeOut(double supply, double forward, double milliamps, double exact, double standard) {
        LedResistor resistor = LedResistor.of(supply, forward, milliamps);
        assertThat(resistor.exactOhms()).isCloseTo(exact, within(0.01));
        assertThat(resistor.ohms()).isEqualTo(standard);
        assertThat(resistor.milliamps()).isLessThanOrEqualTo(milliamps);
    }

    /** From memory: Lessons in Electric Circuits, vol. III (6 V and 24 V at 1.6 V and 20 mA). */
    @ParameterizedTest
    @CsvSource({"6, 220", "24, 1120"})
    void examplesFromMemoryComeOut(double supply, double exact) {
        assertThat(LedResistor.of(supply, 1.6, 20).exactOhms()).isCloseTo(exact, within(1e-6));
    }

    /** Computed from the rule, for the header's 3.3 V. */
    @ParameterizedTest
    @CsvSource({"2, 650, 680", "5, 260, 270", "8, 162.5, 180"})
    void aPinOfTheHeaderTakesTheseResistors(double milliamps, double exact, double standard) {
        LedResistor resistor = LedResistor.of(3.3, 2.0, milliamps);
        assertThat(resistor.exactOhms()).isCloseTo(exact, within(1e-9));
        assertThat(resistor.ohms()).isEqualTo(standard);
        assertThat(resistor.milliwatts()).isCloseTo(1.3 * 1.3 / standard * 1_000, within(1e-9));
    }

    @Test
    void anLedThatNeedsMoreThanThereIsHasNoResistor() {
        assertThatThrownBy(() -> LedResistor.of(3.3, 3.3, 2)).isInstanceOf(IllegalArgumentException.class);
    }

    @Test
    void aTransistorGivesABlueLedWhatAPinCannot() {
        TransistorDriver driver = TransistorDriver.of(3.2, 5);
        assertThat(driver.led().ohms()).isEqualTo(330); // (5 − 0.2 − 3.2) V / 5 mA = 320 Ω
        assertThat(driver.baseOhms()).isEqualTo(5_100); // 2.6 V / 0.5 mA = 5.2 kΩ, and the next lower
        assertThat(driver.baseMilliamps()).isBetween(0.5, 0.55);
    }

    @Test
    void valuesAreWrittenAsOnTheBag() {
        assertThat(E24.words(680)).isEqualTo("680 Ω");
        assertThat(E24.words(1_500)).isEqualTo("1.5 kΩ");
        assertThat(E24.words(10_000)).isEqualTo("10 kΩ");
        assertThat(E24.words(2_200_000)).isEqualTo("2.2 MΩ");
    }
}
