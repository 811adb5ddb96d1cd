package bellpush.runtime.panel.bus;

import bellpush.runtime.panel.kernel.Kernel;
import java.lang.foreign.MemorySegment;

/**
 * The device file of a bus: opened when it is first wanted, and anew after {@link #drop}, since a bus that was taken away comes
 * back under a new descriptor only. Guarded by the chip's own lock.
 */
abstract class LinuxBus implements AutoCloseable {
    private static final int NONE = -1;

    final String file;
    private final Kernel kernel;
    private int descriptor = NONE;
    private boolean closed;

    LinuxBus(Kernel kernel, String file) {
        this.kernel = kernel;
        this.file = file;
    }

    /** Why the file could not be opened, in words. */
    abstract BusException notOpened(int errno);

    /** Makes a file that has just been opened ready. It is {@link #drop}ped first where that fails. */
    abstract void setUp() throws BusException;

    /** Opens it, if it is not open. */
    final void reach() throws BusException {
        if (closed) {
            throw new BusException("The bus " + file + " is closed.");
        }
        if (descriptor == NONE) {
            int opened = kernel.open(file);
            if (opened < 0) {
                throw notOpened(-opened);
            }
            descriptor = opened;
            setUp();
        }
    }

    /** @return 0 or more, or the negated error number */
    final int ioctl(int request, MemorySegment argument) {
        return kernel.ioctl(descriptor, request, argument);
    }

    /** @return 0 or more, or the negated error number */
    final int ioctl(int request, long argument) {
        return kernel.ioctl(descriptor, request, argument);
    }

    final void drop() {
        kernel.close(descriptor);
        descriptor = NONE;
    }

    @Override
    public final synchronized void close() {
        closed = true;
        if (descriptor != NONE) {
            drop();
        }
    }
}
