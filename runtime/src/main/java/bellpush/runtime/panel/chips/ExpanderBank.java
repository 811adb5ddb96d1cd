package bellpush.runtime.panel.chips;

import bellpush.runtime.panel.PanelException;
import bellpush.runtime.panel.PinBank;
import bellpush.runtime.panel.PinListener;
import bellpush.runtime.panel.bus.BusException;
import bellpush.runtime.panel.bus.I2cDevice;
import bellpush.runtime.panel.bus.SpiDevice;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;

/**
 * The sixteen pins of an MCP23017 or MCP23S17: a0 to a7 are 0 to 7, b0 to b7 are 8 to 15.
 * <p>
 * With its interrupt line wired the chip is read when the line says so; without, every 5 ms. Either way one transfer reads
 * configuration, interrupt flags, the levels captured at the interrupt, and the levels now: a press that is over before we come
 * still gives both edges, and a chip that was reset behind our back, or is not there, is noticed before its levels are believed.
 * <p>
 * Edges are told on the thread {@code chips}; {@link #write} may be called on any other. All transfers are made, and all that is not
 * volatile is changed, by whoever has the turn on its bus.
 * Source: Microchip DS20001952C (2016), §3.5 and §3.6.
 */
public final class ExpanderBank implements PinBank, Chore {
    public static final int PINS = 16;
    static final long POLL_NANOS = 5_000_000;
    static final long CHECK_NANOS = 2_000_000_000;
    /** A chip's pull-ups have 100 kΩ: this lets 10 nF of long wires rise. */
    private static final long SETTLE_NANOS = 3_000_000;
    /** An interrupt line that says so all the time gets no more turns than a chip that is polled. */
    private static final int ROUNDS_MAX = 4;
    private static final int MISSED_MAX = 3;
    /** First register of a block, and where its parts are: configuration, pull-ups, flags, captured levels, levels. */
    private static final int BLOCK = ExpanderRegisters.IOCON;
    private static final int BLOCK_BYTES = 10;
    private static final int PULL_UPS = 2;
    private static final int FLAGS = 4;
    private static final int CAPTURED = 6;
    private static final int LEVELS = 8;
    private static final int OUTPUT_ONLY_PINS = 1 << 7 | 1 << 15;

    private final String name;
    private final String what;
    private final ExpanderRegisters chip;
    private final boolean interruptWired;
    private final BusTurn turn;
    private final Clock clock;

    /** Masks of 16 bits; bit 0 is a0. */
    private int inputs;
    private int outputs;
    private int pullUps;
    private int activeLow;
    /** What the output latches should hold, as levels. */
    private int latches;

    private PinListener listener;
    /** Levels that were told; only where {@code known}. */
    private int told;
    private boolean known;
    private volatile boolean open;
    private boolean works;
    private boolean saidLost;
    /** Why a lamp could not be set; told by the thread that reads. */
    private volatile String failure;
    /** When it was last looked at, and when that had come to an end. */
    private long servedAt;
    private long seenAt;
    private long retryAt;
    private int missed;
    private boolean polled;

    /** Guarded by its own lock, so that the thread {@code gpio} never waits for a bus. */
    private final Object line = new Object();
    private boolean lineActive;
    private boolean pending;
    private long pendingAt;

    /**
     * @param name           as in panel.json
     * @param interruptWired whether {@link #interrupt} will be called; else the chip is polled
     * @param turn           of the bus it is on
     */
    public static ExpanderBank mcp23017(String name, I2cDevice device, String bus, int address, boolean interruptWired,
            BusTurn turn, Clock clock) {
        return new ExpanderBank(name, String.format(Locale.ROOT, "an MCP23017 at 0x%02x of %s", address, bus),
                new ExpanderRegisters.I2c(device), interruptWired, turn, clock);
    }

    /** See {@link #mcp23017}; several chips may share one select line. */
    public static ExpanderBank mcp23s17(String name, SpiDevice device, String bus, int address, boolean interruptWired,
            BusTurn turn, Clock clock) {
        return new ExpanderBank(name, String.format(Locale.ROOT, "an MCP23S17 at 0x%02x of %s", address, bus),
                new ExpanderRegisters.Spi(device, address), interruptWired, turn, clock);
    }

    private ExpanderBank(String name, String what, ExpanderRegisters chip, boolean interruptWired, BusTurn turn,
            Clock clock) {
        this.name = name;
        this.what = what;
        this.chip = chip;
        this.interruptWired = interruptWired;
        this.polled = !interruptWired;
        this.turn = turn;
        this.clock = clock;
    }

    @Override
    public String describe() {
        return name + ", " + what + (interruptWired ? "" : ", without an interrupt line: read every 5 ms");
    }

    /** A chip that does not answer is {@link PinListener#lost} and tried again every two seconds: the rest of the panel works. */
    @Override
    public void open(List<In> ins, List<Out> outs, PinListener to) {
        turn.during(() -> start(ins, outs, to));
    }

