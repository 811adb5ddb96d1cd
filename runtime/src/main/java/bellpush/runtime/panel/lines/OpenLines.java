package bellpush.runtime.panel.lines;

import static java.lang.foreign.ValueLayout.JAVA_BYTE;
import static java.lang.foreign.ValueLayout.JAVA_INT;
import static java.lang.foreign.ValueLayout.JAVA_LONG;

import bellpush.runtime.panel.PanelException;
import bellpush.runtime.panel.PinBank.In;
import bellpush.runtime.panel.PinBank.Out;
import bellpush.runtime.panel.kernel.Kernel;
import java.lang.foreign.Arena;
import java.lang.foreign.MemorySegment;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.IntStream;

/**
 * Lines that the kernel has given us: one request for all inputs and one for all outputs, or as many as 64 lines each make
 * necessary. Not for several threads at once, except that events may be read beside.
 */
final class OpenLines {
    private static final String CONSUMER = "bellpush";

    /** One request. @param lines the index of a line in the request is its bit */
    record Request(int descriptor, List<Line> lines, boolean inputs) {
        int pinAt(int offset) {
            for (Line line : lines) {
                if (line.offset() == offset) {
                    return line.pin();
                }
            }
            return -1;
        }
    }

    /** What is asked for. @param flags see linux/gpio.h; @param active of an output, from the start */
    record Line(int pin, int offset, long flags, int debounceUs, boolean active) {}

    private final Kernel kernel;
    private final List<Request> requests = new ArrayList<>();

    private OpenLines(Kernel kernel) {
        this.kernel = kernel;
    }

    /**
     * @param debounceUs by pin: what the kernel is to wait until a level is steady; the time stamp is then that much later
     * @param levels     of the outputs from the start: true = active
     * @throws PanelException in words, if the kernel refuses; nothing is left open
     */
    static OpenLines of(Kernel kernel, LineChip chip, List<In> ins, List<Out> outs, Map<Integer, Integer> debounceUs,
            Map<Integer, Boolean> levels) {
        List<Line> outputs = outs.stream().map(out -> new Line(out.pin(), offset(chip, out.pin()), flags(out), 0,
                levels.getOrDefault(out.pin(), false))).toList();
        List<Line> inputs = ins.stream().map(in -> new Line(in.pin(), offset(chip, in.pin()), flags(in),
                debounceUs.getOrDefault(in.pin(), 0), false)).toList();
        OpenLines open = new OpenLines(kernel);
        List<Line> asking = outputs;
        int descriptor = -1;
        try {
            descriptor = (int) Refusal.check("open " + chip.path(), kernel.open(chip.path()));
            open.request(descriptor, outputs, false);
            asking = inputs;
            open.request(descriptor, inputs, true);
            return open;
        } catch (Refusal e) {
            open.close();
            throw Plainly.refused(kernel, chip, descriptor, asking, e);
        } finally {
            if (descriptor >= 0) {
                kernel.close(descriptor); // the requests stay
            }
        }
    }

    private static int offset(LineChip chip, int pin) {
        int offset = chip.offset(pin);
        if (offset < 0) {
            throw Plainly.noSuchLine(chip, pin);
        }
        return offset;
    }

    private static long flags(Out out) {
        return Uapi.FLAG_OUTPUT | (out.activeLow() ? Uapi.FLAG_ACTIVE_LOW : 0);
    }

    private static long flags(In in) {
        return Uapi.FLAG_INPUT | Uapi.FLAG_EDGE_RISING | Uapi.FLAG_EDGE_FALLING
                | (in.activeLow() ? Uapi.FLAG_ACTIVE_LOW : 0) | switch (in.pull()) {
                    case UP -> Uapi.FLAG_PULL_UP;
                    case DOWN -> Uapi.FLAG_PULL_DOWN;
                    case NONE -> Uapi.FLAG_NO_PULL;
                };
    }

    private void request(int chip, List<Line> all, boolean inputs) throws Refusal {
        for (int from = 0; from < all.size(); from += Uapi.LINES_MAX) {
            List<Line> lines = all.subList(from, Math.min(all.size(), from + Uapi.LINES_MAX));
            try (Arena arena = Arena.ofConfined()) {
                MemorySegment request = arena.allocate(Uapi.REQUEST_SIZE, 8);
                describe(request, lines, inputs);
                Refusal.check("GPIO_V2_GET_LINE", kernel.ioctl(chip, Uapi.GET_LINE, request));
                requests.add(new Request(request.get(JAVA_INT, Uapi.REQUEST_DESCRIPTOR), lines, inputs));
            }
        }
    }

