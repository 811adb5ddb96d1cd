package bellpush.runtime.panel.lines;

import bellpush.runtime.panel.kernel.Kernel;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.lang.foreign.MemorySegment;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayDeque;
import java.util.HashMap;
import java.util.Map;

/**
 * Behaves as the GPIO character device does by include/uapi/linux/gpio.h (the comments on its structures) and, where those are
 * silent, by drivers/gpio/gpiolib-cdev.c of Linux 6.12: an event buffer of 16 events a line of which the oldest is dropped, a
 * held line is EBUSY, a chip that was taken away gives ENODEV and hangs up polls. Takes structures apart by the header's own
 * offsets, not by those of the code that is tested. Chips are files in a folder. Closing twice or using what is closed fails
 * the test.
 */
final class FakeKernel implements Kernel {
    private static final int EPERM = 1;
    private static final int EBADF = 9;
    private static final int EBUSY = 16;
    private static final int ENODEV = 19;
    private static final int EINVAL = 22;

    private final Path folder;
    private final Map<String, Chip> chips = new HashMap<>();
    private final Map<Integer, Object> descriptors = new HashMap<>();
    private int next = 3;
    /** How often a poll has returned. */
    private int wakes;
    private int setCalls;
    private int requestCalls;

    FakeKernel(Path folder) {
        this.folder = folder;
    }

    /** A chip. Lines are named by hand; all float low until pulled. */
    final class Chip {
        final String name;
        final String label;
        final Line[] lines;
        int openError;
        boolean oldInterface;
        boolean gone;

        private Chip(String name, String label, int count) {
            this.name = name;
            this.label = label;
            lines = new Line[count];
            for (int i = 0; i < count; i++) {
                lines[i] = new Line();
            }
        }

        Chip named(int first, int last) {
            for (int i = first; i <= last; i++) {
                lines[i].name = "GPIO" + i;
            }
            return this;
        }

        /** Drives a line from outside. */
        void drive(int offset, boolean high) {
            synchronized (FakeKernel.this) {
                Line line = lines[offset];
                line.driven = high;
                line.settle(System.nanoTime(), offset);
            }
        }

        /** An edge that the kernel merges with the next: its number is used up and no event comes of it. */
        void mergedEdge(int offset) {
            synchronized (FakeKernel.this) {
                lines[offset].request.number++;
            }
        }

        void unplug() {
            synchronized (FakeKernel.this) {
                gone = true;
                chips.remove(name);
                delete(name);
                FakeKernel.this.notifyAll();
            }
        }

        boolean high(int offset) {
            synchronized (FakeKernel.this) {
                return lines[offset].level;
            }
        }
    }

    /** One line of a chip. */
    static final class Line {
        String name = "";
        String consumer = "";
        boolean held;
        long flags;
        long debounceUs;
        Boolean driven;
        boolean level;
        Request request;
        private int number;

        private boolean active() {
            return level ^ (flags & 1 << 1) != 0;
        }

        private void settle(long now, int offset) {
            boolean before = level;
            if ((flags & 1 << 3) == 0) {
                level = driven != null ? driven : (flags & 1 << 8) != 0;
            }
            if (level != before && request != null && (flags & 1 << (active() ? 4 : 5)) != 0) {
                request.put(now, offset, active(), ++number);
            }
        }
    }

    /** Lines that were given out. */
    private final class Request {
        private final Chip chip;
        private final int[] offsets;
        private final int capacity;
        private final ArrayDeque<byte[]> events = new ArrayDeque<>();
        private int number;

        Request(Chip chip, int[] offsets, int capacity) {
            this.chip = chip;
            this.offsets = offsets;
            this.capacity = capacity;
        }

        void put(long now, int offset, boolean rising, int lineNumber) {
            number++;
            ByteBuffer event = ByteBuffer.allocate(48).order(ByteOrder.nativeOrder());
            event.putLong(now).putInt(rising ? 1 : 2).putInt(offset)
                    .putInt(offsets.length == 1 ? lineNumber : number).putInt(lineNumber);
            if (events.size() == capacity) {
                events.removeFirst();
            }
            events.add(event.array());
            FakeKernel.this.notifyAll();
        }
    }

    /** A counter of eventfd(2). */
    private static final class Counter {
        private long count;
    }

