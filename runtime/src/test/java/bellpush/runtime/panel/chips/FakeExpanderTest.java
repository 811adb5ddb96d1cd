package bellpush.runtime.panel.chips;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.runtime.panel.bus.BusException;
import bellpush.runtime.panel.bus.I2cDevice;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

/** The fake against the data sheet: Microchip DS20001952C (2016). What it does is what the other tests rest on. */
class FakeExpanderTest {
    private final World world = new World();
    private final FakeExpander chip = new FakeExpander(world, false, 0);
    private final I2cDevice bus = chip.onI2c();

    private int[] read(int register, int count) throws BusException {
        byte[] bytes = bus.writeRead(new byte[]{(byte) register}, count);
        int[] values = new int[count];
        for (int i = 0; i < count; i++) {
            values[i] = bytes[i] & 0xff;
        }
        return values;
    }

    private void write(int... bytes) throws BusException {
        byte[] all = new byte[bytes.length];
        for (int i = 0; i < bytes.length; i++) {
            all[i] = (byte) bytes[i];
        }
        bus.write(all);
    }

    @Test
    void resetValuesAreThoseOfTable3Dash5() throws BusException {
        int[] all = read(0, 0x16);
        assertThat(all[0x00]).isEqualTo(0xff);
        assertThat(all[0x01]).isEqualTo(0xff);
        for (int register = 0x02; register < 0x16; register++) {
            assertThat(all[register]).as("register %02x", register).isZero();
        }
    }

    @Test
    void addressesOfOneBankAreThoseOfTable3Dash1WithBank1() throws BusException {
        write(0x0a, 0x80);
        write(0x10, 0x0f); // IODIRB
        write(0x06, 0x33); // GPPUA
        assertThat(chip.register(0x01)).isEqualTo(0x0f);
        assertThat(chip.register(0x0c)).isEqualTo(0x33);
        write(0x05, 0x00); // IOCON in this bank
        assertThat(read(0x01, 1)).containsExactly(0x0f);
    }

    @Test
    void withoutSequenceThePointerTogglesWithinAPair() throws BusException {
        write(0x0a, 0x20);
        write(0x00, 1, 2, 3, 4);
        assertThat(chip.register(0x00)).isEqualTo(3);
        assertThat(chip.register(0x01)).isEqualTo(4);
        assertThat(chip.register(0x02)).isZero();
    }

    @Test
    void aWriteToGpioGoesToTheLatchAndComesOutOnOutputsOnly() throws BusException {
        write(0x00, 0xf0);
        write(0x12, 0xff);
        assertThat(chip.register(0x14)).isEqualTo(0xff);
        assertThat(chip.level(0)).isTrue();
        assertThat(chip.level(4)).isFalse();
        assertThat(read(0x12, 1)).containsExactly(0x0f);
    }

    @Test
    void polarityTurnsWhatIsReadAndPullUpsLiftWhatIsOpen() throws BusException {
        write(0x0c, 0x03);
        chip.drive(1, false);
        assertThat(read(0x12, 1)).containsExactly(0x01);
        write(0x02, 0x02);
        assertThat(read(0x12, 1)).containsExactly(0x03);
    }

    @Test
    void theFirstChangeFreezesTheCaptureUntilItIsRead() throws BusException {
        List<Boolean> line = new ArrayList<>();
        chip.onInterruptLine(line::add);
        write(0x0c, 0xff);
        write(0x04, 0xff);
        chip.drive(2, false);
        chip.drive(3, false);
        chip.drive(2, null);
        assertThat(line).containsExactly(true);
        assertThat(read(0x0e, 1)).containsExactly(0x04);
        assertThat(line).containsExactly(true); // INTF alone clears nothing
        assertThat(read(0x10, 1)).containsExactly(0xfb);
        assertThat(line).containsExactly(true, false);
        assertThat(read(0x0e, 1)).containsExactly(0x00);
        assertThat(read(0x12, 1)).containsExactly(0xf7);
    }

    @Test
    void aComparisonWithAValueComesBackAfterReadingWhileItDiffers() throws BusException {
        write(0x06, 0x01);
        write(0x08, 0x01);
        write(0x04, 0x01);
        chip.drive(0, true);
        chip.drive(0, false);
        assertThat(read(0x0e, 1)).containsExactly(0x01);
        read(0x12, 1);
        assertThat(read(0x0e, 1)).containsExactly(0x01);
        chip.drive(0, true);
        read(0x12, 1);
        assertThat(read(0x0e, 1)).containsExactly(0x00);
    }

    @Test
    void portBSpeaksOnLineAOnlyWithMirror() throws BusException {
        List<Boolean> line = new ArrayList<>();
        chip.onInterruptLine(line::add);
        write(0x05, 0xff);
        chip.drive(9, true);
        assertThat(line).isEmpty();
        write(0x0a, 0x40);
        assertThat(line).containsExactly(true);
    }

    @Test
    void anOutputGivesNoInterrupt() throws BusException {
        List<Boolean> line = new ArrayList<>();
        chip.onInterruptLine(line::add);
        write(0x04, 0xff);
        write(0x00, 0x00);
        write(0x14, 0xff);
        assertThat(line).isEmpty();
    }

    @Test
    void onSpiOnlyTheAddressedChipAnswersOnceAddressesAreOn() throws BusException {
        FakeExpander first = new FakeExpander(world, true, 0);
        FakeExpander second = new FakeExpander(world, true, 1);
        var spi = FakeExpander.onSpi(world, 0xff, first, second);
        spi.transfer((byte) 0x40, (byte) 0x0a, (byte) 0x08); // both hear it: addresses are off
        assertThat(first.register(0x0a)).isEqualTo(0x08);
        assertThat(second.register(0x0a)).isEqualTo(0x08);
        spi.transfer((byte) 0x42, (byte) 0x00, (byte) 0x55);
        assertThat(first.register(0x00)).isEqualTo(0xff);
        assertThat(second.register(0x00)).isEqualTo(0x55);
        assertThat(spi.transfer((byte) 0x43, (byte) 0x00, (byte) 0)[2]).isEqualTo((byte) 0x55);
    }
}
