package bellpush.runtime.panel.chips;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.runtime.kit.SmallSite;
import bellpush.runtime.panel.PinBank;
import bellpush.runtime.panel.PinListener;
import bellpush.runtime.panel.Told;
import bellpush.runtime.panel.board.BoardPanel;
import bellpush.runtime.panel.bus.Buses;
import bellpush.runtime.panel.bus.BusException;
import bellpush.runtime.panel.bus.I2cDevice;
import bellpush.runtime.panel.bus.SpiDevice;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A panel.json with everything in it, on chips that behave as their data sheets say: from a finger to what the core is told. */
class WholePanelTest {
    private static final long MS = 1_000_000;
    private static final String PANEL = """
            { "chips": {
                "left":  { "expander": "mcp23017", "bus": "i2c-1", "address": "0x20", "interrupt": 4 },
                "right": { "expander": "mcp23s17", "bus": "spi-0.1", "address": "0x21" },
                "adc":   { "converter": "mcp3008", "bus": "spi-0.0", "every": "20 ms" },
                "stick": { "converter": "ads1115", "bus": "i2c-1", "address": "0x48", "every": "20 ms", "volts": 3.3 },
                "pad":   { "matrix": { "rows": [5, "right.b1"], "columns": [13, "left.a0"] } },
                "strip": { "strip": "clocked", "bus": "spi-1.0", "length": 3, "order": "rgb" } },
              "buttons": {
                "header": { "label": "H", "pin": 22, "press": "open" },
                "left":   { "label": "L", "pin": "left.a3", "press": "open", "lamp": { "pin": "left.b3", "activeHigh": false } },
                "right":  { "label": "R", "pin": "right.a6", "press": "open", "lamp": { "pin": "right.b0" } },
                "key":    { "label": "K", "pin": "pad.2.2", "press": "open", "lamp": { "pin": "strip.2" } },
                "key-b":  { "label": "K", "pin": "pad.1.1", "press": "open" } },
              "switches": { "mode": { "label": "M", "pin": "left.a4", "on": "open" } },
              "knobs": { "trim": { "label": "T", "pins": ["right.a0", "right.a1"], "turns": "desk.level", "step": 1,
                                   "push": { "pin": "right.a2", "press": "open" } } },
              "faders": { "speech": { "label": "S", "input": "adc.0", "moves": "desk.level", "from": -60, "to": 10 } },
              "joysticks": { "camera": { "label": "C", "axes": {
                  "pan":  { "input": "stick.1", "drives": "desk.speed", "most": 18 },
                  "zoom": { "contacts": ["left.a5", "left.a6"], "drives": "desk.turn", "most": 4 } } } },
              "lamps": { "warm": { "label": "W", "pin": 12, "dims": true, "rules": [ { "show": "steady" } ] },
                         "three": { "label": "3", "pins": ["left.b0", "left.b1", 26], "rules": [ { "show": "steady" } ] } } }
            """;

    @TempDir
    private Path pwm;
    private final World world = new World();
    private final FakeExpander left = new FakeExpander(world, false, 0);
    private final FakeExpander right = new FakeExpander(world, true, 1);
    private final FakeMcp3008 adc = new FakeMcp3008(world);
    private final FakeAds1115 stick = new FakeAds1115(world, 1.05);
    private final List<byte[]> strip = new ArrayList<>();
    private final Header header = new Header();
    private final Told told = new Told();
    private final ChipsThread thread = new ChipsThread("chips", world, message -> {
        throw new AssertionError(message);
    });
    private BoardPanel panel;

    private final Buses buses = new Buses() {
        @Override
        public I2cDevice i2c(int bus, int address) {
            assertThat(bus).isEqualTo(1);
            return address == 0x20 ? left.onI2c() : stick;
        }

        @Override
        public SpiDevice spi(int bus, int select, int hertz) {
            return switch (bus * 10 + select) {
                case 0 -> adc;
                case 1 -> FakeExpander.onSpi(world, 0xff, right);
                default -> new SpiDevice() {
                    @Override
                    public byte[] transfer(byte... bytes) throws BusException {
                        strip.add(bytes);
                        return bytes;
                    }

                    @Override
                    public void close() {}
                };
            };
        }
    };

    /** The header: pins with levels, pulled up. Each column hears of every change. */
    private final class Header implements PinBank {
        private final Map<Integer, In> inputs = new TreeMap<>();
        private final Map<Integer, Out> outputs = new TreeMap<>();
        private final Map<Integer, Boolean> written = new HashMap<>();
        private final Map<Integer, Boolean> low = new HashMap<>();
        private PinListener listener;
        private boolean closed;

        @Override
        public String describe() {
            return "the header";
        }

