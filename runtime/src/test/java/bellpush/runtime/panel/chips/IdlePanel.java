package bellpush.runtime.panel.chips;

import bellpush.runtime.panel.PinBank;
import bellpush.runtime.panel.PinListener;
import bellpush.runtime.panel.bus.Buses;
import bellpush.runtime.panel.bus.I2cDevice;
import bellpush.runtime.panel.bus.SpiDevice;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;

/**
 * A panel that nobody touches: 24 buttons and 4 knobs, eight buttons on the header, sixteen in a matrix on one expander, the knobs on
 * another. The chips behave as their data sheet says; their interrupt lines go to the header.
 */
final class IdlePanel {
    static final int BUTTONS = 24;
    static final int KNOBS = 4;
    static final String JSON = json();

    /** The one with the matrix: rows b0 to b3, columns a0 to a3. */
    final FakeExpander keys;
    final FakeExpander knobs;
    final Header header = new Header();
    final Buses buses = new Buses() {
        @Override
        public I2cDevice i2c(int bus, int address) {
            return address == 0x20 ? keys.onI2c() : knobs.onI2c();
        }

        @Override
        public SpiDevice spi(int bus, int select, int hertz) {
            throw new AssertionError("no SPI here");
        }
    };

    /** @param onKeys lets time pass during transfers of one chip; @param onKnobs the same of the other: each for one thread only */
    IdlePanel(World onKeys, World onKnobs, Clock clock) {
        keys = new FakeExpander(onKeys, false, 0);
        knobs = new FakeExpander(onKnobs, false, 1);
        keys.onInterruptLine(active -> header.edge(clock.nanos(), 4, active));
        knobs.onInterruptLine(active -> header.edge(clock.nanos(), 17, active));
    }

    private static String json() {
        StringBuilder text = new StringBuilder("""
                { "chips": {
                    "keys":  { "expander": "mcp23017", "bus": "i2c-1", "address": "0x20", "interrupt": 4 },
                    "knobs": { "expander": "mcp23017", "bus": "i2c-1", "address": "0x21", "interrupt": 17 },
                    "pad":   { "matrix": { "rows": ["keys.b0", "keys.b1", "keys.b2", "keys.b3"],
                                           "columns": ["keys.a0", "keys.a1", "keys.a2", "keys.a3"] } } },
                  "buttons": {
                """);
        int[] onHeader = {5, 6, 12, 13, 16, 19, 20, 21};
        for (int i = 0; i < BUTTONS; i++) {
            String pin = i < onHeader.length
                    ? Integer.toString(onHeader[i])
                    : "\"pad." + ((i - 8) / 4 + 1) + "." + ((i - 8) % 4 + 1) + "\"";
            text.append(String.format("\"song-%d\": { \"label\": \"SONG %d\", \"pin\": %s, \"press\": \"open\" },%n",
                    i + 1, i + 1, pin));
        }
        text.append("}, \"knobs\": {\n");
        String[] leads = {"a0", "a1", "a2", "a3", "b0", "b1", "b2", "b3"};
        for (int i = 0; i < KNOBS; i++) {
            text.append(String.format(
                    "\"knob-%d\": { \"label\": \"KNOB %d\", \"pins\": [\"knobs.%s\", \"knobs.%s\"], "
                            + "\"turns\": \"desk.level\", \"step\": 1 },%n",
                    i + 1, i + 1, leads[2 * i], leads[2 * i + 1]));
        }
        return text.append("} }").toString();
    }

    /** Pins that stay open. */
    static final class Header implements PinBank {
        private final Map<Integer, Boolean> active = new TreeMap<>();
        private volatile PinListener listener;

        @Override
        public String describe() {
            return "the header";
        }

        @Override
        public void open(List<In> ins, List<Out> outs, PinListener to) {
            ins.forEach(in -> active.put(in.pin(), false));
            ins.forEach(in -> to.found(System.nanoTime(), in.pin(), false));
            listener = to;
        }

        void edge(long atNanos, int pin, boolean low) {
            PinListener to = listener;
            if (to != null) {
                to.edge(atNanos, pin, low);
            }
        }

        @Override
        public void write(Map<Integer, Boolean> levels) {}

        @Override
        public Map<Integer, Boolean> read() {
            return new HashMap<>(active);
        }

        @Override
        public void close() {}
    }
}