    synchronized Chip plug(String name, String label, int lines) {
        try {
            Files.writeString(folder.resolve(name), "");
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
        Chip chip = new Chip(name, label, lines);
        chips.put(name, chip);
        return chip;
    }

    private void delete(String name) {
        try {
            Files.delete(folder.resolve(name));
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    synchronized int openDescriptors() {
        return descriptors.size();
    }

    synchronized int wakes() {
        return wakes;
    }

    synchronized int setCalls() {
        return setCalls;
    }

    synchronized int requestCalls() {
        return requestCalls;
    }

    @Override
    public synchronized int open(String path) {
        Chip chip = chips.get(Path.of(path).getFileName().toString());
        if (chip == null) {
            return -2;
        }
        return chip.openError != 0 ? -chip.openError : given(chip);
    }

    private int given(Object what) {
        descriptors.put(next, what);
        return next++;
    }

    @Override
    public synchronized int close(int descriptor) {
        Object what = descriptors.remove(descriptor);
        if (what == null) {
            throw new AssertionError("closed what is not open: " + descriptor);
        }
        if (what instanceof Request request) {
            for (int offset : request.offsets) {
                Line line = request.chip.lines[offset];
                line.held = false;
                line.consumer = "";
                line.request = null;
                boolean output = (line.flags & 1 << 3) != 0;
                line.flags = 0;
                if (!output) { // what becomes of an output is the driver's affair; here it stays
                    line.settle(System.nanoTime(), offset);
                }
            }
        }
        notifyAll();
        return 0;
    }

    @Override
    public synchronized int ioctl(int descriptor, int request, MemorySegment argument) {
        ByteBuffer bytes = argument.asByteBuffer().order(ByteOrder.nativeOrder());
        int size = request >>> 16 & 0x3fff;
        if (size != bytes.capacity() || (request >>> 8 & 0xff) != 0xB4) {
            throw new AssertionError("request " + Integer.toHexString(request) + " with " + bytes.capacity()
                    + " bytes");
        }
        return switch (descriptors.get(descriptor)) {
            case Chip chip when chip.gone -> -ENODEV;
            case Chip chip -> switch (request & 0xff) {
                case 0x01 -> chipInfo(chip, bytes);
                case 0x05 -> chip.oldInterface ? -EINVAL : lineInfo(chip, bytes);
                case 0x07 -> chip.oldInterface ? -EINVAL : request(chip, bytes);
                default -> -EINVAL;
            };
            case Request lines when lines.chip.gone -> -ENODEV;
            case Request lines -> switch (request & 0xff) {
                case 0x0E -> getValues(lines, bytes);
                case 0x0F -> setValues(lines, bytes);
                default -> -EINVAL;
            };
            case null, default -> -EBADF;
        };
    }

    private static void put(ByteBuffer to, int at, String name) {
        to.put(at, java.util.Arrays.copyOf(name.getBytes(StandardCharsets.UTF_8), 32));
    }

    private static int chipInfo(Chip chip, ByteBuffer info) {
        put(info, 0, chip.name);
        put(info, 32, chip.label);
        info.putInt(64, chip.lines.length);
        return 0;
    }

    private static int lineInfo(Chip chip, ByteBuffer info) {
        int offset = info.getInt(64);
        if (offset >= chip.lines.length) {
            return -EINVAL;
        }
        Line line = chip.lines[offset];
        put(info, 0, line.name);
        put(info, 32, line.consumer);
        info.putLong(72, line.flags | (line.held ? 1 : 0));
        return 0;
    }

    private int request(Chip chip, ByteBuffer request) {
        requestCalls++;
        int count = request.getInt(560);
        if (count < 1 || count > 64) {
            return -EINVAL;
        }
        int[] offsets = new int[count];
        for (int i = 0; i < count; i++) {
            offsets[i] = request.getInt(i * 4);
            if (offsets[i] >= chip.lines.length) {
                return -EINVAL;
            }
            if (chip.lines[offsets[i]].held) {
                return -EBUSY;
            }
        }
        byte[] consumer = new byte[32];
        request.get(256, consumer);
        int wanted = request.getInt(564);
        Request lines = new Request(chip, offsets, wanted == 0 ? count * 16 : Math.min(wanted, 64 * 16));
        for (int i = 0; i < count; i++) {
            Line line = chip.lines[offsets[i]];
            long flags = attribute(request, i, 1, request.getLong(288));
            boolean input = (flags & 1 << 2) != 0;
            if (input == ((flags & 1 << 3) != 0) || !input && (flags & 3 << 4) != 0) {
                return -EINVAL;
            }
            line.held = true;
            line.consumer = new String(consumer, StandardCharsets.UTF_8).replace("\0", "");
            line.flags = flags;
            line.number = 0;
            line.debounceUs = attribute(request, i, 3, 0) & 0xffff_ffffL;
            if (input) {
                line.settle(System.nanoTime(), offsets[i]); // its pull
            } else {
                line.level = (attribute(request, i, 2, 0) >> i & 1) != 0 ^ (flags & 1 << 1) != 0;
            }
            line.request = lines;
        }
        request.putInt(588, given(lines));
        return 0;
    }

    /** The first attribute that is for the line, else the default. */
    private static long attribute(ByteBuffer request, int line, int id, long otherwise) {
        for (int i = 0; i < request.getInt(296); i++) {
            int at = 320 + i * 24;
            if (request.getInt(at) == id && (request.getLong(at + 16) >> line & 1) != 0) {
                return request.getLong(at + 8);
            }
        }
        return otherwise;
    }

    private static int getValues(Request lines, ByteBuffer values) {
        long bits = 0;
        for (int i = 0; i < lines.offsets.length; i++) {
            if ((values.getLong(8) >> i & 1) != 0 && lines.chip.lines[lines.offsets[i]].active()) {
                bits |= 1L << i;
            }
        }
        values.putLong(0, bits);
        return 0;
    }

    private int setValues(Request lines, ByteBuffer values) {
        setCalls++;
        for (int i = 0; i < lines.offsets.length; i++) {
            if ((values.getLong(8) >> i & 1) != 0) {
                Line line = lines.chip.lines[lines.offsets[i]];
                if ((line.flags & 1 << 3) == 0) {
                    return -EPERM;
                }
                line.level = (values.getLong(0) >> i & 1) != 0 ^ (line.flags & 1 << 1) != 0;
            }
        }
        return 0;
    }

    @Override
    public synchronized long read(int descriptor, MemorySegment into) {
        ByteBuffer bytes = into.asByteBuffer().order(ByteOrder.nativeOrder());
        return switch (descriptors.get(descriptor)) {
            case Counter counter -> {
                bytes.putLong(0, counter.count);
                counter.count = 0;
                yield 8;
            }
            case Request lines when lines.chip.gone -> -ENODEV;
            case Request lines -> {
                while (!lines.events.isEmpty() && bytes.remaining() >= 48) {
                    bytes.put(lines.events.removeFirst());
                }
                yield bytes.position();
            }
            case null, default -> -EBADF;
        };
    }

    @Override
    public synchronized long write(int descriptor, MemorySegment from) {
        if (!(descriptors.get(descriptor) instanceof Counter counter)) {
            return -EBADF;
        }
        counter.count += from.asByteBuffer().order(ByteOrder.nativeOrder()).getLong();
        notifyAll();
        return 8;
    }

    @Override
    public synchronized int poll(MemorySegment polled, int timeoutMs) {
        ByteBuffer bytes = polled.asByteBuffer().order(ByteOrder.nativeOrder());
        long until = System.nanoTime() + timeoutMs * 1_000_000L;
        while (true) {
            int ready = 0;
            for (int at = 0; at < bytes.capacity(); at += 8) {
                int returned = bytes.getInt(at) < 0
                        ? 0
                        : state(descriptors.get(bytes.getInt(at)))
                                & (bytes.getShort(at + 4) | 0x38);
                bytes.putShort(at + 6, (short) returned);
                ready += returned != 0 ? 1 : 0;
            }
            long leftMs = timeoutMs < 0 ? 0 : (until - System.nanoTime()) / 1_000_000;
            if (ready > 0 || timeoutMs >= 0 && leftMs <= 0) {
                wakes++;
                return ready;
            }
            try {
                wait(leftMs);
            } catch (InterruptedException e) {
                throw new AssertionError(e);
            }
        }
    }

    /** POLLIN, POLLERR | POLLHUP, or POLLNVAL. */
    private static int state(Object what) {
        return switch (what) {
            case Counter counter -> counter.count > 0 ? 1 : 0;
            case Request lines when lines.chip.gone -> 0x18;
            case Request lines -> lines.events.isEmpty() ? 0 : 1;
            case null, default -> 0x20;
        };
    }

    @Override
    public synchronized int eventfd() {
        return given(new Counter());
    }

    @Override
    public long monotonicNanos() {
        return System.nanoTime();
    }
}
