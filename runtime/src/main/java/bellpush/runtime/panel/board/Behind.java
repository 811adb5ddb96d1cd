package bellpush.runtime.panel.board;

import bellpush.config.model.Chip;
import bellpush.config.model.Joystick;
import bellpush.config.model.Panel;
import bellpush.config.model.Pin;
import bellpush.runtime.panel.PinBank;
import bellpush.runtime.panel.bus.Buses;
import bellpush.runtime.panel.bus.I2cDevice;
import bellpush.runtime.panel.bus.SpiDevice;
import bellpush.runtime.panel.chips.Ads1115;
import bellpush.runtime.panel.chips.AnalogueListener;
import bellpush.runtime.panel.chips.AnalogueReader;
import bellpush.runtime.panel.chips.BusTurn;
import bellpush.runtime.panel.chips.Clock;
import bellpush.runtime.panel.chips.Converter;
import bellpush.runtime.panel.chips.ExpanderBank;
import bellpush.runtime.panel.chips.MatrixBank;
import bellpush.runtime.panel.chips.Mcp3008;
import bellpush.runtime.panel.chips.Round;
import bellpush.runtime.panel.chips.StripOutput;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.function.Consumer;
import java.util.stream.Stream;

/**
 * What a panel has behind its buses, made from its chips and not opened yet.
 *
 * @param expanders by name
 * @param matrices  by name; their rows and columns belong to the header or to expanders
 * @param readers   one for each converter that something is wired to
 * @param strips    by name
 */
record Behind(Map<String, ExpanderBank> expanders, Map<String, MatrixBank> matrices, List<AnalogueReader> readers,
        Map<String, StripOutput> strips) {
    /** A data sheet says 10 MHz; long leads to a panel do not (common practice, no source). */
    private static final int EXPANDER_HERTZ = 1_000_000;

    /** @param header the board's own pins */
    static Behind of(Panel panel, PinBank header, Buses buses, Clock clock, Round round, AnalogueListener analogue,
            Consumer<String> noted) {
        Map<String, ExpanderBank> expanders = new LinkedHashMap<>();
        Map<String, MatrixBank> matrices = new LinkedHashMap<>();
        List<AnalogueReader> readers = new ArrayList<>();
        Map<String, StripOutput> strips = new LinkedHashMap<>();
        Map<String, BusTurn> turns = turns(panel, round);
        Map<String, List<AnalogueReader.Input>> inputs = inputs(panel);
        for (Chip chip : panel.chips().values()) {
            if (chip instanceof Chip.Expander expander) {
                expanders.put(chip.name(), expander(expander, buses, clock, turns.get(chip.name())));
            }
        }
        for (Chip chip : panel.chips().values()) {
            switch (chip) {
                case Chip.Expander _ -> {
                } // done before: a matrix may use its pins
                case Chip.Matrix matrix -> matrices.put(chip.name(), new MatrixBank(chip.name(),
                        leads(matrix.rows(), header, expanders), leads(matrix.columns(), header, expanders),
                        matrix.every().toNanos(), under(matrix, turns), round::wake, clock));
                case Chip.Converter converter -> {
                    List<AnalogueReader.Input> used = inputs.getOrDefault(chip.name(), List.of());
                    if (!used.isEmpty()) {
                        readers.add(new AnalogueReader(chip.name(), converter(converter, used.size(), buses), used,
                                converter.every().toNanos(), analogue, turns.get(chip.name())));
                    }
                }
                case Chip.Strip(String name, boolean clocked, Chip.Bus.Spi bus, int length, String order, double most, _) ->
                    strips.put(name, StripOutput.on(buses, bus.number(), bus.select(), name, clocked, length, order,
                            most, noted, turns.get(name)));
            }
        }
        return new Behind(expanders, matrices, readers, strips);
    }

    /** Whether something is read that does not tell by itself. */
    boolean isRead() {
        return !expanders.isEmpty() || !matrices.isEmpty() || !readers.isEmpty();
    }

    /** By chip, whose turn it is on its bus. Chips on one bus have the same, whatever their addresses and select lines. */
    private static Map<String, BusTurn> turns(Panel panel, Round round) {
        Map<String, BusTurn> byBus = new HashMap<>();
        Map<String, BusTurn> byChip = new HashMap<>();
        panel.chips().values().forEach(chip -> chip.onBus().ifPresent(bus -> {
            String wires = switch (bus) {
                case Chip.Bus.I2c i2c -> "i2c-" + i2c.number();
                case Chip.Bus.Spi spi -> "spi-" + spi.number();
            };
            byChip.put(chip.name(), byBus.computeIfAbsent(wires, _ -> new BusTurn(round::wake)));
        }));
        return byChip;
    }

    private static List<BusTurn> under(Chip.Matrix matrix, Map<String, BusTurn> turns) {
        return Stream.concat(matrix.rows().stream(), matrix.columns().stream())
                .map(pin -> turns.get(Place.of(pin).bank())).filter(Objects::nonNull).distinct().toList();
    }

    private static ExpanderBank expander(Chip.Expander chip, Buses buses, Clock clock, BusTurn turn) {
        boolean interrupt = chip.interrupt().isPresent();
        return switch (chip.bus()) {
            case Chip.Bus.I2c bus -> ExpanderBank.mcp23017(chip.name(), buses.i2c(bus.number(), chip.address()),
                    bus.written(), chip.address(), interrupt, turn, clock);
            case Chip.Bus.Spi bus -> ExpanderBank.mcp23s17(chip.name(),
                    buses.spi(bus.number(), bus.select(), EXPANDER_HERTZ), bus.written(), chip.address(), interrupt,
                    turn, clock);
        };
    }

    private static Converter converter(Chip.Converter chip, int used, Buses buses) {
        return switch (chip.bus()) {
            case Chip.Bus.I2c bus -> {
                I2cDevice device = buses.i2c(bus.number(), bus.address());
                yield new Ads1115(chip.name(), device, chip.volts(), used, chip.every().toNanos());
            }
            case Chip.Bus.Spi bus -> {
                SpiDevice device = buses.spi(bus.number(), bus.select(), Mcp3008.HERTZ);
                yield new Mcp3008(chip.name(), device);
            }
        };
    }

    private static List<MatrixBank.Lead> leads(List<Pin> pins, PinBank header, Map<String, ExpanderBank> expanders) {
        return pins.stream().map(Place::of).map(place -> new MatrixBank.Lead(
                place.bank().equals(Place.HEADER) ? header : expanders.get(place.bank()), place.pin())).toList();
    }

    /** By converter, what is wired to its inputs. */
    private static Map<String, List<AnalogueReader.Input>> inputs(Panel panel) {
        Map<String, List<AnalogueReader.Input>> inputs = new LinkedHashMap<>();
        panel.faders().values().forEach(fader -> fader.input()
                .ifPresent(pin -> add(inputs, fader.name(), pin, fader.steadiness())));
        panel.joysticks().values().forEach(joystick -> joystick.axes().values().forEach(axis -> {
            if (axis.wire().orElse(null) instanceof Joystick.Wire.Analogue wire) {
                add(inputs, joystick.name() + "." + axis.name(), wire.input(), wire.steadiness());
            }
        }));
        return inputs;
    }

    private static void add(Map<String, List<AnalogueReader.Input>> inputs, String name, Pin.OfChip pin,
            double steadiness) {
        inputs.computeIfAbsent(pin.chip(), _ -> new ArrayList<>())
                .add(new AnalogueReader.Input(name, pin.index(), steadiness));
    }
}
