package bellpush.runtime.panel.chips;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.runtime.kit.SmallSite;
import bellpush.runtime.panel.PinBank;
import bellpush.runtime.panel.PinListener;
import bellpush.runtime.panel.Told;
import bellpush.runtime.panel.board.BoardPanel;
import bellpush.runtime.panel.bus.BusException;
import bellpush.runtime.panel.bus.Buses;
import bellpush.runtime.panel.bus.I2cDevice;
import bellpush.runtime.panel.bus.SpiDevice;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.BooleanSupplier;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/**
 * A lamp that takes for ever to set, on real threads: what hangs on other buses is read all the same, and what hangs on the same bus as
 * soon as that transfer has come to its end.
 */
class SlowBusTest {
    private static final String PANEL = """
            { "chips": {
                "left":  { "expander": "mcp23017", "bus": "i2c-1", "address": "0x20", "interrupt": 4 },
                "near":  { "expander": "mcp23017", "bus": "i2c-1", "address": "0x21", "interrupt": 17 },
                "right": { "expander": "mcp23017", "bus": "i2c-3", "address": "0x20", "interrupt": 27 },
                "pad":   { "matrix": { "rows": ["left.b1", "left.b2"], "columns": [13, 19] } },
                "strip": { "strip": "clocked", "bus": "spi-0.0", "length": 3, "order": "rgb" } },
              "buttons": {
                "left":  { "label": "L", "pin": "left.a0", "press": "open", "lamp": { "pin": "left.b0" } },
                "near":  { "label": "N", "pin": "near.a0", "press": "open", "lamp": { "pin": "near.b0" } },
                "right": { "label": "R", "pin": "right.a0", "press": "open", "lamp": { "pin": "right.b0" } },
                "key":   { "label": "K", "pin": "pad.1.1", "press": "open", "lamp": { "pin": "strip.1" } } } }
            """;

    private final Wired left = new Wired("left");
    private final Wired near = new Wired("near");
    private final Wired right = new Wired("right");
    private final Slow strip = new Slow("strip");
    /** What was on the buses, and what was told, as it came. */
    private final List<String> order = new CopyOnWriteArrayList<>();
    private final Header header = new Header();
    private final Told told = new Told();
    private final ChipsThread chips = thread("chips");
    private final ChipsThread strips = thread("strips");
    private BoardPanel panel;

    private static ChipsThread thread(String name) {
        return new ChipsThread(name, Clock.REAL, message -> {
            throw new AssertionError(message);
        });
    }

    /** A bus on which one transfer can be made to last as long as a test likes. */
    private final class Slow implements SpiDevice {
        private final String name;
        private volatile CountDownLatch inside = new CountDownLatch(0);
        private volatile CountDownLatch letGo = new CountDownLatch(0);
        private final AtomicInteger transfers = new AtomicInteger();

        Slow(String name) {
            this.name = name;
        }

        void holdUpNext() {
            letGo = new CountDownLatch(1);
            inside = new CountDownLatch(1);
        }

        void awaitInside() throws InterruptedException {
            assertThat(inside.await(10, TimeUnit.SECONDS)).as("a transfer to %s has begun", name).isTrue();
        }

        void letGo() {
            letGo.countDown();
        }

        void pass() {
            transfers.incrementAndGet();
            if (inside.getCount() > 0) {
                inside.countDown();
                try {
                    assertThat(letGo.await(30, TimeUnit.SECONDS)).isTrue();
                } catch (InterruptedException e) {
                    throw new AssertionError(e);
                }
            }
        }

        @Override
        public byte[] transfer(byte... bytes) {
            pass();
            return bytes;
        }

        @Override
        public void close() {}
    }

    /** An expander of which several threads may use, and whose lamps may be slow to set. */
    private final class Wired {
        private static final int OLAT = 0x14;
        private final String name;
        private final Slow lamps;
        private final FakeExpander chip = new FakeExpander(new World(), false, 0);
        private int interruptPin;

