package bellpush.runtime.panel.lines;

import static java.lang.foreign.ValueLayout.JAVA_INT;
import static java.lang.foreign.ValueLayout.JAVA_LONG;
import static java.lang.foreign.ValueLayout.JAVA_SHORT;

import bellpush.runtime.panel.kernel.Kernel;
import java.lang.foreign.Arena;
import java.lang.foreign.MemorySegment;
import java.nio.charset.StandardCharsets;

/**
 * The structures and requests of the kernel's GPIO character device, version 2, as in {@code include/uapi/linux/gpio.h} (Linux
 * 5.10 and later); {@code struct pollfd} as in {@code asm-generic/poll.h}. Numbers are the machine's byte order. A test
 * compares all of it with the header file where there is one.
 */
final class Uapi {
    static final int NAME_SIZE = 32;
    static final int LINES_MAX = 64;
    static final int ATTRS_MAX = 10;
    /** The kernel caps an event buffer at 16 events for each line that a request may have. */
    static final int EVENTS_MAX = LINES_MAX * 16;

    static final int CHIP_SIZE = 68;
    static final int CHIP_LABEL = 32;
    static final int CHIP_LINES = 64;

    static final int INFO_SIZE = 256;
    static final int INFO_CONSUMER = 32;
    static final int INFO_OFFSET = 64;
    static final int INFO_FLAGS = 72;

    static final int REQUEST_SIZE = 592;
    static final int REQUEST_CONSUMER = 256;
    static final int REQUEST_CONFIG = 288;
    static final int REQUEST_LINES = 560;
    static final int REQUEST_EVENTS = 564;
    static final int REQUEST_DESCRIPTOR = 588;

    static final int CONFIG_SIZE = 272;
    static final int CONFIG_ATTR_COUNT = 8;
    static final int CONFIG_ATTRS = 32;
    static final int ATTR_SIZE = 24;
    static final int ATTR_VALUE = 8;
    static final int ATTR_MASK = 16;

    static final int VALUES_SIZE = 16;
    static final int VALUES_MASK = 8;

    static final int EVENT_SIZE = 48;
    static final int EVENT_ID = 8;
    static final int EVENT_OFFSET = 12;
    static final int EVENT_SEQNO = 16;
    static final int EVENT_LINE_SEQNO = 20;
    static final int EVENT_RISING = 1;

    static final int POLL_SIZE = Kernel.POLL_SIZE;
    static final int POLL_EVENTS = 4;
    static final int POLL_RETURNED = 6;
    static final short POLLIN = 1;

    static final long FLAG_USED = 1;
    static final long FLAG_ACTIVE_LOW = 1 << 1;
    static final long FLAG_INPUT = 1 << 2;
    static final long FLAG_OUTPUT = 1 << 3;
    static final long FLAG_EDGE_RISING = 1 << 4;
    static final long FLAG_EDGE_FALLING = 1 << 5;
    static final long FLAG_PULL_UP = 1 << 8;
    static final long FLAG_PULL_DOWN = 1 << 9;
    static final long FLAG_NO_PULL = 1 << 10;

    static final int ATTR_FLAGS = 1;
    static final int ATTR_OUTPUT_VALUES = 2;
    static final int ATTR_DEBOUNCE = 3;

    private static final int READS = 2;
    private static final int WRITES = 1;
    static final int GET_CHIPINFO = number(READS, 0x01, CHIP_SIZE);
    static final int GET_LINEINFO = number(READS | WRITES, 0x05, INFO_SIZE);
    static final int GET_LINE = number(READS | WRITES, 0x07, REQUEST_SIZE);
    static final int GET_VALUES = number(READS | WRITES, 0x0E, VALUES_SIZE);
    static final int SET_VALUES = number(READS | WRITES, 0x0F, VALUES_SIZE);

    private Uapi() {}

    /** {@code _IOC} of asm-generic/ioctl.h: right for x86, ARM and RISC-V. */
    private static int number(int direction, int nr, int size) {
        return direction << 30 | size << 16 | 0xB4 << 8 | nr;
    }

    /** @param label what it is, such as {@code pinctrl-bcm2711} */
    record ChipInfo(String name, String label, int lines) {}

