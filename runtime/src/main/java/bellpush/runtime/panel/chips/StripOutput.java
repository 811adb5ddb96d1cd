package bellpush.runtime.panel.chips;

import bellpush.runtime.panel.bus.Buses;
import bellpush.runtime.panel.bus.BusException;
import bellpush.runtime.panel.bus.SpiDevice;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.function.Consumer;

/**
 * A strip of addressable lamps. It is told everything again every two seconds, on the thread {@code chips}: a strip that had lost its
 * supply shows the truth again, and a strip cannot say that it had.
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
    private final List<Rgb> lamps;
    private boolean begun;
    private boolean closed;
    private boolean said;
    private boolean changed;
    private long sentAt;

    /**
     * @param clocked      with a clock line of its own; else everything is in the timing of the one data line
     * @param order        the order in which the colours are sent, such as {@code grb}
     * @param milliampsMax what all lamps together may draw; all are dimmed alike to stay below it
     * @param noted        takes what belongs in the log
     */
    public static StripOutput on(Buses buses, int bus, int select, String name, boolean clocked, int length,
            String order, double milliampsMax, Consumer<String> noted) {
        StripCode code = clocked ? StripCode.CLOCKED : StripCode.ONE_WIRE;
        return new StripOutput(name, buses.spi(bus, select, code.hertz()), code, length, order, milliampsMax, noted);
    }

    private StripOutput(String name, SpiDevice device, StripCode code, int length, String order, double milliampsMax,
            Consumer<String> noted) {
        this.name = name;
        this.device = device;
        this.code = code;
        this.order = order;
        this.milliampsMax = milliampsMax;
        this.noted = noted;
        this.lamps = new ArrayList<>(Collections.nCopies(length, Rgb.DARK));
    }

    /** Shown with the next {@link #show}. @param lamp counted from 0 */
    public synchronized void light(int lamp, Rgb light) {
        changed |= !lamps.set(lamp, light).equals(light);
    }

    /** Sends what has changed. */
    public synchronized void show() {
        if (changed && !closed) {
            send();
        }
    }

    private void send() {
        changed = false;
        try {
            device.transfer(code.encode(dimmed(), order));
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
    public synchronized long waitNanos(long now) {
        return closed ? NEVER : begun ? sentAt + REFRESH_NANOS - now : 0;
    }

    @Override
    public synchronized void run(long now) {
        if (!closed) {
            begun = true;
            sentAt = now;
            send();
        }
    }

    /** All lamps dark. */
    @Override
    public synchronized void close() {
        Collections.fill(lamps, Rgb.DARK);
        send();
        closed = true;
        device.close();
    }
}
