package bellpush.config.model;

import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;

/** A chip, matrix or strip that gives the panel more pins than the board's header has. */
public sealed interface Chip {
    String name();

    Source at();

    /** The bus it is on; empty for a matrix, whose pins are ordinary ones. */
    default Optional<Bus> onBus() {
        return switch (this) {
            case Expander expander -> Optional.of(expander.bus());
            case Converter converter -> Optional.of(converter.bus());
            case Strip strip -> Optional.of(strip.bus());
            case Matrix _ -> Optional.empty();
        };
    }

    /** Where a chip is connected. */
    sealed interface Bus {
        /** As written in panel.json. */
        String written();

        /** @param number the bus, as in {@code /dev/i2c-1} @param address 7 bits */
        record I2c(int number, int address) implements Bus {
            /** BCM numbers. */
            public record Lines(int data, int clock) {}

            /** Its header pins; empty where they depend on how the board was set up. */
            public Optional<Lines> lines() {
                return number == 1 ? Optional.of(new Lines(2, 3)) : Optional.empty();
            }

            @Override
            public String written() {
                return "i2c-" + number;
            }
        }

        /** @param number the bus @param select its chip-select line, as in {@code /dev/spidev0.1} */
        record Spi(int number, int select) implements Bus {
            /** BCM numbers: clock, to the chip (MOSI), from the chip (MISO). */
            public record Lines(int clock, int toChip, int fromChip) {}

            /** Its header pins, of SPI 1 from memory; empty where they depend on how the board was set up. */
            public Optional<Lines> lines() {
                return Optional.ofNullable(switch (number) {
                    case 0 -> new Lines(11, 10, 9);
                    case 1 -> new Lines(21, 20, 19);
                    default -> null;
                });
            }

            /** BCM number of its chip-select line; empty as above. */
            public OptionalInt selectPin() {
                return switch (written()) {
                    case "spi-0.0" -> OptionalInt.of(8);
                    case "spi-0.1" -> OptionalInt.of(7);
                    case "spi-1.0" -> OptionalInt.of(18);
                    case "spi-1.1" -> OptionalInt.of(17);
                    case "spi-1.2" -> OptionalInt.of(16);
                    default -> OptionalInt.empty();
                };
            }

            @Override
            public String written() {
                return "spi-" + number + "." + select;
            }
        }
    }

    /**
     * Sixteen more pins: an MCP23017 (I2C) or MCP23S17 (SPI).
     *
     * @param address   0x20 to 0x27, as set with the chip's address pins; also of the SPI part, whose first byte carries it
     * @param interrupt the header pin to which its interrupt output goes; empty: it is read again and again
     */
    record Expander(String name, Bus bus, int address, Optional<Pin.Gpio> interrupt, Source at) implements Chip {
        public static final int PINS = 16;
    }

    /**
     * Analogue inputs.
     *
     * @param every how often it is read while something moves
     * @param volts the supply of the fader or joystick at its upper end, which an ADS1115 measures against; an MCP3008 measures
     *              against its own reference pin
     */
    record Converter(String name, Model model, Bus bus, Duration every, double volts, Source at) implements Chip {
        public enum Model {
            /** Eight inputs of 10 bits on SPI. */
            MCP3008(8),
            /** Four inputs of 16 bits on I2C. */
            ADS1115(4);

            private final int inputs;

            Model(int inputs) {
                this.inputs = inputs;
            }

            public int inputs() {
                return inputs;
            }

            /** The word used in JSON. */
            public String word() {
                return name().toLowerCase(java.util.Locale.ROOT);
            }
        }
    }

    /**
     * Keys at the crossings of rows and columns, each with a diode from its column to its row.
     *
     * @param rows    pins that are driven low, one after the other
     * @param columns pins that are pulled up and read
     * @param every   how often it is looked through while a key is closed
     */
    record Matrix(String name, List<Pin> rows, List<Pin> columns, Duration every, Source at) implements Chip {}

    /**
     * Lamps of three colours in a row on one data line.
     *
     * @param clocked      with a clock line of its own; else everything is in the timing of the one data line
     * @param length       how many lamps it has
     * @param order        the order in which the colours are sent, such as {@code grb}
     * @param milliampsMax what all of them together may draw; they are dimmed to stay below it
     */
    record Strip(String name, boolean clocked, Bus.Spi bus, int length, String order, double milliampsMax, Source at)
            implements
                Chip {}
}