    private void start(List<In> ins, List<Out> outs, PinListener to) {
        listener = to;
        for (In in : ins) {
            inputs |= bit(in.pin());
            pullUps |= in.pull() == Pull.UP ? bit(in.pin()) : 0;
            activeLow |= in.activeLow() ? bit(in.pin()) : 0;
            if (in.pull() == Pull.DOWN) {
                to.noted(name + "." + pinName(in.pin())
                        + " has no pull-down, since its chip has none: put 10 kΩ from the pin "
                        + "to ground, or wire the contact to ground and leave activeHigh out.");
            }
        }
        for (Out out : outs) {
            outputs |= bit(out.pin());
            activeLow |= out.activeLow() ? bit(out.pin()) : 0;
        }
        if ((inputs & outputs) != 0) {
            throw new PanelException("Of " + name + " one pin is to be an input and an output at once.", null);
        }
        int doubtful = inputs & OUTPUT_ONLY_PINS;
        if (doubtful != 0) {
            to.noted(
                    "On " + name + " the pins a7 and b7 are inputs. The latest MCP23017 has them as outputs only: if a "
                            + "contact there does nothing, move it to another pin, and put a lamp there.");
        }
        pullUps |= 0xffff & ~(inputs | outputs); // an input that floats costs current and makes noise
        latches = activeLow & outputs;
        open = true;
        long now = clock.nanos();
        try {
            setUp();
            serve(now);
        } catch (BusException e) {
            lose(now, e.getMessage());
        }
    }

    private static int bit(int pin) {
        if (pin < 0 || pin >= PINS) {
            throw new IllegalArgumentException("pin " + pin);
        }
        return 1 << pin;
    }

    static String pinName(int pin) {
        return (pin < 8 ? "a" : "b") + pin % 8;
    }

    /** The chip's interrupt line changed. Returns at once; from any thread. @param active the line is low */
    public void interrupt(long atNanos, boolean active) {
        synchronized (line) {
            lineActive = active;
            if (active && !pending) {
                pending = true;
                pendingAt = atNanos;
            }
        }
        if (active) {
            turn.wake();
        }
    }

    @Override
    public long waitNanos(long now) {
        long wait = dueIn(now);
        return wait <= 0 && !turn.mayTake() ? NEVER : wait;
    }

    private long dueIn(long now) {
        if (!open) {
            return NEVER;
        }
        if (!works) {
            return retryAt - now;
        }
        if (failure != null) {
            return AT_ONCE;
        }
        synchronized (line) {
            if (pending) {
                return AT_ONCE;
            }
            // A line that is still low has more to say, and will give no further edge.
            return servedAt + (polled || lineActive ? POLL_NANOS : CHECK_NANOS) - now;
        }
    }

    @Override
    public void run(long now) {
        turn.ifFree(() -> look(now));
    }

    private void look(long now) {
        if (!open) {
            return;
        }
        if (failure != null) {
            String why = failure;
            failure = null;
            lose(now, why);
            return;
        }
        if (works) {
            attempt(now);
        } else {
            again(now);
        }
    }

    private void attempt(long now) {
        try {
            serve(now);
        } catch (BusException e) {
            lose(now, e.getMessage());
        }
    }

    private void again(long now) {
        try {
            setUp();
            if (saidLost) {
                saidLost = false;
                listener.back();
            }
            serve(now);
        } catch (BusException e) {
            lose(now, e.getMessage());
        }
    }

    private void lose(long now, String why) {
        works = false;
        retryAt = now + CHECK_NANOS;
        if (!saidLost) {
            saidLost = true;
            listener.lost(why);
        }
    }

    /** Output latches before directions, so that no lamp flashes; interrupts after pull-ups, so that none comes from them. */
    private void setUp() throws BusException {
        chip.reach();
        chip.write(ExpanderRegisters.OLAT, both(latches));
        int directions = 0xffff & ~outputs;
        int config = chip.configuration();
        // In the order of the registers: IODIR, IPOL, GPINTEN, DEFVAL, INTCON, IOCON (twice), GPPU.
        chip.write(ExpanderRegisters.IODIR, directions & 0xff, directions >> 8, 0, 0, 0, 0, 0, 0, 0, 0, config, config,
                pullUps & 0xff, pullUps >> 8);
        clock.pause(SETTLE_NANOS);
        chip.write(ExpanderRegisters.GPINTEN, both(inputs));
        byte[] block = chip.read(BLOCK, BLOCK_BYTES);
        if (!isAsSetUp(block)) {
            throw new BusException("What answers as " + name + " is not " + what
                    + ": it does not keep what is written to it. "
                    + "Check the address pins, the supply, the reset pin (to the supply) and the wires. Switch the board off "
                    + "before you touch a wire.");
        }
        works = true;
    }

    private boolean isAsSetUp(byte[] block) {
        int config = chip.configuration();
        return (block[0] & 0xff) == config && (block[1] & 0xff) == config && word(block, PULL_UPS) == pullUps;
    }

    private static int[] both(int mask) {
        return new int[]{mask & 0xff, mask >> 8 & 0xff};
    }

