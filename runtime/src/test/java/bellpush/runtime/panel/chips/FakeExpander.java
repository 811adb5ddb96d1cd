package bellpush.runtime.panel.chips;

import bellpush.runtime.panel.bus.BusException;
import bellpush.runtime.panel.bus.I2cDevice;
import bellpush.runtime.panel.bus.SpiDevice;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.function.Consumer;

/**
 * An MCP23017 or MCP23S17 as its data sheet describes it, register by register. Source: Microchip DS20001952C (2016), §3.2 to
 * §3.6, Tables 3-1 and 3-5, Registers 3-1 to 3-11.
 */
final class FakeExpander {
    /** Registers of one port, in the order of Table 3-1. */
    private static final int IODIR = 0;
    private static final int IPOL = 1;
    private static final int GPINTEN = 2;
    private static final int DEFVAL = 3;
    private static final int INTCON = 4;
    private static final int IOCON = 5;
    private static final int GPPU = 6;
    private static final int INTF = 7;
    private static final int INTCAP = 8;
    private static final int GPIO = 9;
    private static final int OLAT = 10;
    private static final int REGISTERS = 11;

    private final World world;
    private final boolean spi;
    /** Address pins A2 A1 A0. */
    private final int pins;
    private final int[][] registers = new int[2][REGISTERS];
    /** What the outside does to each pin: drives it low, high, or nothing. */
    private final Boolean[] outside = new Boolean[16];
    private int pointer;
    private boolean present = true;
    private boolean asserted;
    private Consumer<Boolean> line = _ -> {};
    /** Each transfer as it was on the bus, for comparison with the data sheet's sequences. */
    final List<String> transfers = new ArrayList<>();
    /** Each level that each pin was driven to, in order. */
    final List<List<Boolean>> driven = new ArrayList<>();

    FakeExpander(World world, boolean spi, int pins) {
        this.world = world;
        this.spi = spi;
        this.pins = pins;
        for (int i = 0; i < 16; i++) {
            driven.add(new ArrayList<>());
        }
        powerOn();
    }

    /** Table 3-5: power-on reset. Outputs let go. */
    void powerOn() {
        for (int[] port : registers) {
            Arrays.fill(port, 0);
            port[IODIR] = 0xff;
        }
        pointer = 0;
        refresh();
    }

    /** The wire is off, or on again. */
    void connected(boolean yes) {
        present = yes;
    }

    void onInterruptLine(Consumer<Boolean> listener) {
        line = listener;
    }

    /** @param level true: high, false: low, null: left alone */
    void drive(int pin, Boolean level) {
        int before = levels(pin / 8);
        outside[pin] = level;
        changed(pin / 8, before);
    }

    /** What a meter at the pin would show. A pin that nobody drives and nothing pulls up is taken as low. */
    boolean level(int pin) {
        int port = pin / 8;
        int bit = 1 << pin % 8;
        if ((registers[port][IODIR] & bit) == 0) {
            return (registers[port][OLAT] & bit) != 0;
        }
        return outside[pin] != null ? outside[pin] : (registers[port][GPPU] & bit) != 0;
    }

    boolean isOutput(int pin) {
        return (registers[pin / 8][IODIR] >> pin % 8 & 1) == 0;
    }

    /** By its BANK = 0 address, as a debugger would. */
    int register(int address) {
        return registers[address & 1][address >> 1];
    }

    void poke(int address, int value) {
        registers[address & 1][address >> 1] = value;
    }

    private int levels(int port) {
        int levels = 0;
        for (int i = 0; i < 8; i++) {
            levels |= level(port * 8 + i) ? 1 << i : 0;
        }
        return levels;
    }

    /** §3.6: interrupt on change, against the previous level or against DEFVAL; only inputs; the first one freezes INTCAP. */
    private void changed(int port, int before) {
        int[] r = registers[port];
        int now = levels(port);
        int watched = r[GPINTEN] & r[IODIR];
        int byChange = (before ^ now) & ~r[INTCON];
        int byValue = (r[DEFVAL] ^ now) & r[INTCON];
        int cause = (byChange | byValue) & watched;
        if (cause != 0 && r[INTF] == 0) {
            r[INTF] = Integer.lowestOneBit(cause);
            r[INTCAP] = now ^ r[IPOL];
        }
        refresh();
    }

    private void clearInterrupt(int port) {
        registers[port][INTF] = 0;
        changed(port, levels(port)); // with INTCON = 1 it comes back while the pin differs from DEFVAL
    }

    private void refresh() {
        for (int pin = 0; pin < 16; pin++) {
            List<Boolean> history = driven.get(pin);
            if (isOutput(pin) && (history.isEmpty() || history.getLast() != level(pin))) {
                history.add(level(pin));
            }
        }
        // Register 3-6: with MIRROR both pins say so; else we look at INTA alone. ODR and INTPOL = 0 are both active low.
        boolean now = registers[0][INTF] != 0 || (registers[0][IOCON] & 0x40) != 0 && registers[1][INTF] != 0;
        if (now != asserted) {
            asserted = now;
            line.accept(now);
        }
    }

