package bellpush.runtime.panel.lines;

import static java.lang.foreign.ValueLayout.JAVA_LONG;

import bellpush.runtime.panel.PanelException;
import bellpush.runtime.panel.PinBank;
import bellpush.runtime.panel.PinListener;
import bellpush.runtime.panel.kernel.Kernel;
import java.lang.foreign.Arena;
import java.lang.foreign.MemorySegment;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.Supplier;

/**
 * Pins through the kernel's GPIO character device. One thread, {@code gpio}, sleeps in the kernel until an edge comes, and wakes
 * for nothing else. An edge has the time that the kernel stamped it with when the interrupt came.
 *
 * <p>An edge that happens while the lines are being opened is neither lost nor told twice: the kernel keeps edges from the
 * moment of the request, levels are read after that, and an event that says what is known already is passed over.
 */
final class LinesBank implements PinBank {
    private static final int TRY_AGAIN_MS = 2_000;
    private static final String GONE = "not there yet";
    private static final long CLOSE_WAIT_MS = 80;
    /** Lost edges that follow each other more closely are one burst, noted once. */
    private static final long BURST_NANOS = 1_000_000_000L;

    private final Kernel kernel;
    private final LineChip chip;
    private final Supplier<HeaderChip> again;
    private final Map<Integer, Integer> debounceUs;
    private final Thread thread = new Thread(this::run, "gpio");
    /** Guards the descriptors against being closed while they are used. */
    private final Object lock = new Object();

    private List<In> inputs = List.of();
    private List<Out> outputs = List.of();
    private PinListener listener;

    // Guarded by lock.
    private final Map<Integer, Boolean> lit = new HashMap<>();
    private OpenLines lines;
    private int wake = -1;
    private boolean closed;

    private volatile boolean closing;
    /** Written to in vain: the thread is to find out. */
    private volatile boolean suspect;

    // Of the thread gpio, and of the one that opens before it starts.
    private final Map<Integer, Boolean> levels = new HashMap<>();
    private final Map<Integer, Long> toldAt = new HashMap<>();
    private final Map<Integer, Edges> edges = new HashMap<>();
    private long clockOffset;
    private long lastLostAt = Long.MIN_VALUE;

    /** @param again finds the chip again after it was lost */
    LinesBank(Kernel kernel, LineChip chip, Supplier<HeaderChip> again) {
        this(kernel, chip, again, Map.of());
    }

    /**
     * @param debounceUs by pin: how long a level must last until the kernel tells it. Nobody should need this: it makes every
     *                   press late by that time, and quadrature unusable.
     */
    LinesBank(Kernel kernel, LineChip chip, Supplier<HeaderChip> again, Map<Integer, Integer> debounceUs) {
        this.kernel = kernel;
        this.chip = chip;
        this.again = again;
        this.debounceUs = debounceUs;
        thread.setDaemon(true);
    }

    @Override
    public String describe() {
        return "the kernel's lines of " + chip.described() + ", one request with the kernel's time stamps";
    }

    @Override
    public void open(List<In> ins, List<Out> outs, PinListener to) {
        inputs = List.copyOf(ins);
        outputs = List.copyOf(outs);
        listener = to;
        outputs.forEach(out -> lit.put(out.pin(), false));
        if (inputs.isEmpty() && outputs.isEmpty()) {
            return;
        }
        synchronized (lock) {
            try {
                lines = OpenLines.of(kernel, chip, inputs, outputs, debounceUs, lit);
                levels.putAll(lines.read());
                wake = (int) Refusal.check("eventfd", kernel.eventfd());
            } catch (Refusal e) {
                shut();
                throw Plainly.refused(kernel, chip, -1, List.of(), e);
            }
        }
        clockOffset = clockOffset();
        long now = System.nanoTime();
        inputs.forEach(in -> listener.found(now, in.pin(), levels.get(in.pin())));
        thread.start();
    }

    /** What to add to the kernel's clock to have this program's: 0 on the JDKs that are known, which read the same clock. */
    private long clockOffset() {
        long before = System.nanoTime();
        long kernels = kernel.monotonicNanos();
        long after = System.nanoTime();
        return before <= kernels && kernels <= after ? 0 : before + (after - before) / 2 - kernels;
    }

