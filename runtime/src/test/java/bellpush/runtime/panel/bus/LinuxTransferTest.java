package bellpush.runtime.panel.bus;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import bellpush.runtime.panel.kernel.Kernel;
import java.lang.foreign.MemorySegment;
import java.lang.foreign.ValueLayout;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.HexFormat;
import java.util.List;
import org.junit.jupiter.api.Test;

/**
 * What reaches the kernel, read as its headers lay it out: {@code struct i2c_rdwr_ioctl_data} and {@code struct i2c_msg}
 * (linux/i2c-dev.h, linux/i2c.h), {@code struct spi_ioc_transfer} (linux/spi/spidev.h). Offsets and numbers are what a C compiler says
 * of those headers on x86_64.
 */
class LinuxTransferTest {
    private final List<String> calls = new ArrayList<>();
    private final Deque<Integer> failures = new ArrayDeque<>();
    private final byte[] answer = {0x11, 0x22, 0x33};

    private final Kernel kernel = new Kernel() {
        private int opened = 7;

        @Override
        public int open(String path) {
            calls.add("open " + path + " as " + opened);
            return opened++;
        }

        @Override
        public int close(int descriptor) {
            calls.add("close " + descriptor);
            return 0;
        }

        @Override
        public int ioctl(int descriptor, int request, MemorySegment argument) {
            switch (request) {
                case 0x0703 -> {
                    calls.add("address " + Long.toHexString(argument.address()));
                    return 0;
                }
                case 0x40016b01, 0x40016b03 -> {
                    calls.add((request == 0x40016b01 ? "mode " : "bits ") + argument.get(ValueLayout.JAVA_BYTE, 0));
                    return 0;
                }
                case 0x0707 -> i2c(descriptor, argument);
                case 0x40206b00 -> spi(descriptor, argument);
                default -> throw new AssertionError("request " + Integer.toHexString(request));
            }
            return failures.isEmpty() ? 0 : -failures.remove();
        }

        private void i2c(int descriptor, MemorySegment list) {
            int count = list.get(ValueLayout.JAVA_INT, 8);
            MemorySegment messages = at(list.get(ValueLayout.JAVA_LONG, 0), 16L * count);
            StringBuilder text = new StringBuilder("i2c on " + descriptor);
            for (int i = 0; i < count; i++) {
                int address = messages.get(ValueLayout.JAVA_SHORT, 16L * i);
                boolean reads = messages.get(ValueLayout.JAVA_SHORT, 16L * i + 2) == 1;
                int length = messages.get(ValueLayout.JAVA_SHORT, 16L * i + 4);
                MemorySegment buffer = at(messages.get(ValueLayout.JAVA_LONG, 16L * i + 8), length);
                if (reads) {
                    MemorySegment.copy(answer, 0, buffer, ValueLayout.JAVA_BYTE, 0, length);
                }
                text.append(String.format(", %02x %s", address, reads ? "reads " + length : "writes " + hex(buffer)));
            }
            calls.add(text.toString());
        }

        private void spi(int descriptor, MemorySegment transfer) {
            int length = transfer.get(ValueLayout.JAVA_INT, 16);
            MemorySegment sent = at(transfer.get(ValueLayout.JAVA_LONG, 0), length);
            MemorySegment.copy(answer, 0, at(transfer.get(ValueLayout.JAVA_LONG, 8), length), ValueLayout.JAVA_BYTE, 0,
                    length);
            calls.add("spi on " + descriptor + " " + hex(sent) + " at " + transfer.get(ValueLayout.JAVA_INT, 20)
                    + " Hz, bits " + transfer.get(ValueLayout.JAVA_BYTE, 26));
        }

        @SuppressWarnings("restricted") // as the kernel does: an address, and how much is there
        private static MemorySegment at(long address, long bytes) {
            return MemorySegment.ofAddress(address).reinterpret(bytes);
        }

        private static String hex(MemorySegment bytes) {
            return HexFormat.of().formatHex(bytes.toArray(ValueLayout.JAVA_BYTE));
        }

        @Override
        public long read(int descriptor, MemorySegment into) {
            throw new AssertionError();
        }

        @Override
        public long write(int descriptor, MemorySegment from) {
            throw new AssertionError();
        }

        @Override
        public int poll(MemorySegment descriptors, int timeoutMs) {
            throw new AssertionError();
        }

        @Override
        public int eventfd() {
            throw new AssertionError();
        }

        @Override
        public long monotonicNanos() {
            throw new AssertionError();
        }
    };

    @Test
    void writingAndReadingIsOneTransferOfTwoMessages() throws BusException {
        try (LinuxI2c chip = new LinuxI2c(kernel, "/dev/i2c-1", 0x20)) {
            assertThat(chip.writeRead(new byte[]{0x0a}, 3)).isEqualTo(answer);
            chip.write((byte) 0x14, (byte) 0xff);
            assertThat(chip.read(2)).containsExactly(0x11, 0x22);
        }
        assertThat(calls).containsExactly("open /dev/i2c-1 as 7", "address 20", "i2c on 7, 20 writes 0a, 20 reads 3",
                "i2c on 7, 20 writes 14ff", "i2c on 7, 20 reads 2", "close 7");
    }

    @Test
    void aClickIsTriedOnceMoreAndWhatLastsOpensTheBusAnew() throws BusException {
        try (LinuxI2c chip = new LinuxI2c(kernel, "/dev/i2c-1", 0x20)) {
            failures.add(BusTrouble.EREMOTEIO);
            chip.write((byte) 1);
            failures.addAll(List.of(BusTrouble.EREMOTEIO, BusTrouble.EREMOTEIO));
            assertThatThrownBy(() -> chip.write((byte) 2)).isInstanceOf(BusException.class)
                    .hasMessageContaining("No answer from the chip at address 0x20");
            chip.write((byte) 3);
        }
        assertThat(calls).containsExactly("open /dev/i2c-1 as 7", "address 20", "i2c on 7, 20 writes 01",
                "i2c on 7, 20 writes 01", "i2c on 7, 20 writes 02", "i2c on 7, 20 writes 02", "close 7",
                "open /dev/i2c-1 as 8", "address 20", "i2c on 8, 20 writes 03", "close 8");
    }

    @Test
    void aTransferOnSpiCarriesItsOwnClock() throws BusException {
        try (LinuxSpi chip = new LinuxSpi(kernel, "/dev/spidev0.1", 1_000_000)) {
            assertThat(chip.transfer((byte) 0x41, (byte) 0x0a, (byte) 0)).isEqualTo(answer);
        }
        assertThat(calls).containsExactly("open /dev/spidev0.1 as 7", "mode 0", "bits 8",
                "spi on 7 410a00 at 1000000 Hz, bits 8", "close 7");
    }
}
