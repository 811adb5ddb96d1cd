package bellpush.runtime.panel.chips;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import bellpush.runtime.panel.bus.BusException;
import bellpush.runtime.panel.bus.I2cDevice;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import org.junit.jupiter.api.Test;

/** Byte sequences of the data sheets: Microchip DS21295D (2008) for the MCP3008, TI SBAS444E for the ADS1115. */
class ConverterTest {
    private final World world = new World();

    private static byte[] hex(String bytes) {
        return HexFormat.ofDelimiter(" ").parseHex(bytes);
    }

    @Test
    void theFakeMcp3008AnswersInEitherAlignment() {
        FakeMcp3008 chip = new FakeMcp3008(world);
        chip.set(0, 0x2a5);
        chip.set(7, 0x3ff);
        // Figure 6-1 of the data sheet: three bytes, start bit at the end of the first one.
        byte[] three = chip.transfer(hex("01 80 00"));
        assertThat((three[1] & 3) << 8 | three[2] & 0xff).isEqualTo(0x2a5);
        assertThat(three[1] & 4).isZero();
        three = chip.transfer(hex("01 f0 00"));
        assertThat((three[1] & 3) << 8 | three[2] & 0xff).isEqualTo(0x3ff);
        // The alignment of the Linux driver (drivers/iio/adc/mcp320x.c): start bit, single, channel, in one byte.
        byte[] linux = chip.transfer(hex("60 00 00"));
        assertThat((linux[1] & 0xff) << 2 | (linux[2] & 0xff) >> 6).isEqualTo(0x2a5);
    }

    @Test
    void theFakeMcp3008MeasuresPairsAgainstEachOther() {
        FakeMcp3008 chip = new FakeMcp3008(world);
        chip.set(2, 500);
        chip.set(3, 200);
        byte[] answer = chip.transfer(hex("01 20 00")); // Table 5-2: differential, CH2 = IN+
        assertThat((answer[1] & 3) << 8 | answer[2] & 0xff).isEqualTo(300);
        answer = chip.transfer(hex("01 30 00")); // CH3 = IN+
        assertThat((answer[1] & 3) << 8 | answer[2] & 0xff).isZero();
    }

    @Test
    void everyInputOfAnMcp3008IsReadFromEndToEnd() throws BusException {
        FakeMcp3008 chip = new FakeMcp3008(world);
        Mcp3008 converter = new Mcp3008("adc", chip);
        for (int input = 0; input < 8; input++) {
            for (int code : new int[]{0, 1, 512, 1022, 1023}) {
                chip.set(input, code);
                assertThat(converter.share(input)).hasValue(code / 1023.0);
            }
            chip.set(input, 0);
        }
    }

    @Test
    void anMcp3008ThatIsNotThereIsNoticedByItsNullBit() {
        FakeMcp3008 chip = new FakeMcp3008(world);
        chip.connected(false);
        assertThatThrownBy(() -> new Mcp3008("adc", chip).share(0)).isInstanceOf(BusException.class)
                .hasMessageContaining("No answer from the converter adc");
    }

    @Test
    void theFakeAds1115HasTheResetValuesAndMeasuresWhatItIsTold() throws BusException {
        FakeAds1115 chip = new FakeAds1115(world, 1);
        assertThat(chip.writeRead(hex("01"), 2)).isEqualTo(hex("85 83"));
        assertThat(chip.writeRead(hex("02"), 2)).isEqualTo(hex("80 00"));
        assertThat(chip.writeRead(hex("03"), 2)).isEqualTo(hex("7f ff"));
        chip.set(2, 4.096 / 2);
        chip.write(hex("01 e3 83")); // AIN2, ±4.096 V, DR 100
        assertThat(chip.writeRead(hex("01"), 2)).isEqualTo(hex("63 83")); // busy: OS reads 0
        world.pass(8_000_000);
        assertThat(chip.writeRead(hex("01"), 2)).isEqualTo(hex("e3 83"));
        assertThat(chip.writeRead(hex("00"), 2)).isEqualTo(hex("40 00"));
        chip.set(2, -0.000125);
        chip.write(hex("01 e3 83"));
        world.pass(8_000_000);
        assertThat(chip.writeRead(hex("00"), 2)).isEqualTo(hex("ff ff")); // one LSB below 0
    }

    /** Config words that a chip with 3.3 V faders is sent, where the time allows DR 100. */
    @Test
    void theConfigWordsAreThoseOfTheDataSheet() throws BusException {
        List<String> sent = new ArrayList<>();
        FakeAds1115 chip = new FakeAds1115(world, 1);
        Ads1115 converter = new Ads1115("stick", recording(chip, sent), 3.3, 4, 50_000_000);
        for (int input = 0; input < 4; input++) {
            long takes = converter.start(input);
            assertThat(takes).isBetween(7_812_500L, 9_000_000L);
            world.pass(takes);
            assertThat(converter.share(input)).isPresent();
        }
        assertThat(sent).containsExactly("01c383", "01d383", "01e383", "01f383");
    }

    @Test
    void theSlowestRateThatFitsIsTaken() throws BusException {
        record Case(int inputs, long everyMs, int rate) {}
        for (Case each : List.of(new Case(1, 1_000, 0), new Case(1, 20, 3), new Case(2, 20, 5), new Case(2, 22, 4),
                new Case(4, 20, 6),
                new Case(4, 5, 7), new Case(4, 1, 7))) {
            FakeAds1115 chip = new FakeAds1115(world, 1);
            new Ads1115("stick", chip, 3.3, each.inputs(), each.everyMs() * 1_000_000).start(0);
            assertThat(chip.config() >> 5 & 7).as("%s", each).isEqualTo(each.rate());
        }
    }

    @Test
    void theSupplyIsFullScale() throws BusException {
        for (double supply : new double[]{5, 3.3, 2.048, 1.8}) {
            FakeAds1115 chip = new FakeAds1115(world, 1.1); // a chip whose clock is slow
            Ads1115 converter = new Ads1115("stick", chip, supply, 1, 20_000_000);
            for (double share : new double[]{0, 0.25, 0.5, 1}) {
                chip.set(0, supply * share);
                world.pass(converter.start(0));
                assertThat(converter.share(0).orElseThrow()).isCloseTo(share, within(0.0001));
            }
            chip.set(0, -0.001);
            world.pass(converter.start(0));
            assertThat(converter.share(0)).hasValue(0);
        }
    }

    @Test
    void anAds1115ThatHasLostItsSettingsIsNotBelieved() throws BusException {
        FakeAds1115 chip = new FakeAds1115(world, 1);
        Ads1115 converter = new Ads1115("stick", chip, 3.3, 1, 20_000_000);
        long takes = converter.start(0);
        chip.brownOut();
        world.pass(takes);
        assertThatThrownBy(() -> converter.share(0)).hasMessageContaining("does not keep its settings");
    }

    private static I2cDevice recording(FakeAds1115 chip, List<String> sent) {
        return new I2cDevice() {
            @Override
            public void write(byte... bytes) throws BusException {
                sent.add(HexFormat.of().formatHex(bytes));
                chip.write(bytes);
            }

            @Override
            public byte[] read(int count) throws BusException {
                return chip.read(count);
            }

            @Override
            public byte[] writeRead(byte[] bytes, int count) throws BusException {
                return chip.writeRead(bytes, count);
            }

            @Override
            public void close() {}
        };
    }
}
