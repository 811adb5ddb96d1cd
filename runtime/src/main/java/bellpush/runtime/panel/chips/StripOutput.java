package bellpush.runtime.panel.chips;

import bellpush.runtime.panel.bus.Buses;
import bellpush.runtime.panel.bus.BusException;
import bellpush.runtime.panel.bus.SpiDevice;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.function.Consumer;

/**
 * A strip of addressable lamps. It is told everything again every two seconds: a strip that had lost its supply shows the truth
 * again, and a strip cannot say that it had. A long strip takes some ten milliseconds, so that is done on the thread {@code strips},
 * and not on one that reads presses.
 */
public final class StripOutput implements Chore, AutoCloseable {
    static final long REFRESH_NANOS = 2_000_000_000;
    /** What one colour of one lamp draws when fully lit (common practice, no source; parts draw 12 to 20 mA). */
    private static final double MILLIAMPS_PER_COLOUR = 20;

    private final String name;
    private final SpiDevice device;
    private final StripCode code;
    private final String order;
    private final double milliampsMax;
    private final Consumer<String> noted;
    private final BusTurn turn;
    /** Guards itself and {@link #changed}. */
    private final List<Rgb> lamps;
    private boolean changed;
    private volatile boolean closed;
    // Of whoever has the turn.
    private boolean said;
    // Of the thread strips.
    private boolean begun;
    private long sentAt;

    /**
     * @param clocked      with a clock line of its own; else everything is in the timing of the one data line
     * @param order        the order in which the colours are sent, such as {@code grb}
     * @param milliampsMax what all lamps together may draw; all are dimmed alike to stay below it
     * @param noted        takes what belongs in the log
     * @param turn         of the bus it is on
     */
    public static StripOutput on(Buses buses, int bus, int select, String name, boolean clocked, int length,
            String order, double milliampsMax, Consumer<String> noted, BusTurn turn) {
        StripCode code = clocked ? StripCode.CLOCKED : StripCode.ONE_WIRE;
        return new StripOutput(name, buses.spi(bus, select, code.hertz()), code, length, order, milliampsMax, noted,
                turn);
    }

    private StripOutput(String name, SpiDevice device, StripCode code, int length, String order, double milliampsMax,
            Consumer<String> noted, BusTurn turn) {
        this.name = name;
        this.device = device;
        this.code = code;
        this.order = order;
        this.milliampsMax = milliampsMax;
        this.noted = noted;
        this.turn = turn;
        this.lamps = new ArrayList<>(Collections.nCopies(length, Rgb.DARK));
    }

    /** Shown with the next {@link #show}. @param lamp counted from 0 */
    public void light(int lamp, Rgb light) {
        synchronized (lamps) {
            changed |= !lamps.set(lamp, light).equals(light);
        }
    }

    /** Sends what has changed. */
    public void show() {
        turn.during(() -> {
            if (isChanged() && !closed) {
                send();
            }
        });
    }

    private boolean isChanged() {
        synchronized (lamps) {
            return changed;
        }
    }

    private void send() {
        byte[] bytes;
        synchronized (lamps) {
            changed = false;
            bytes = code.encode(dimmed(), order);
        }
        try {
            device.transfer(bytes);
            said = false;
        } catch (BusException e) {
            if (!said) {
                said = true;
                noted.accept("The lamps of " + name + " cannot be set. " + e.getMessage());
            }
        }
    }

    private List<Rgb> dimmed() {
        double milliamps = lamps.stream().mapToDouble(Rgb::sum).sum() * MILLIAMPS_PER_COLOUR;
        double share = milliamps > milliampsMax ? milliampsMax / milliamps : 1;
        return lamps.stream().map(lamp -> lamp.times(share)).toList();
    }

    @Override
    public long waitNanos(long now) {
        return closed ? NEVER : begun ? sentAt + REFRESH_NANOS - now : 0;
    }

    @Override
    public void run(long now) {
        begun = true;
        sentAt = now;
        turn.during(() -> {
            if (!closed) {
                send();
            }
        });
    }

    /** All lamps dark. */
    @Override
    public void close() {
        turn.during(() -> {
            synchronized (lamps) {
                Collections.fill(lamps, Rgb.DARK);
            }
            send();
            closed = true;
            device.close();
        });
    }
}
