package bellpush.runtime.panel.bus;

import bellpush.runtime.panel.kernel.Kernel;
import java.lang.foreign.Arena;
import java.lang.foreign.MemorySegment;
import java.lang.foreign.ValueLayout;

/**
 * A chip behind {@code /dev/i2c-N}. Each transfer carries its address itself ({@code I2C_RDWR}), so that no other chip can ever get
 * what was meant for this one. Layouts and numbers: {@code linux/i2c-dev.h}, {@code linux/i2c.h}.
 */
final class LinuxI2c extends LinuxBus implements I2cDevice {
    static final int I2C_SLAVE = 0x0703;
    static final int I2C_RDWR = 0x0707;
    private static final short I2C_M_RD = 1;
    private static final int MESSAGE_BYTES = 16;
    private static final int MESSAGE_FLAGS = 2;
    private static final int MESSAGE_LENGTH = 4;
    private static final int MESSAGE_BUFFER = 8;
    private static final int LIST_BYTES = 16;
    private static final int LIST_COUNT = 8;
    private static final int LENGTH_MAX = 8192; // the kernel's, for one message

    private final int address;

    LinuxI2c(Kernel kernel, String file, int address) {
        super(kernel, file);
        this.address = address;
    }

    @Override
    public void write(byte... bytes) throws BusException {
        transfer(bytes, 0);
    }

    @Override
    public byte[] read(int count) throws BusException {
        return transfer(new byte[0], count);
    }

    @Override
    public byte[] writeRead(byte[] bytes, int count) throws BusException {
        return transfer(bytes, count);
    }

    private synchronized byte[] transfer(byte[] send, int count) throws BusException {
        if (send.length > LENGTH_MAX || count > LENGTH_MAX) {
            throw new IllegalArgumentException("more than " + LENGTH_MAX + " bytes");
        }
        reach();
        try (Arena arena = Arena.ofConfined()) {
            MemorySegment sent = arena.allocate(Math.max(1, send.length));
            MemorySegment.copy(send, 0, sent, ValueLayout.JAVA_BYTE, 0, send.length);
            MemorySegment received = arena.allocate(Math.max(1, count));
            MemorySegment messages = arena.allocate(2 * MESSAGE_BYTES, 8);
            int used = 0;
            if (send.length > 0) {
                message(messages, used++, (short) 0, sent, send.length);
            }
            if (count > 0) {
                message(messages, used++, I2C_M_RD, received, count);
            }
            MemorySegment list = arena.allocate(LIST_BYTES, 8);
            list.set(ValueLayout.JAVA_LONG, 0, messages.address());
            list.set(ValueLayout.JAVA_INT, LIST_COUNT, used);
            int result = ioctl(I2C_RDWR, list);
            if (result == -BusTrouble.EREMOTEIO || result == -BusTrouble.EIO || result == -BusTrouble.EAGAIN) {
                result = ioctl(I2C_RDWR, list); // a click on a long wire is no broken chip
            }
            if (result < 0) {
                drop();
                throw BusTrouble.i2c(file, address, -result);
            }
            return received.asSlice(0, count).toArray(ValueLayout.JAVA_BYTE);
        }
    }

    private void message(MemorySegment messages, int index, short flags, MemorySegment buffer, int length) {
        MemorySegment message = messages.asSlice((long) index * MESSAGE_BYTES, MESSAGE_BYTES);
        message.set(ValueLayout.JAVA_SHORT, 0, (short) address);
        message.set(ValueLayout.JAVA_SHORT, MESSAGE_FLAGS, flags);
        message.set(ValueLayout.JAVA_SHORT, MESSAGE_LENGTH, (short) length);
        message.set(ValueLayout.JAVA_LONG, MESSAGE_BUFFER, buffer.address());
    }

    @Override
    BusException notOpened(int errno) {
        return BusTrouble.i2c(file, address, errno);
    }

    @Override
    void setUp() throws BusException {
        // Transfers would go through all the same; but two masters of one chip disturb each other.
        int claimed = ioctl(I2C_SLAVE, address);
        if (claimed < 0) {
            drop();
            throw BusTrouble.i2c(file, address, -claimed);
        }
    }
}