    /** The first line's flags are the request's; lines that differ from them get theirs as attributes. */
    private static void describe(MemorySegment request, List<Line> lines, boolean inputs) throws Refusal {
        for (int i = 0; i < lines.size(); i++) {
            request.setAtIndex(JAVA_INT, i, lines.get(i).offset());
        }
        MemorySegment.copy(CONSUMER.getBytes(StandardCharsets.US_ASCII), 0, request, JAVA_BYTE,
                Uapi.REQUEST_CONSUMER, CONSUMER.length());
        request.set(JAVA_INT, Uapi.REQUEST_LINES, lines.size());
        request.set(JAVA_INT, Uapi.REQUEST_EVENTS, inputs ? Uapi.EVENTS_MAX : 0);
        long most = lines.getFirst().flags();
        request.set(JAVA_LONG, Uapi.REQUEST_CONFIG, most);
        if (!inputs) {
            attribute(request, Uapi.ATTR_OUTPUT_VALUES, mask(lines, Line::active), mask(lines, _ -> true));
        }
        for (long flags : lines.stream().map(Line::flags).filter(flags -> flags != most).distinct().toList()) {
            attribute(request, Uapi.ATTR_FLAGS, flags, mask(lines, line -> line.flags() == flags));
        }
        for (int us : lines.stream().map(Line::debounceUs).filter(us -> us > 0).distinct().toList()) {
            attribute(request, Uapi.ATTR_DEBOUNCE, us, mask(lines, line -> line.debounceUs() == us));
        }
    }

    private static long mask(List<Line> lines, java.util.function.Predicate<Line> which) {
        return IntStream.range(0, lines.size()).filter(i -> which.test(lines.get(i))).mapToLong(i -> 1L << i).sum();
    }

    private static void attribute(MemorySegment request, int id, long value, long mask) throws Refusal {
        int count = request.get(JAVA_INT, Uapi.REQUEST_CONFIG + Uapi.CONFIG_ATTR_COUNT);
        if (count == Uapi.ATTRS_MAX) {
            throw new Refusal("more than " + Uapi.ATTRS_MAX + " kinds of lines in one request", Refusal.EINVAL);
        }
        long at = Uapi.REQUEST_CONFIG + Uapi.CONFIG_ATTRS + (long) count * Uapi.ATTR_SIZE;
        request.set(JAVA_INT, at, id);
        if (id == Uapi.ATTR_DEBOUNCE) {
            request.set(JAVA_INT, at + Uapi.ATTR_VALUE, (int) value); // 32 bits in a union of 64
        } else {
            request.set(JAVA_LONG, at + Uapi.ATTR_VALUE, value);
        }
        request.set(JAVA_LONG, at + Uapi.ATTR_MASK, mask);
        request.set(JAVA_INT, Uapi.REQUEST_CONFIG + Uapi.CONFIG_ATTR_COUNT, count + 1);
    }

    List<Request> requests() {
        return requests;
    }

    /** The inputs' levels: true = active. */
    Map<Integer, Boolean> read() throws Refusal {
        Map<Integer, Boolean> levels = new LinkedHashMap<>();
        for (Request request : requests) {
            if (request.inputs()) {
                long bits = Uapi.values(kernel, request.descriptor(), mask(request.lines(), _ -> true));
                for (int i = 0; i < request.lines().size(); i++) {
                    levels.put(request.lines().get(i).pin(), (bits >> i & 1) != 0);
                }
            }
        }
        return levels;
    }

    /** One call for all outputs of a request. */
    void write(Map<Integer, Boolean> levels) throws Refusal {
        for (Request request : requests) {
            long mask = request.inputs() ? 0 : mask(request.lines(), line -> levels.containsKey(line.pin()));
            if (mask != 0) {
                Uapi.setValues(kernel, request.descriptor(),
                        mask(request.lines(), line -> levels.getOrDefault(line.pin(), false)), mask);
            }
        }
    }

    void close() {
        requests.forEach(request -> kernel.close(request.descriptor()));
        requests.clear();
    }
}
