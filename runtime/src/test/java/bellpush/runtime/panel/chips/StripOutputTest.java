package bellpush.runtime.panel.chips;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.runtime.panel.bus.BusException;
import bellpush.runtime.panel.bus.Buses;
import bellpush.runtime.panel.bus.I2cDevice;
import bellpush.runtime.panel.bus.SpiDevice;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;

class StripOutputTest {
    private static final Rgb RED = new Rgb(1, 0, 0);
    private static final Rgb GREEN = new Rgb(0, 1, 0);

    private final List<byte[]> sent = new ArrayList<>();
    private final List<String> notes = new ArrayList<>();
    private boolean fails;
    private int hertz;

    private final Buses buses = new Buses() {
        @Override
        public I2cDevice i2c(int bus, int address) {
            throw new AssertionError("no I2C here");
        }

        @Override
        public SpiDevice spi(int bus, int select, int clock) {
            hertz = clock;
            return new SpiDevice() {
                @Override
                public byte[] transfer(byte... bytes) throws BusException {
                    if (fails) {
                        throw new BusException("There is no bus.");
                    }
                    sent.add(bytes);
                    return bytes;
                }

                @Override
                public void close() {}
            };
        }
    };

    private StripOutput strip(boolean clocked, int length, double milliamps) {
        return StripOutput.on(buses, 0, 0, "strip", clocked, length, "grb", milliamps, notes::add,
                new BusTurn(() -> {}));
    }

    /** A receiver of our own: measures how long the line is high in each bit of 1.25 µs, and where it is silent. */
    private static String received(byte[] bytes, int hertz) {
        StringBuilder levels = new StringBuilder();
        for (byte each : bytes) {
            levels.append(String.format("%8s", Integer.toBinaryString(each & 0xff)).replace(' ', '0'));
        }
        double tick = 1e9 / hertz;
        StringBuilder bits = new StringBuilder();
        int silence = 0;
        for (int i = 0; i < levels.length();) {
            int low = 0;
            while (i + low < levels.length() && levels.charAt(i + low) == '0') {
                low++;
            }
            silence = low;
            i += low;
            int high = 0;
            while (i + high < levels.length() && levels.charAt(i + high) == '1') {
                high++;
            }
            i += high;
            if (high > 0) {
                assertThat(high * tick).isBetween(200.0, 1_000.0);
                bits.append(high * tick > 600 ? '1' : '0');
            }
        }
        assertThat(silence * tick).as("silence at the end").isGreaterThan(300_000);
        return bits.toString();
    }

    @Test
    void oneWireIsPulsesShortForNoughtAndLongForOne() {
        StripOutput strip = strip(false, 2, 1_000);
        strip.light(0, RED);
        strip.light(1, new Rgb(0, 0, 0x81 / 255.0));
        strip.show();
        assertThat(sent).hasSize(1);
        // Green, red, blue, most significant bit first.
        assertThat(received(sent.getFirst(), hertz)).isEqualTo(
                "00000000" + "11111111" + "00000000" + "00000000" + "00000000" + "10000001");
        assertThat(hertz).isEqualTo(2_400_000);
    }

    @Test
    void clockedIsAStartAFrameForEachLampAndAnEnd() {
        StripOutput strip = strip(true, 2, 1_000);
        strip.light(1, RED);
        strip.show();
        assertThat(HexFormat.ofDelimiter(" ").formatHex(sent.getFirst()))
                .isEqualTo("00 00 00 00 ff 00 00 00 ff 00 ff 00 00 00 00 00 00");
        strip(true, 100, 1_000).run(0);
        assertThat(sent.getLast().length * 8 - 32 - 100 * 32).isGreaterThanOrEqualTo(50);
    }

    @Test
    void allLampsAreDimmedAlikeToStayBelowTheCurrent() {
        StripOutput strip = strip(true, 4, 40); // 4 × 20 mA for 40 mA
        for (int lamp = 0; lamp < 4; lamp++) {
            strip.light(lamp, GREEN);
        }
        strip.show();
        byte[] bytes = sent.getFirst();
        for (int lamp = 0; lamp < 4; lamp++) {
            assertThat(bytes[4 + lamp * 4 + 1] & 0xff).isEqualTo(128);
        }
    }

    @Test
    void nothingIsSentWhereNothingHasChangedAndEverythingEveryTwoSeconds() {
        StripOutput strip = strip(true, 1, 1_000);
        strip.run(0);
        strip.light(0, Rgb.DARK);
        strip.show();
        assertThat(sent).hasSize(1);
        assertThat(strip.waitNanos(500_000_000)).isEqualTo(1_500_000_000);
    }

    @Test
    void atTheEndAllIsDark() {
        StripOutput strip = strip(true, 1, 1_000);
        strip.light(0, RED);
        strip.show();
        strip.close();
        assertThat(sent.getLast()).containsExactly(0, 0, 0, 0, 0xff, 0, 0, 0, 0, 0, 0, 0, 0);
        assertThat(strip.waitNanos(0)).isEqualTo(Chore.NEVER);
    }

    @Test
    void aBusThatFailsIsSaidOnce() {
        fails = true;
        StripOutput strip = strip(true, 1, 1_000);
        strip.run(0);
        strip.run(1);
        assertThat(notes).containsExactly("The lamps of strip cannot be set. There is no bus.");
        fails = false;
        strip.run(2);
        fails = true;
        strip.run(3);
        assertThat(notes).hasSize(2);
    }

    @Test
    void coloursAreTheWordsOfThePanel() {
        assertThat(Rgb.of(1, Optional.of("red"))).isEqualTo(RED);
        assertThat(Rgb.of(0.5, Optional.of("green")).green()).isEqualTo(Lightness.luminance(0.5));
        assertThat(Rgb.of(0, Optional.empty())).isEqualTo(Rgb.DARK);
    }
}
