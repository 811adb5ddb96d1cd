package bellpush.runtime.panel.kernel;

import java.lang.foreign.MemorySegment;

/**
 * The system calls that pins and buses need, so that tests can stand in for the kernel. Calls may come from any thread. Every call
 * returns what the system call returns, or the error number made negative.
 */
public interface Kernel {
    /** Bytes of {@code struct pollfd} (poll.h). */
    int POLL_SIZE = 8;

    /** For reading and writing; closed when another program is started. */
    int open(String path);

    int close(int descriptor);

    int ioctl(int descriptor, int request, MemorySegment argument);

    /** For requests whose argument is a number, and no address of something. */
    default int ioctl(int descriptor, int request, long argument) {
        return ioctl(descriptor, request, MemorySegment.ofAddress(argument));
    }

    long read(int descriptor, MemorySegment into);

    long write(int descriptor, MemorySegment from);

    /** @param descriptors an array of {@code struct pollfd}; @param timeoutMs -1: for ever */
    int poll(MemorySegment descriptors, int timeoutMs);

    /** A counter that wakes a poll. */
    int eventfd();

    /** The clock of the kernel's event time stamps, CLOCK_MONOTONIC. */
    long monotonicNanos();
}