        Wired(String name) {
            this.name = name;
            this.lamps = new Slow("the lamps of " + name);
        }

        void interruptAt(int pin) {
            interruptPin = pin;
            chip.onInterruptLine(active -> header.edge(interruptPin, active));
        }

        void close(int pin, boolean closed) {
            synchronized (chip) {
                chip.drive(pin, closed ? false : null);
            }
        }

        I2cDevice device() {
            I2cDevice inner = chip.onI2c();
            return new I2cDevice() {
                @Override
                public void write(byte... bytes) throws BusException {
                    if (bytes[0] == OLAT) {
                        lamps.pass();
                        order.add("lamps of " + name);
                    }
                    synchronized (chip) {
                        inner.write(bytes);
                    }
                }

                @Override
                public byte[] read(int count) throws BusException {
                    synchronized (chip) {
                        return inner.read(count);
                    }
                }

                @Override
                public byte[] writeRead(byte[] bytes, int count) throws BusException {
                    order.add("read " + name);
                    synchronized (chip) {
                        return inner.writeRead(bytes, count);
                    }
                }

                @Override
                public void close() {}
            };
        }
    }

    private final class Header implements PinBank {
        private final Map<Integer, Boolean> low = new HashMap<>();
        private PinListener listener;

        @Override
        public String describe() {
            return "the header";
        }

        @Override
        public void open(List<In> ins, List<Out> outs, PinListener to) {
            ins.forEach(in -> low.put(in.pin(), false));
            ins.forEach(in -> to.found(System.nanoTime(), in.pin(), false));
            listener = to;
        }

        void edge(int pin, boolean active) {
            if (listener != null) {
                listener.edge(System.nanoTime(), pin, active);
            }
        }

        @Override
        public void write(Map<Integer, Boolean> levels) {}

        @Override
        public synchronized Map<Integer, Boolean> read() {
            return Map.copyOf(low);
        }

        synchronized void pull(int pin) {
            low.put(pin, true);
        }

        @Override
        public void close() {}
    }

    private final Buses buses = new Buses() {
        @Override
        public I2cDevice i2c(int bus, int address) {
            return bus == 3 ? right.device() : address == 0x20 ? left.device() : near.device();
        }

        @Override
        public SpiDevice spi(int bus, int select, int hertz) {
            return strip;
        }
    };

    @BeforeEach
    void open() {
        left.interruptAt(4);
        near.interruptAt(17);
        right.interruptAt(27);
        panel = new BoardPanel(SmallSite.with(PANEL).panel(), header, buses, Path.of("/nothing"), Clock.REAL, chips,
                strips);
        panel.open(told);
        await("the strip was shown", () -> strip.transfers.get() > 0);
    }

    @AfterEach
    void close() {
        List.of(left.lamps, near.lamps, right.lamps, strip).forEach(Slow::letGo);
        panel.close();
    }

    private static void await(String what, BooleanSupplier condition) {
        for (long end = System.nanoTime() + TimeUnit.SECONDS.toNanos(10); !condition.getAsBoolean();) {
            assertThat(System.nanoTime() - end).as(what).isNegative();
            Thread.onSpinWait();
        }
    }

    private void awaitTold(String line) {
        await(line, () -> told.lines.contains(line));
    }

    private Thread light(String... lamps) {
        return Thread.ofVirtual().start(() -> {
            for (String lamp : lamps) {
                panel.light(lamp, 1, Optional.empty());
                panel.show();
            }
        });
    }

    @Test
    void aPressArrivesWhileALampOfAnotherBusIsStillBeingSet() throws InterruptedException {
        left.lamps.holdUpNext();
        light("left");
        left.lamps.awaitInside();
        right.close(0, true);
        awaitTold("contact right closed");
        right.close(0, false);
        awaitTold("contact right open");
    }

