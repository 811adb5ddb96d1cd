package bellpush.runtime.panel.bus;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import bellpush.runtime.panel.kernel.Kernel;
import bellpush.runtime.panel.kernel.LinuxKernel;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** What happens on a computer without these buses, through the kernel itself; and the sentences for what only a board can do. */
class LinuxBusTest {
    private final Kernel kernel = new LinuxKernel();
    @TempDir
    private Path folder;

    @Test
    void aBusThatIsNotThereIsSaidWithItsCure() {
        try (LinuxI2c i2c = new LinuxI2c(kernel, folder.resolve("i2c-1").toString(), 0x20);
                LinuxSpi spi = new LinuxSpi(kernel, folder.resolve("spidev0.1").toString(), 1_000_000)) {
            assertThatThrownBy(() -> i2c.write((byte) 0)).isInstanceOf(BusException.class)
                    .hasMessageContaining("There is no bus").hasMessageContaining("enable I2C");
            assertThatThrownBy(() -> spi.transfer((byte) 0)).isInstanceOf(BusException.class)
                    .hasMessageContaining("enable SPI");
        }
    }

    @Test
    void aFileThatIsNoBusIsSaid() throws IOException {
        Path file = Files.createFile(folder.resolve("plain"));
        try (LinuxI2c i2c = new LinuxI2c(kernel, file.toString(), 0x20);
                LinuxSpi spi = new LinuxSpi(kernel, file.toString(), 1_000_000)) {
            // The kernel answers ENOTTY to both: so the calls get through, and the error number comes back.
            assertThatThrownBy(() -> i2c.writeRead(new byte[]{0}, 1)).hasMessageContaining("no I2C bus");
            assertThatThrownBy(() -> spi.transfer((byte) 0)).hasMessageContaining("no SPI device");
            assertThatThrownBy(() -> i2c.read(1)).hasMessageContaining("no I2C bus"); // and again: it was closed in between
        }
    }

    @Test
    void aBusThatWasClosedStaysClosed() {
        LinuxI2c i2c = new LinuxI2c(kernel, folder.resolve("i2c-1").toString(), 0x20);
        i2c.close();
        assertThatThrownBy(() -> i2c.write((byte) 0)).hasMessageContaining("is closed");
    }

    @Test
    void filesAreNamedAsTheKernelNamesThem() {
        LinuxBuses buses = new LinuxBuses();
        try (I2cDevice i2c = buses.i2c(97, 0x20); SpiDevice spi = buses.spi(97, 1, 1_000_000)) {
            assertThatThrownBy(() -> i2c.write((byte) 0)).hasMessageContaining("/dev/i2c-97");
            assertThatThrownBy(() -> spi.transfer((byte) 0)).hasMessageContaining("/dev/spidev97.1");
        }
    }

    @ParameterizedTest
    @CsvSource({"13,usermod -aG i2c", "121,No answer from the chip at address 0x20", "5,No answer", "6,No answer",
        "110,held to ground", "16,driver of the kernel", "11,noise", "77,error 77"})
    void everyErrorOfI2cHasItsCure(int errno, String part) {
        assertThat(BusTrouble.i2c("/dev/i2c-1", 0x20, errno)).hasMessageContaining(part)
                .hasMessageContaining("/dev/i2c-1");
    }

    @ParameterizedTest
    @CsvSource({"13,usermod -aG spi", "16,holds", "90,spidev.bufsiz", "110,timed out", "77,error 77"})
    void everyErrorOfSpiHasItsCure(int errno, String part) {
        assertThat(BusTrouble.spi("/dev/spidev0.0", 9_000, errno)).hasMessageContaining(part)
                .hasMessageContaining("/dev/spidev0.0");
    }

    /**
     * Numbers of the kernel's requests: direction, size, letter and number, as {@code asm-generic/ioctl.h} packs them, against
     * {@code linux/spi/spidev.h} ('k', 0 to 3, a transfer is 32 bytes) and {@code linux/i2c-dev.h} (plain numbers).
     */
    @Test
    void requestNumbersAreTheKernels() {
        assertThat(LinuxSpi.SPI_IOC_MESSAGE_1).isEqualTo(request(32, 0));
        assertThat(LinuxSpi.SPI_IOC_WR_MODE).isEqualTo(request(1, 1));
        assertThat(LinuxSpi.SPI_IOC_WR_BITS_PER_WORD).isEqualTo(request(1, 3));
        assertThat(LinuxI2c.I2C_SLAVE).isEqualTo(0x0703);
        assertThat(LinuxI2c.I2C_RDWR).isEqualTo(0x0707);
    }

    private static long request(int size, int number) {
        return 1L << 30 | (long) size << 16 | 'k' << 8 | number;
    }
}