    private void run() {
        try (Arena arena = Arena.ofConfined()) {
            MemorySegment events = arena.allocate((long) Uapi.EVENTS_MAX * Uapi.EVENT_SIZE, 8);
            while (!closing) {
                try {
                    watch(events);
                } catch (Refusal e) {
                    lost(e);
                }
            }
        } finally {
            synchronized (lock) {
                closed = true;
                shut();
            }
        }
    }

    /** Until this is closed, or the chip is gone. */
    private void watch(MemorySegment events) throws Refusal {
        List<OpenLines.Request> requests = List.copyOf(lines.requests());
        try (Arena arena = Arena.ofConfined()) {
            MemorySegment descriptors = arena.allocate((long) (requests.size() + 1) * Uapi.POLL_SIZE, 8);
            while (true) {
                Uapi.pollIn(descriptors, 0, wake);
                for (int i = 0; i < requests.size(); i++) {
                    Uapi.pollIn(descriptors, i + 1, requests.get(i).descriptor());
                }
                poll(descriptors, -1);
                if (closing) {
                    return;
                }
                if (Uapi.polled(descriptors, 0) != 0) {
                    drainWake();
                }
                for (int i = 0; i < requests.size(); i++) {
                    short returned = Uapi.polled(descriptors, i + 1);
                    if ((returned & Uapi.POLLIN) != 0) {
                        take(requests.get(i), events);
                    } else if (returned != 0) {
                        throw new Refusal("poll", Refusal.ENODEV);
                    }
                }
                if (suspect) {
                    suspect = false;
                    synchronized (lock) {
                        lines.write(lit);
                    }
                }
            }
        }
    }

    private void poll(MemorySegment descriptors, int timeoutMs) throws Refusal {
        int ready = kernel.poll(descriptors, timeoutMs);
        if (ready < 0 && ready != -Refusal.EINTR) {
            throw new Refusal("poll", -ready);
        }
        if (ready <= 0) {
            for (int i = 0; i < descriptors.byteSize() / Uapi.POLL_SIZE; i++) {
                Uapi.pollIn(descriptors, i, -1); // an interrupted poll leaves what was there
            }
        }
    }

    private void drainWake() throws Refusal {
        try (Arena arena = Arena.ofConfined()) {
            Refusal.check("read", kernel.read(wake, arena.allocate(8, 8)));
        }
    }

    private void take(OpenLines.Request request, MemorySegment events) throws Refusal {
        long bytes = kernel.read(request.descriptor(), events);
        if (bytes == -Refusal.EINTR) {
            return;
        }
        int count = (int) (Refusal.check("read", bytes) / Uapi.EVENT_SIZE);
        List<Uapi.Event> read = new ArrayList<>(count);
        for (int i = 0; i < count; i++) {
            read.add(Uapi.event(events, i));
        }
        Edges.Batch batch = edges.computeIfAbsent(request.descriptor(), _ -> new Edges()).take(read,
                count == Uapi.EVENTS_MAX);
        long now = System.nanoTime();
        for (Uapi.Event event : batch.events()) {
            // Never in the future, whatever a kernel's clock may say: a lock-out would last until then.
            tell(Math.min(event.atNanos() + clockOffset, now), request.pinAt(event.offset()), event.active());
        }
        if (batch.gap()) {
            readAfresh();
            noteLost(batch.lost(), now);
        }
    }

    /** What the levels are counts, whatever edges have said. */
    private void readAfresh() throws Refusal {
        Map<Integer, Boolean> read;
        synchronized (lock) {
            read = lines.read();
        }
        long now = System.nanoTime();
        read.forEach((pin, active) -> tell(now, pin, active));
    }

    private void tell(long atNanos, int pin, boolean active) {
        Boolean before = levels.put(pin, active);
        if (before == null || before == active) {
            return;
        }
        long at = Math.max(atNanos, toldAt.getOrDefault(pin, Long.MIN_VALUE)); // behind levels that were read afresh
        toldAt.put(pin, at);
        try {
            listener.edge(at, pin, active);
        } catch (RuntimeException e) {
            // One edge that cannot be taken must not end the reading of all.
            listener.noted("An edge of GPIO " + pin + " could not be taken: " + e);
        }
    }

    private void noteLost(int count, long now) {
        if (count == 0) {
            return;
        }
        if (lastLostAt == Long.MIN_VALUE || now - lastLostAt > BURST_NANOS) {
            listener.noted("Edges came faster than they could be read, and the kernel has dropped " + count
                    + " or more; the pins were read afresh. A switch or its wiring is faulty.");
        }
        lastLostAt = now;
    }