    private static int word(byte[] block, int at) {
        return block[at] & 0xff | (block[at + 1] & 0xff) << 8;
    }

    /**
     * Reads until the chip has nothing more to say. Only then has its interrupt line been high for a moment, so that the next change
     * gives an edge.
     */
    private void serve(long now) throws BusException {
        boolean asked;
        long at;
        synchronized (line) {
            asked = pending;
            // The line may have told of what was read meanwhile: then what is captured now is younger.
            at = pending && pendingAt - now < 0 ? Math.max(pendingAt - seenAt, 0) + seenAt : now;
            pending = false;
        }
        missed = asked ? 0 : missed;
        servedAt = now;
        for (int round = 0; round < ROUNDS_MAX; round++) {
            byte[] block = chip.read(BLOCK, BLOCK_BYTES);
            if (!isAsSetUp(block)) {
                setUp(); // throws if it cannot be
                listener.noted(
                        "The chip " + name + " had lost its settings and was set up again: look after its supply.");
                block = chip.read(BLOCK, BLOCK_BYTES);
            }
            int flags = word(block, FLAGS) & inputs;
            seenAt = clock.nanos();
            tell(at, seenAt, flags, word(block, CAPTURED), word(block, LEVELS));
            if (flags == 0) {
                return;
            }
            if (!asked && !polled && round == 0) {
                missed();
            }
            at = seenAt;
        }
    }

    /** The chip had asked for attention, and nothing came over its line. Once may be an edge that is just on its way. */
    private void missed() {
        synchronized (line) {
            if (lineActive || pending) {
                missed = 0;
                return;
            }
        }
        missed++;
        if (missed == MISSED_MAX) {
            polled = true;
            listener.noted("The interrupt line of " + name
                    + " says nothing though the chip does: it is read every 5 ms from now "
                    + "on. Check the wire from its INTA or INTB to the board, with the power off.");
        }
    }

    private void tell(long capturedAt, long now, int flags, int captured, int levels) {
        if (!known) {
            known = true;
            told = levels;
            for (int rest = inputs; rest != 0; rest &= rest - 1) {
                int pin = Integer.numberOfTrailingZeros(rest);
                listener.found(now, pin, isActive(levels, pin));
            }
            return;
        }
        // Captured levels are of a whole port, at the moment of its first interrupt.
        int ports = ((flags & 0x00ff) != 0 ? 0x00ff : 0) | ((flags & 0xff00) != 0 ? 0xff00 : 0);
        tellEdges(capturedAt, told & ~ports | captured & ports);
        tellEdges(now, levels);
    }

    private void tellEdges(long at, int levels) {
        int changed = (told ^ levels) & inputs;
        told = levels;
        for (int rest = changed; rest != 0; rest &= rest - 1) {
            int pin = Integer.numberOfTrailingZeros(rest);
            listener.edge(at, pin, isActive(levels, pin));
        }
    }

    private boolean isActive(int levels, int pin) {
        return ((levels ^ activeLow) >> pin & 1) != 0;
    }

    /** Levels of pins that are not outputs are ignored. While the chip is lost they are kept, and set when it is back. */
    @Override
    public void write(Map<Integer, Boolean> levels) {
        turn.during(() -> set(levels));
    }

    private void set(Map<Integer, Boolean> levels) {
        int wanted = latches;
        for (Map.Entry<Integer, Boolean> level : levels.entrySet()) {
            int bit = bit(level.getKey()) & outputs;
            boolean high = level.getValue() != ((activeLow & bit) != 0);
            wanted = high ? wanted | bit : wanted & ~bit;
        }
        if (wanted == latches) {
            return;
        }
        latches = wanted;
        if (open && works && failure == null) {
            try {
                chip.write(ExpanderRegisters.OLAT, both(latches));
            } catch (BusException e) {
                failure = e.getMessage();
                turn.wake();
            }
        }
    }

    /** Reads the chip. What has changed is told first, so call it on the thread {@code chips} only. */
    @Override
    public Map<Integer, Boolean> read() {
        turn.take();
        try {
            return levels();
        } finally {
            turn.give();
        }
    }

    private Map<Integer, Boolean> levels() {
        if (open && works && failure == null) {
            attempt(clock.nanos());
        }
        Map<Integer, Boolean> levels = new TreeMap<>();
        for (int rest = works && known ? inputs : 0; rest != 0; rest &= rest - 1) {
            int pin = Integer.numberOfTrailingZeros(rest);
            levels.put(pin, isActive(told, pin));
        }
        return levels;
    }

    /** Outputs stay driven, inactive: so a lamp that a low level lights stays dark. */
    @Override
    public void close() {
        turn.during(this::end);
    }

    private void end() {
        if (open && works) {
            try {
                chip.write(ExpanderRegisters.OLAT, both(activeLow & outputs));
                chip.write(ExpanderRegisters.GPINTEN, 0, 0);
            } catch (BusException e) {
                // A chip that is gone lights no lamp, or one that nobody can put out.
            }
        }
        open = false;
        chip.close();
    }
}
