package bellpush.runtime.panel.lines;

import java.lang.foreign.MemorySegment;

/**
 * The system calls that lines need, so that tests can stand in for the kernel. Calls may come from any thread. Every call
 * returns what the system call returns, or the error number made negative.
 */
interface Kernel {
    /** For reading and writing; closed when another program is started. */
    int open(String path);

    int close(int descriptor);

    int ioctl(int descriptor, int request, MemorySegment argument);

    long read(int descriptor, MemorySegment into);

    long write(int descriptor, MemorySegment from);

    /** @param descriptors an array of {@code struct pollfd}; @param timeoutMs -1: for ever */
    int poll(MemorySegment descriptors, int timeoutMs);

    /** A counter that wakes a poll. */
    int eventfd();

    /** The clock of the kernel's event time stamps, CLOCK_MONOTONIC. */
    long monotonicNanos();
}