        @Override
        public void open(List<In> ins, List<Out> outs, PinListener to) {
            ins.forEach(in -> inputs.put(in.pin(), in));
            outs.forEach(out -> outputs.put(out.pin(), out));
            listener = to;
            ins.forEach(in -> to.found(world.nanos(), in.pin(), low.getOrDefault(in.pin(), false)));
        }

        void drive(int pin, boolean isLow) {
            if (low.getOrDefault(pin, false) != isLow) {
                low.put(pin, isLow);
                if (listener != null) {
                    listener.edge(world.nanos(), pin, isLow);
                }
            }
        }

        @Override
        public void write(Map<Integer, Boolean> levels) {
            written.putAll(levels);
            keys();
        }

        @Override
        public Map<Integer, Boolean> read() {
            Map<Integer, Boolean> levels = new TreeMap<>();
            inputs.keySet().forEach(pin -> levels.put(pin, low.getOrDefault(pin, false)));
            return levels;
        }

        @Override
        public void close() {
            closed = true;
        }
    }

    /** Keys of the matrix: row 1 is the header's 5, row 2 is right.b1; column 1 is the header's 13, column 2 is left.a0. */
    private final boolean[][] keys = new boolean[2][2];

    private void keys() {
        boolean[] rowLow = {header.written.getOrDefault(5, false), right.isOutput(9) && !right.level(9)};
        for (int c = 0; c < 2; c++) {
            boolean columnLow = keys[0][c] && rowLow[0] || keys[1][c] && rowLow[1];
            if (c == 0) {
                header.drive(13, columnLow);
            } else {
                left.drive(0, columnLow ? false : null);
            }
        }
    }

    /** Keys follow the rows, also the one on an expander, which does not tell the test when it is written. */
    private void run(long ms) {
        for (long end = world.nanos() + ms * MS; world.nanos() < end;) {
            world.run(thread, Math.min(end, world.nanos() + 50_000));
            keys();
        }
    }

    @BeforeEach
    void wire() throws IOException {
        Path chip = Files.createDirectory(pwm.resolve("pwmchip0"));
        Files.writeString(chip.resolve("npwm"), "2");
        Files.createFile(chip.resolve("export"));
        Files.createDirectory(chip.resolve("pwm0"));
        for (String file : List.of("period", "duty_cycle", "enable")) {
            Files.writeString(chip.resolve("pwm0").resolve(file), "0");
        }
        left.onInterruptLine(active -> header.drive(4, active));
        panel = new BoardPanel(SmallSite.with(PANEL).panel(), header, buses, pwm, world, new ByHand(thread),
                new ByHand(thread));
        adc.set(0, 1023);
        stick.set(1, 1.65);
        left.drive(4, false);
    }

    private void start() {
        panel.open(told);
        run(100);
    }

    @Test
    void theStartIsToldAsFoundAndAsStanding() {
        start();
        assertThat(told.lines).filteredOn(line -> line.startsWith("found")).contains("found mode closed",
                "found left open", "found right open", "found key open", "found header open",
                "found camera.zoom.up open",
                "found trim.a open", "found trim.push open").hasSize(11);
        assertThat(told.lines).filteredOn(line -> line.startsWith("moved")).containsExactlyInAnyOrder(
                "moved speech 1.000", "moved camera.pan 0.500");
        assertThat(told.lines).filteredOn(line -> line.startsWith("contact")).isEmpty();
        assertThat(told.lines).filteredOn(line -> line.startsWith("noted")).isEmpty();
        assertThat(panel.describe())
                .startsWith("11 contacts and 5 lamps on the header; left, an MCP23017 at 0x20 of i2c-1; ")
                .contains("right, an MCP23S17 at 0x21 of spi-0.1, without an interrupt line")
                .contains("pad, a matrix of 2 rows and 2 columns");
    }

    @Test
    void aPressOnEachBankIsToldWithTheNameOfItsControl() {
        start();
        told.lines.clear();
        header.drive(22, true);
        left.drive(3, false);
        run(20);
        right.drive(6, false);
        right.drive(2, false);
        run(20);
        left.drive(6, false);
        run(20);
        assertThat(told.lines).containsExactly("contact header closed", "contact left closed",
                "contact right closed", "contact trim.push closed", "contact camera.zoom.up closed");
    }

    @Test
    void keysOfAMatrixAcrossThreeBanksAreFoundOnceEach() {
        start();
        told.lines.clear();
        keys[1][1] = true;
        run(60);
        keys[0][0] = true;
        run(60);
        keys[1][1] = false;
        run(60);
        keys[0][0] = false;
        run(60);
        assertThat(told.lines).containsExactly("contact key closed", "contact key-b closed", "contact key open",
                "contact key-b open");
    }

    @Test
    void aKnobOnAnExpanderGivesBothChannels() {
        start();
        told.lines.clear();
        right.drive(0, false);
        run(10);
        right.drive(1, false);
        run(10);
        right.drive(0, null);
        run(10);
        right.drive(1, null);
        run(10);
        assertThat(told.lines).containsExactly("contact trim.a closed", "contact trim.b closed", "contact trim.a open",
                "contact trim.b open");
    }

