package bellpush.runtime.panel.chips;

import bellpush.runtime.panel.PanelException;
import bellpush.runtime.panel.PinBank;
import bellpush.runtime.panel.PinListener;
import java.util.Arrays;
import java.util.HashMap;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;

/**
 * Keys at the crossings of rows and columns, each with a diode from its column to its row (common practice, no source). Pins are
 * counted row by row.
 * <p>
 * While no key is closed all rows are low, and nothing is done: the first key pulls its column down, and that edge starts the
 * search, row by row. While any key is closed the search is made again and again.
 * <p>
 * Without diodes three keys at the corners of a rectangle make the fourth corner look closed. Keys that close a rectangle
 * in one step are therefore held back, and it is said once.
 */
public final class MatrixBank implements PinBank, Chore {
    /** A board's weakest pull-up (73 kΩ) needs 70 µs to lift 1 nF of wires, to one time constant; four of them are waited for. */
    static final long SETTLE_NANOS = 300_000;

    /** In place of a row: all of them. */
    private static final int ALL = -1;

    /** A row or a column: a pin of a bank that is open already, where active means low. */
    public record Lead(PinBank bank, int pin) {}

    private enum Phase {
        /** All rows are low; waiting for an edge, or for the next search. */
        RESTING,
        /** One row is low, and its columns are about to be read. */
        SEARCHING,
        /** All rows are low again, and the columns are about to be read once more. */
        ENDING
    }

    private final String name;
    private final List<Lead> rows;
    private final List<Lead> columns;
    private final long everyNanos;
    private final Runnable wake;
    private final Clock clock;
    private final List<BusTurn> turns;
    private final boolean[] closed;
    private final boolean[] told;

    private PinListener listener;
    private boolean[] watched;
    private boolean open;
    private boolean known;
    private Phase phase = Phase.RESTING;
    private int row;
    private boolean going;
    private long startedAt;
    private long dueAt;
    private boolean saidGhost;
    private boolean lost;

    private final Object edges = new Object();
    private boolean edge;
    private long edgeAt;
    private long lastEdgeAt;
    private long restedAt;

    /**
     * @param everyNanos from one search to the next while a key is closed
     * @param turns      of the buses behind which rows or columns are, each once
     * @param wake       called when a key may have closed
     */
    public MatrixBank(String name, List<Lead> rows, List<Lead> columns, long everyNanos, List<BusTurn> turns,
            Runnable wake, Clock clock) {
        this.name = name;
        this.rows = List.copyOf(rows);
        this.columns = List.copyOf(columns);
        this.everyNanos = everyNanos;
        this.turns = List.copyOf(turns);
        this.wake = wake;
        this.clock = clock;
        this.closed = new boolean[rows.size() * columns.size()];
        this.told = new boolean[closed.length];
    }

    @Override
    public String describe() {
        return name + ", a matrix of " + rows.size() + " rows and " + columns.size() + " columns";
    }

    /** Its rows and columns are open already. Pull and level are given by the wiring. */
    @Override
    public synchronized void open(List<In> inputs, List<Out> outputs, PinListener to) {
        if (!outputs.isEmpty()) {
            throw new PanelException("The matrix " + name + " has keys only: a lamp cannot be on it.", null);
        }
        listener = to;
        watched = new boolean[closed.length];
        inputs.forEach(in -> watched[in.pin()] = true);
        open = true;
        do {
            run(clock.nanos());
            clock.pause(phase == Phase.RESTING ? 0 : SETTLE_NANOS);
        } while (phase != Phase.RESTING);
    }

    /** An edge of one of its columns, from whatever thread reads it. */
    public void columnEdge(long atNanos, boolean active) {
        synchronized (edges) {
            // While rows are switched, columns follow: those edges are our own, and may arrive late.
            if (!active || atNanos - restedAt < 0) {
                return;
            }
            lastEdgeAt = atNanos;
            if (edge) {
                return;
            }
            edge = true;
            edgeAt = atNanos;
        }
        wake.run();
    }

    /** One of the banks under it is gone. */
    public synchronized void lost(String why) {
        if (open && !lost) {
            lost = true;
            listener.lost(why);
        }
    }

    /** The bank under it is back. */
    public synchronized void back() {
        if (open && lost) {
            lost = false;
            listener.back();
            phase = Phase.RESTING;
            going = true;
            dueAt = clock.nanos();
            wake.run();
        }
    }

    @Override
    public synchronized long waitNanos(long now) {
        if (!open || lost) {
            return NEVER;
        }
        long wait = going ? dueAt - now : NEVER;
        synchronized (edges) {
            if (phase == Phase.RESTING && edge) {
                wait = AT_ONCE;
            }
        }
        return wait <= 0 && !turns.stream().allMatch(BusTurn::mayTake) ? NEVER : wait;
    }

    @Override
    public void run(long now) {
        int got = 0;
        try {
            while (got < turns.size() && turns.get(got).tryTake()) {
                got++;
            }
            if (got == turns.size()) {
                search(now);
            }
        } finally {
            turns.subList(0, got).forEach(BusTurn::give);
        }
    }