    /** Gives up what is open, and waits for the chip to come back. */
    private void lost(Refusal why) {
        synchronized (lock) {
            lines.close();
            lines = null;
        }
        edges.clear();
        listener.lost("The pins of " + chip.described() + " have gone (" + why.getMessage()
                + "): presses are not seen and lamps cannot be lit. Check its plug. It is looked for every "
                + TRY_AGAIN_MS / 1_000 + " s.");
        String before = GONE;
        Set<String> noted = new HashSet<>(Set.of(GONE));
        try (Arena arena = Arena.ofConfined()) {
            MemorySegment descriptors = arena.allocate(Uapi.POLL_SIZE, 8);
            while (true) {
                Uapi.pollIn(descriptors, 0, wake);
                poll(descriptors, TRY_AGAIN_MS);
                if (closing) {
                    return;
                }
                if (Uapi.polled(descriptors, 0) != 0) {
                    drainWake(); // somebody has written to lines that were gone already
                    continue;
                }
                String trouble = reopen();
                if (trouble.isEmpty()) {
                    return;
                }
                // Only what lasts: a chip is there a moment before its permissions are.
                if (trouble.equals(before) && noted.add(trouble)) {
                    listener.noted(trouble);
                }
                before = trouble;
            }
        } catch (Refusal e) {
            closing = true; // not even the descriptor that wakes us can be read: nothing is left to be done
            listener.noted("The pins cannot be read any more (" + e.getMessage() + "). Start the program again.");
        }
    }

    /** @return why not, or nothing */
    private String reopen() {
        Map<Integer, Boolean> read;
        synchronized (lock) {
            switch (again.get()) {
                case HeaderChip.Unusable(HeaderChip.Lack lack, String why) -> {
                    return lack == HeaderChip.Lack.NOT_PERMITTED ? why : GONE;
                }
                case HeaderChip.Usable usable -> {
                    try {
                        lines = OpenLines.of(kernel, usable.chip(), inputs, outputs, debounceUs, lit);
                        read = lines.read();
                        suspect = false;
                    } catch (PanelException e) {
                        return e.getMessage();
                    } catch (Refusal e) {
                        lines.close();
                        lines = null;
                        return e.getMessage();
                    }
                }
            }
        }
        listener.back();
        long now = System.nanoTime();
        read.forEach((pin, active) -> tell(now, pin, active));
        return "";
    }

    @Override
    public void write(Map<Integer, Boolean> wanted) {
        synchronized (lock) {
            Map<Integer, Boolean> ours = new HashMap<>(wanted);
            ours.keySet().retainAll(lit.keySet());
            lit.putAll(ours);
            if (lines == null || closed) {
                return;
            }
            try {
                lines.write(ours);
            } catch (Refusal e) {
                suspect = true;
                wake();
            }
        }
    }

    @Override
    public Map<Integer, Boolean> read() {
        synchronized (lock) {
            try {
                return lines == null ? Map.of() : lines.read();
            } catch (Refusal e) {
                suspect = true;
                wake();
                return Map.of();
            }
        }
    }

    private void wake() {
        if (wake < 0) {
            return;
        }
        try (Arena arena = Arena.ofConfined()) {
            MemorySegment one = arena.allocate(8, 8);
            one.set(JAVA_LONG, 0, 1);
            kernel.write(wake, one);
        }
    }

    /**
     * Returns within a tenth of a second, also if the listener hangs; then the inputs are given back when it returns.
     */
    @Override
    public void close() {
        boolean running = thread.isAlive() && Thread.currentThread() != thread;
        synchronized (lock) {
            closing = true;
            if (lines != null && !closed) {
                try {
                    lit.replaceAll((_, _) -> false);
                    lines.write(lit);
                } catch (Refusal e) {
                    // The chip is gone, and its outputs with it.
                }
            }
            closed = true;
            if (running) {
                wake();
            } else if (Thread.currentThread() != thread) {
                shut();
            }
        }
        if (running) {
            try {
                thread.join(CLOSE_WAIT_MS);
            } catch (InterruptedException e) {
                Thread.currentThread().interrupt();
            }
        }
    }

    /** With the lock. */
    private void shut() {
        if (lines != null) {
            lines.close();
            lines = null;
        }
        if (wake >= 0) {
            kernel.close(wake);
            wake = -1;
        }
    }
}