    private boolean bank() {
        return (registers[0][IOCON] & 0x80) != 0;
    }

    /** @return port and register, or -1 where nothing is */
    private int decode(int address) {
        int port = bank() ? address >> 4 & 1 : address & 1;
        int register = bank() ? address & 0x0f : address >> 1;
        return register < REGISTERS && address < (bank() ? 0x20 : 0x16) ? port << 4 | register : -1;
    }

    private void step() {
        boolean byteMode = (registers[0][IOCON] & 0x20) != 0;
        if (byteMode) {
            pointer = bank() ? pointer : pointer ^ 1; // §3.2.1: toggles between the two of a pair
        } else {
            pointer = pointer + 1 >= (bank() ? 0x1b : 0x16) ? 0 : pointer + 1;
        }
    }

    private int get() {
        int place = decode(pointer);
        step();
        if (place < 0) {
            return 0;
        }
        int port = place >> 4;
        int[] r = registers[port];
        int value = switch (place & 0xf) {
            case GPIO -> levels(port) ^ r[IPOL];
            case IOCON -> registers[0][IOCON];
            default -> r[place & 0xf];
        };
        if ((place & 0xf) == GPIO || (place & 0xf) == INTCAP) {
            clearInterrupt(port);
        }
        return value;
    }

    private void put(int value) {
        int place = decode(pointer);
        if (place < 0) {
            step();
            return;
        }
        int port = place >> 4;
        int[] r = registers[port];
        int before = levels(port);
        switch (place & 0xf) {
            case INTF, INTCAP -> {
            }
            case IOCON -> {
                step();
                registers[0][IOCON] = registers[1][IOCON] = value & 0xfe;
                refresh();
                return;
            }
            case GPIO, OLAT -> r[OLAT] = value; // §3.5.10: a write to GPIO goes to the latch
            default -> r[place & 0xf] = value;
        }
        step();
        changed(port, before);
    }

    private static String hex(byte[] bytes) {
        return java.util.HexFormat.ofDelimiter(" ").formatHex(bytes);
    }

    /** Bytes after the address byte. Stop conditions end a transfer; a repeated start does not change the pointer. */
    I2cDevice onI2c() {
        return new I2cDevice() {
            @Override
            public void write(byte... bytes) throws BusException {
                begin();
                transfers.add("w " + hex(bytes));
                for (int i = 0; i < bytes.length; i++) {
                    world.pass(World.I2C_BYTE_NANOS);
                    if (i == 0) {
                        pointer = bytes[0] & 0xff;
                    } else {
                        put(bytes[i] & 0xff);
                    }
                }
            }

            @Override
            public byte[] read(int count) throws BusException {
                begin();
                byte[] answer = new byte[count];
                for (int i = 0; i < count; i++) {
                    world.pass(World.I2C_BYTE_NANOS);
                    answer[i] = (byte) get();
                }
                transfers.add("r " + hex(answer));
                return answer;
            }

            @Override
            public byte[] writeRead(byte[] bytes, int count) throws BusException {
                write(bytes);
                return read(count);
            }

            private void begin() throws BusException {
                world.pass(World.I2C_BYTE_NANOS);
                if (!present) {
                    throw new BusException("No answer.");
                }
            }

            @Override
            public void close() {
                transfers.add("closed");
            }
        };
    }

    /**
     * One select line with chips on it. §3.3.2: opcode 0100 A2 A1 A0 R/W; with HAEN = 0 a chip takes the address pins for 000.
     *
     * @param idle what the data line shows while nobody drives it
     */
    static SpiDevice onSpi(World world, int idle, FakeExpander... chips) {
        return new SpiDevice() {
            @Override
            public byte[] transfer(byte... bytes) {
                byte[] answer = new byte[bytes.length];
                Arrays.fill(answer, (byte) idle);
                List<FakeExpander> called = new ArrayList<>();
                for (FakeExpander chip : chips) {
                    boolean addressed = (chip.registers[0][IOCON] & 0x08) != 0;
                    if (chip.present && (bytes[0] & 0xfe) == (0x40 | (addressed ? chip.pins << 1 : 0))) {
                        called.add(chip);
                        chip.transfers.add(hex(bytes));
                        chip.pointer = bytes[1] & 0xff;
                    }
                }
                world.pass(2 * World.SPI_BYTE_NANOS);
                for (int i = 2; i < bytes.length; i++) {
                    world.pass(World.SPI_BYTE_NANOS);
                    int out = -1;
                    for (FakeExpander chip : called) {
                        if ((bytes[0] & 1) == 0) {
                            chip.put(bytes[i] & 0xff);
                        } else {
                            out = (out < 0 ? 0 : out) | chip.get();
                        }
                    }
                    answer[i] = (byte) (out < 0 ? idle : out);
                }
                return answer;
            }

            @Override
            public void close() {}
        };
    }

    boolean isSpi() {
        return spi;
    }
}
