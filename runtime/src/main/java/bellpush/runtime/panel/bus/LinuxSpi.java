package bellpush.runtime.panel.bus;

import bellpush.runtime.panel.kernel.Kernel;
import java.lang.foreign.Arena;
import java.lang.foreign.MemorySegment;
import java.lang.foreign.ValueLayout;

/** A chip behind {@code /dev/spidevB.S}, in mode 0. Layouts and numbers: {@code linux/spi/spidev.h}. */
final class LinuxSpi extends LinuxBus implements SpiDevice {
    static final int SPI_IOC_WR_MODE = 0x40016b01;
    static final int SPI_IOC_WR_BITS_PER_WORD = 0x40016b03;
    static final int SPI_IOC_MESSAGE_1 = 0x40206b00;
    private static final int TRANSFER_BYTES = 32;
    private static final int RECEIVE_BUFFER = 8;
    private static final int LENGTH = 16;
    private static final int SPEED = 20;
    private static final int BITS = 26;

    private final int hertz;

    LinuxSpi(Kernel kernel, String file, int hertz) {
        super(kernel, file);
        this.hertz = hertz;
    }

    @Override
    public synchronized byte[] transfer(byte... bytes) throws BusException {
        reach();
        try (Arena arena = Arena.ofConfined()) {
            MemorySegment sent = arena.allocate(Math.max(1, bytes.length));
            MemorySegment.copy(bytes, 0, sent, ValueLayout.JAVA_BYTE, 0, bytes.length);
            MemorySegment received = arena.allocate(Math.max(1, bytes.length));
            MemorySegment transfer = arena.allocate(TRANSFER_BYTES, 8);
            transfer.set(ValueLayout.JAVA_LONG, 0, sent.address());
            transfer.set(ValueLayout.JAVA_LONG, RECEIVE_BUFFER, received.address());
            transfer.set(ValueLayout.JAVA_INT, LENGTH, bytes.length);
            transfer.set(ValueLayout.JAVA_INT, SPEED, hertz); // in each transfer, whatever others have set
            transfer.set(ValueLayout.JAVA_BYTE, BITS, (byte) 8);
            check(ioctl(SPI_IOC_MESSAGE_1, transfer), bytes.length);
            return received.asSlice(0, bytes.length).toArray(ValueLayout.JAVA_BYTE);
        }
    }

    @Override
    BusException notOpened(int errno) {
        return BusTrouble.spi(file, 0, errno);
    }

    @Override
    void setUp() throws BusException {
        try (Arena arena = Arena.ofConfined()) {
            MemorySegment value = arena.allocate(1);
            check(ioctl(SPI_IOC_WR_MODE, value), 0); // 0: mode 0
            value.set(ValueLayout.JAVA_BYTE, 0, (byte) 8);
            check(ioctl(SPI_IOC_WR_BITS_PER_WORD, value), 0);
        }
    }

    private void check(int result, int bytes) throws BusException {
        if (result < 0) {
            drop();
            throw BusTrouble.spi(file, bytes, -result);
        }
    }
}