    @Test
    void faderAndStickMove() {
        start();
        told.lines.clear();
        adc.set(0, 0);
        stick.set(1, 3.3);
        run(200);
        assertThat(told.lines).containsExactlyInAnyOrder("moved speech 0.000", "moved camera.pan 1.000");
    }

    @Test
    void lampsGoWhereTheyAreWiredAllOfABankTogether() throws IOException {
        start();
        left.transfers.clear();
        strip.clear();
        panel.light("left", 1, Optional.empty());
        panel.light("right", 1, Optional.empty());
        panel.light("key", 1, Optional.of("red"));
        panel.light("warm", 0.5, Optional.empty());
        panel.light("three", 1, Optional.of("yellow"));
        panel.show();
        assertThat(left.transfers).containsExactly("w 14 00 03"); // b3 low, b0 and b1 (red and green) high
        assertThat(right.level(8)).isTrue();
        assertThat(HexFormat.of().formatHex(strip.getFirst())).startsWith("00000000" + "ff000000" + "ffff0000");
        assertThat(Files.readString(pwm.resolve("pwmchip0/pwm0/duty_cycle"))).isEqualTo("184187");
        assertThat(header.written).containsEntry(26, false).doesNotContainKey(12);
        assertThat(header.outputs).doesNotContainKey(12);
    }

    @Test
    void aLostExpanderLetsGoOfItsRockerAndButtonsButNotOfItsSwitch() {
        start();
        left.drive(6, false);
        left.drive(3, false);
        run(20);
        told.lines.clear();
        left.connected(false);
        run(2_100);
        assertThat(told.lines).filteredOn(line -> line.startsWith("contact"))
                .containsExactlyInAnyOrder("contact camera.zoom.up open", "contact left open");
        assertThat(told.lines).filteredOn(line -> line.startsWith("noted No answer")).hasSize(1);
        told.lines.clear();
        left.connected(true);
        run(2_100);
        // What was held all the time was not pressed again; only a new press counts.
        assertThat(told.lines).contains("noted Back in use: left, an MCP23017 at 0x20 of i2c-1.")
                .noneMatch(line -> line.startsWith("contact"));
        told.lines.clear();
        left.drive(6, null);
        run(20);
        left.drive(6, false);
        run(20);
        assertThat(told.lines).containsSubsequence("contact camera.zoom.up closed");
    }

    @Test
    void aLostConverterIsToldSoThatItsAxisStops() {
        start();
        told.lines.clear();
        stick.connected(false);
        run(300);
        assertThat(told.lines).containsExactly("lost camera.pan");
        stick.connected(true);
        run(2_100);
        assertThat(told.lines).contains("moved camera.pan 0.500");
    }

    @Test
    void atTheEndAllIsDark() throws IOException {
        start();
        panel.light("left", 1, Optional.empty());
        panel.light("right", 1, Optional.empty());
        panel.light("key", 1, Optional.empty());
        panel.light("warm", 1, Optional.empty());
        panel.show();
        panel.close();
        assertThat(left.level(11)).isTrue();
        assertThat(right.level(8)).isFalse();
        assertThat(HexFormat.of().formatHex(strip.getLast())).startsWith("00000000" + "ff000000".repeat(3));
        assertThat(Files.readString(pwm.resolve("pwmchip0/pwm0/duty_cycle"))).isEqualTo("0");
        assertThat(header.closed).isTrue();
    }

    @Test
    void chipsThatAreMissingAtTheStartAreSaidAndComeLater() {
        left.connected(false);
        right.connected(false);
        adc.connected(false);
        stick.connected(false);
        left.drive(3, false);
        start();
        assertThat(told.lines).filteredOn(line -> line.startsWith("noted")).hasSize(2);
        assertThat(told.lines).contains("found header open", "lost speech", "lost camera.pan")
                .noneMatch(line -> line.startsWith("found left") || line.startsWith("contact"));
        panel.light("right", 1, Optional.empty());
        panel.show();
        header.drive(22, true);
        run(20);
        assertThat(told.lines).last().isEqualTo("contact header closed");
        for (FakeExpander chip : List.of(left, right)) {
            chip.connected(true);
        }
        adc.connected(true);
        stick.connected(true);
        run(4_500);
        assertThat(told.lines).contains("found left closed", "found mode closed", "found right open", "found key open",
                "moved speech 1.000", "moved camera.pan 0.500").doesNotContain("contact left closed");
        assertThat(right.level(8)).isTrue();
        told.lines.clear();
        keys[1][1] = true;
        run(60);
        assertThat(told.lines).containsExactly("contact key closed");
    }
}