    private synchronized void search(long now) {
        if (!open || lost) {
            return;
        }
        try {
            step(now);
        } catch (PanelException e) {
            // The bank itself says what has happened; without a search nothing is closed or open.
            phase = Phase.RESTING;
            going = true;
            dueAt = now + ExpanderBank.CHECK_NANOS;
        }
    }

    private void step(long now) {
        switch (phase) {
            case RESTING -> {
                startedAt = now;
                going = true;
                row = 0;
                phase = Phase.SEARCHING;
                drive(row);
            }
            case SEARCHING -> {
                Map<PinBank, Map<Integer, Boolean>> levels = levels();
                for (int column = 0; column < columns.size(); column++) {
                    closed[row * columns.size() + column] = isLow(levels, column);
                }
                row++;
                if (row == rows.size()) {
                    phase = Phase.ENDING;
                    drive(ALL);
                } else {
                    drive(row);
                }
            }
            case ENDING -> {
                Map<PinBank, Map<Integer, Boolean>> levels = levels();
                boolean again = false;
                for (int column = 0; column < columns.size(); column++) {
                    again |= isLow(levels, column);
                }
                for (boolean key : closed) {
                    again |= key; // it may have been let go since, and somebody must see that
                }
                phase = Phase.RESTING;
                going = again;
                long pressedAt = startedAt;
                synchronized (edges) {
                    pressedAt = edge && edgeAt - startedAt < 0 ? edgeAt : pressedAt;
                    // A key that has closed since its column was read has told so already, and will not do so again.
                    edge = edge && !again && lastEdgeAt - now >= 0;
                    edgeAt = lastEdgeAt;
                    restedAt = now;
                }
                tell(pressedAt, now);
                dueAt = Math.max(startedAt + everyNanos - now, SETTLE_NANOS) + now;
                return;
            }
        }
        dueAt = now + SETTLE_NANOS;
    }

    private void drive(int active) {
        Map<PinBank, Map<Integer, Boolean>> levels = new IdentityHashMap<>();
        for (int r = 0; r < rows.size(); r++) {
            levels.computeIfAbsent(rows.get(r).bank(), _ -> new HashMap<>()).put(rows.get(r).pin(),
                    active == ALL || r == active);
        }
        levels.forEach(PinBank::write);
    }

    private Map<PinBank, Map<Integer, Boolean>> levels() {
        Map<PinBank, Map<Integer, Boolean>> levels = new IdentityHashMap<>();
        columns.forEach(column -> levels.computeIfAbsent(column.bank(), PinBank::read));
        return levels;
    }

    private boolean isLow(Map<PinBank, Map<Integer, Boolean>> levels, int column) {
        Lead lead = columns.get(column);
        Boolean low = levels.get(lead.bank()).get(lead.pin());
        if (low == null) {
            throw new PanelException("The columns of the matrix " + name + " cannot be read.", null);
        }
        return low;
    }

    private void tell(long pressedAt, long now) {
        boolean[] believed = withoutGhosts();
        for (int key = 0; key < closed.length; key++) {
            boolean changed = believed[key] != told[key];
            told[key] = believed[key];
            if (watched[key] && !known) {
                listener.found(now, key, believed[key]);
            } else if (watched[key] && changed) {
                listener.edge(believed[key] ? pressedAt : now, key, believed[key]);
            }
        }
        known = true;
    }

    /** What was closed in this search, without keys that complete a rectangle together with another new one. */
    private boolean[] withoutGhosts() {
        boolean[] believed = closed.clone();
        for (int upper = 0; upper < rows.size(); upper++) {
            for (int lower = upper + 1; lower < rows.size(); lower++) {
                for (int left = 0; left < columns.size(); left++) {
                    for (int right = left + 1; right < columns.size(); right++) {
                        holdBack(believed, key(upper, left), key(upper, right), key(lower, left), key(lower, right));
                    }
                }
            }
        }
        return believed;
    }

    private int key(int r, int c) {
        return r * columns.size() + c;
    }

    private void holdBack(boolean[] believed, int... corners) {
        if (!Arrays.stream(corners).allMatch(key -> closed[key])
                || Arrays.stream(corners).filter(key -> !told[key]).count() < 2) {
            return;
        }
        for (int key : corners) {
            believed[key] = told[key];
        }
        if (!saidGhost) {
            saidGhost = true;
            listener.noted(
                    "In the matrix " + name + " four keys that form a rectangle seem closed, two of them at the same "
                            + "moment: they are not believed. Has every key its diode, from the column to the row?");
        }
    }

    /** Not supported: a matrix has keys only. Does nothing. */
    @Override
    public void write(Map<Integer, Boolean> levels) {}

    /** What the last search found. */
    @Override
    public synchronized Map<Integer, Boolean> read() {
        Map<Integer, Boolean> levels = new TreeMap<>();
        for (int key = 0; key < told.length; key++) {
            if (watched != null && watched[key]) {
                levels.put(key, told[key]);
            }
        }
        return levels;
    }

    /** Its rows and columns are closed by the banks they belong to. */
    @Override
    public synchronized void close() {
        open = false;
    }
}
