package bellpush.runtime.kit;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class HeaderTest {
    @Test
    void everyGpioIsThereOnceAndAllPositionsAreAccountedFor() {
        List<Integer> gpios = Header.positions(Header.Gpio.class::isInstance).stream().map(Header::at)
                .map(contact -> ((Header.Gpio) contact).number()).sorted().toList();
        assertThat(gpios).isEqualTo(IntStream.rangeClosed(0, 27).boxed().toList());
        assertThat(28 + Header.positions(Header.Supply.THREE_VOLT_THREE::equals).size()
                + Header.positions(Header.Supply.FIVE_VOLT::equals).size()
                + Header.positions(Header.Supply.GROUND::equals).size()).isEqualTo(Header.POSITIONS);
    }

    /** Source: Raspberry Pi documentation, GPIO on Raspberry Pi. */
    @Test
    void suppliesAndGroundsAreWhereTheDocumentationHasThem() {
        assertThat(Header.positions(Header.Supply.THREE_VOLT_THREE::equals)).containsExactly(1, 17);
        assertThat(Header.positions(Header.Supply.FIVE_VOLT::equals)).containsExactly(2, 4);
        assertThat(Header.positions(Header.Supply.GROUND::equals)).containsExactly(6, 9, 14, 20, 25, 30, 34, 39);
    }

    /** Source: Zephyr binding raspberrypi-40pins-header, and the documentation's own table: position, then BCM number. */
    @ParameterizedTest
    @CsvSource({"3,2", "5,3", "7,4", "8,14", "10,15", "11,17", "12,18", "13,27", "15,22", "16,23", "18,24", "19,10",
        "21,9",
        "22,25", "23,11", "24,8", "26,7", "27,0", "28,1", "29,5", "31,6", "32,12", "33,13", "35,19", "36,16", "37,26",
        "38,20", "40,21"})
    void eachPositionHasItsGpio(int position, int gpio) {
        assertThat(Header.at(position)).isEqualTo(new Header.Gpio(gpio));
        assertThat(Header.positionOf(gpio)).isEqualTo(position);
    }

    @Test
    void secondJobsAreThoseOfTheDocumentation() {
        assertThat(IntStream.rangeClosed(0, 27).filter(gpio -> Header.secondJob(gpio).isEmpty()).boxed())
                .containsExactly(4, 5, 6, 12, 13, 16, 17, 22, 23, 24, 25, 26, 27);
        assertThat(Header.secondJob(1)).contains(Header.SecondJob.RESERVED);
        assertThat(Header.secondJob(3)).contains(Header.SecondJob.I2C);
        assertThat(Header.secondJob(7)).contains(Header.SecondJob.SPI);
        assertThat(Header.secondJob(15)).contains(Header.SecondJob.SERIAL);
        assertThat(Header.secondJob(20)).contains(Header.SecondJob.PCM);
        assertThat(Header.wakesTheBoard(3)).isTrue();
    }

    @Test
    void theNearestGroundIsTheOneNextToIt() {
        assertThat(Header.nearest(Header.Supply.GROUND, Header.positionOf(4))).isEqualTo(9);
        assertThat(Header.nearest(Header.Supply.GROUND, Header.positionOf(21))).isEqualTo(39);
        assertThat(Header.nearest(Header.Supply.GROUND, Header.positionOf(12))).isEqualTo(30);
        assertThat(Header.nearest(Header.Supply.THREE_VOLT_THREE, Header.positionOf(2))).isEqualTo(1);
    }
}
