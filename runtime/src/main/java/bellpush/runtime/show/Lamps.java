package bellpush.runtime.show;

import bellpush.config.model.Look;
import bellpush.runtime.panel.Panel;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicReference;
import java.util.concurrent.locks.LockSupport;
import java.util.function.Consumer;
import java.util.function.Function;

/**
 * Lights the lamps, on a thread of its own named {@code lamps}, since writing an output may be slow (I2C). {@link #show} is
 * called on the core's thread and never waits: each lamp has one slot, and the latest look in it wins.
 */
final class Lamps implements AutoCloseable {
    /** A panel that fails is tried again after this long, and said to fail no more often. */
    private static final long RETRY_NANOS = TimeUnit.SECONDS.toNanos(1);

    private static final long CLOSE_WAIT_MS = 2_000;

    /** At the start every lamp is seen in each of these, so long; one of a single colour is just lit all the while. */
    private static final List<String> TEST_COLOURS = List.of("red", "green", "blue");
    private static final long TEST_NANOS = TimeUnit.MILLISECONDS.toNanos(400);

    private final Panel panel;
    private final Consumer<String> noted;
    private final Map<String, Slot> slots = new LinkedHashMap<>();
    private final Thread thread = new Thread(this::run, "lamps");
    private final long epoch = System.nanoTime();
    private volatile boolean closing;
    private long complainAgainAt = epoch;

    /** One lamp: what it should show, and, known to the lamps thread only, what the panel was told last. */
    private static final class Slot {
        final String lamp;
        final AtomicReference<Look> wanted = new AtomicReference<>(Look.OFF);
        Look meant;
        double level; // not a number: the panel may not have got it
        Optional<String> colour = Optional.empty();

        Slot(String lamp) {
            this.lamp = lamp;
        }
    }

    /**
     * @param names every lamp there is
     * @param noted told when the panel cannot be lit, on the lamps thread, at most once a second
     */
    Lamps(Panel panel, Set<String> names, Consumer<String> noted) {
        this.panel = panel;
        this.noted = noted;
        names.forEach(name -> slots.put(name, new Slot(name)));
        thread.setDaemon(true); // a lamp that hangs in its driver must not keep the program from ending
    }

    void start() {
        thread.start();
    }

    /** From now on the lamp shows this. A name that is no lamp is ignored. */
    void show(String lamp, Look look) {
        Slot slot = slots.get(lamp);
        if (slot != null && !look.equals(slot.wanted.getAndSet(look))) {
            LockSupport.unpark(thread);
        }
    }

    private void run() {
        if (panel.wantsLampTest()) {
            test();
        }
        while (!closing) {
            long now = System.nanoTime();
            long sleep = bringAll(slot -> slot.wanted.get(), now);
            if (sleep == Long.MAX_VALUE) {
                LockSupport.park(this);
            } else {
                LockSupport.parkNanos(this, Math.max(0, sleep - (System.nanoTime() - now)));
            }
        }
        bringAll(_ -> Look.OFF, System.nanoTime());
    }

    private void test() {
        for (String colour : TEST_COLOURS) {
            long until = System.nanoTime() + TEST_NANOS;
            bringAll(_ -> new Look(Look.Pattern.STEADY, 1, Optional.of(colour)), System.nanoTime());
            for (long left = TEST_NANOS; left > 0 && !closing; left = until - System.nanoTime()) {
                LockSupport.parkNanos(this, left);
            }
        }
    }

    /** Tells the panel what it has not been told yet. Returns the time until there is something to do again. */
    private long bringAll(Function<Slot, Look> wanted, long now) {
        long sleep = Long.MAX_VALUE;
        List<Slot> changed = new ArrayList<>();
        for (Slot slot : slots.values()) {
            Look look = wanted.apply(slot);
            sleep = Math.min(sleep, Flashing.untilChange(look, now - epoch));
            if (!bring(slot, look, Flashing.level(look, now - epoch), now, changed)) {
                sleep = Math.min(sleep, RETRY_NANOS);
            }
        }
        if (!changed.isEmpty() && !written(changed, now)) {
            sleep = Math.min(sleep, RETRY_NANOS);
        }
        return sleep;
    }

    /** False if the panel could not do it. */
    private boolean bring(Slot slot, Look look, double level, long now, List<Slot> changed) {
        try {
            if (level != slot.level || !look.colour().equals(slot.colour)) {
                panel.light(slot.lamp, level, look.colour());
                changed.add(slot);
                slot.level = level;
                slot.colour = look.colour();
            }
            if (!look.equals(slot.meant)) {
                panel.meaning(slot.lamp, look);
                slot.meant = look;
            }
            return true;
        } catch (RuntimeException e) {
            complain("The lamp \"" + slot.lamp + "\" could not be set: " + ErrorWords.of(e), now);
            return false;
        }
    }

    private boolean written(List<Slot> changed, long now) {
        try {
            panel.show();
            return true;
        } catch (RuntimeException e) {
            changed.forEach(slot -> slot.level = Double.NaN);
            complain("The lamps could not be set: " + ErrorWords.of(e), now);
            return false;
        }
    }

    private void complain(String what, long now) {
        if (now - complainAgainAt >= 0) {
            complainAgainAt = now + RETRY_NANOS;
            noted.accept(what);
        }
    }

    /** Puts every lamp out and ends the thread. Waits for that no longer than two seconds. */
    @Override
    public void close() {
        closing = true;
        LockSupport.unpark(thread);
        try {
            thread.join(CLOSE_WAIT_MS);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }
}