    @Test
    void aPressArrivesThoughAnotherOneHasToWaitForItsBus() throws InterruptedException {
        left.lamps.holdUpNext();
        light("left");
        left.lamps.awaitInside();
        left.close(0, true);
        near.close(0, true);
        right.close(0, true);
        awaitTold("contact right closed");
        assertThat(told.lines).doesNotContain("contact left closed", "contact near closed");
        left.lamps.letGo();
        awaitTold("contact left closed");
        awaitTold("contact near closed");
    }

    @Test
    void aPressArrivesWhileAStripIsBeingShown() throws InterruptedException {
        strip.holdUpNext();
        light("key");
        strip.awaitInside();
        right.close(0, true);
        left.close(0, true);
        awaitTold("contact right closed");
        awaitTold("contact left closed");
    }

    @Test
    void aPressArrivesWhileAStripIsToldEverythingAgain() throws InterruptedException {
        strip.holdUpNext(); // nobody shows anything: what comes is the refreshing
        strip.awaitInside();
        right.close(0, true);
        awaitTold("contact right closed");
    }

    /** Its rows are behind the bus that is busy. */
    @Test
    void aPressArrivesWhileAMatrixCannotBeSearched() throws InterruptedException {
        left.lamps.holdUpNext();
        light("left");
        left.lamps.awaitInside();
        header.edge(13, true);
        right.close(0, true);
        awaitTold("contact right closed");
        header.pull(13);
        left.lamps.letGo();
        awaitTold("contact key closed");
    }

    @Test
    void aPressOnTheSameBusGoesBeforeLampsThatHaveNotBegunYet() throws InterruptedException {
        for (Wired pressed : List.of(left, near)) {
            left.lamps.holdUpNext();
            order.clear();
            Thread lamps = light("left", "near");
            left.lamps.awaitInside();
            pressed.close(0, true);
            String contact = "contact " + pressed.name + " closed";
            right.close(0, true);
            awaitTold("contact right closed"); // the thread has been round, and found the bus busy
            await("the bus is wanted", () -> told.lines.contains("contact right closed"));
            left.lamps.letGo();
            awaitTold(contact);
            lamps.join();
            assertThat(order.subList(order.indexOf("lamps of left"), order.size()))
                    .containsSubsequence("lamps of left", "read " + pressed.name, "lamps of near");
            panel.light("left", 0, Optional.empty());
            panel.light("near", 0, Optional.empty());
            panel.show();
            pressed.close(0, false);
            right.close(0, false);
            awaitTold("contact " + pressed.name + " open");
            awaitTold("contact right open");
            told.lines.clear();
        }
    }

    /** Presses of two buses, and lamps that come as fast as they can: none is lost, none is doubled. */
    @Test
    void everyPressCountsOnceWhileLampsNeverRest() throws InterruptedException {
        int presses = 300;
        Thread lamps = Thread.ofPlatform().start(() -> {
            for (int i = 0; !Thread.currentThread().isInterrupted(); i++) {
                panel.light("left", i % 2, Optional.empty());
                panel.light("near", i / 2 % 2, Optional.empty());
                panel.light("right", i % 2, Optional.empty());
                panel.light("key", i % 2, Optional.empty());
                panel.show();
            }
        });
        for (int i = 1; i <= presses; i++) {
            for (boolean closed : new boolean[]{true, false}) {
                left.close(0, closed);
                right.close(0, closed);
                near.close(0, closed);
                int count = i;
                for (String name : List.of("left", "near", "right")) {
                    String line = "contact " + name + (closed ? " closed" : " open");
                    await(line, () -> told.lines.stream().filter(line::equals).count() == count);
                }
            }
        }
        lamps.interrupt();
        lamps.join();
        assertThat(told.lines).filteredOn(line -> line.startsWith("contact")).hasSize(6 * presses);
        assertThat(told.lines).noneMatch(line -> line.startsWith("noted"));
    }
}