    /** @param consumer who holds it; may be empty though it is held */
    record LineInfo(String name, String consumer, long flags) {
        boolean used() {
            return (flags & FLAG_USED) != 0;
        }
    }

    /**
     * One edge.
     *
     * @param active    whether the line became active, with its active-low flag taken into account
     * @param number    counts the edges of the request; edges that the kernel merged leave a gap, lost ones too
     * @param lineNumber counts the events of the line; a gap means that the kernel's buffer was full
     */
    record Event(long atNanos, int offset, boolean active, int number, int lineNumber) {}

    static ChipInfo chip(Kernel kernel, int chip) throws Refusal {
        try (Arena arena = Arena.ofConfined()) {
            MemorySegment info = arena.allocate(CHIP_SIZE, 8);
            Refusal.check("GPIO_GET_CHIPINFO", kernel.ioctl(chip, GET_CHIPINFO, info));
            return new ChipInfo(text(info, 0), text(info, CHIP_LABEL), info.get(JAVA_INT, CHIP_LINES));
        }
    }

    static LineInfo line(Kernel kernel, int chip, int offset) throws Refusal {
        try (Arena arena = Arena.ofConfined()) {
            MemorySegment info = arena.allocate(INFO_SIZE, 8);
            info.set(JAVA_INT, INFO_OFFSET, offset);
            Refusal.check("GPIO_V2_GET_LINEINFO", kernel.ioctl(chip, GET_LINEINFO, info));
            return new LineInfo(text(info, 0), text(info, INFO_CONSUMER), info.get(JAVA_LONG, INFO_FLAGS));
        }
    }

    /** The lines among the first 64 of a request that a mask names, as the kernel has them: true = active. */
    static long values(Kernel kernel, int lines, long mask) throws Refusal {
        try (Arena arena = Arena.ofConfined()) {
            MemorySegment values = arena.allocate(VALUES_SIZE, 8);
            values.set(JAVA_LONG, VALUES_MASK, mask);
            Refusal.check("GPIO_V2_LINE_GET_VALUES", kernel.ioctl(lines, GET_VALUES, values));
            return values.get(JAVA_LONG, 0);
        }
    }

    static void setValues(Kernel kernel, int lines, long bits, long mask) throws Refusal {
        try (Arena arena = Arena.ofConfined()) {
            MemorySegment values = arena.allocate(VALUES_SIZE, 8);
            values.set(JAVA_LONG, 0, bits);
            values.set(JAVA_LONG, VALUES_MASK, mask);
            Refusal.check("GPIO_V2_LINE_SET_VALUES", kernel.ioctl(lines, SET_VALUES, values));
        }
    }

    static Event event(MemorySegment events, int index) {
        long at = (long) index * EVENT_SIZE;
        return new Event(events.get(JAVA_LONG, at), events.get(JAVA_INT, at + EVENT_OFFSET),
                events.get(JAVA_INT, at + EVENT_ID) == EVENT_RISING, events.get(JAVA_INT, at + EVENT_SEQNO),
                events.get(JAVA_INT, at + EVENT_LINE_SEQNO));
    }

    static void pollIn(MemorySegment descriptors, int index, int descriptor) {
        descriptors.set(JAVA_INT, (long) index * POLL_SIZE, descriptor);
        descriptors.set(JAVA_SHORT, (long) index * POLL_SIZE + POLL_EVENTS, POLLIN);
        descriptors.set(JAVA_SHORT, (long) index * POLL_SIZE + POLL_RETURNED, (short) 0);
    }

    static short polled(MemorySegment descriptors, int index) {
        return descriptors.get(JAVA_SHORT, (long) index * POLL_SIZE + POLL_RETURNED);
    }

    /** A name that fills its field has no zero at its end. */
    private static String text(MemorySegment from, int offset) {
        byte[] bytes = from.asSlice(offset, NAME_SIZE).toArray(java.lang.foreign.ValueLayout.JAVA_BYTE);
        int length = 0;
        while (length < bytes.length && bytes[length] != 0) {
            length++;
        }
        return new String(bytes, 0, length, StandardCharsets.UTF_8);
    }
}
