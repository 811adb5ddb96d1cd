package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.model.Chip;
import bellpush.config.model.Chip.Bus;
import bellpush.config.model.Pin;
import bellpush.config.model.Source;
import bellpush.config.problem.Spot;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Collections;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/** Reads the chips of panel.json. A matrix may use pins of expanders, so it is read after them. */
final class ChipsReader {
    private static final int EXPANDER_ADDRESS = 0x20;
    private static final int CONVERTER_ADDRESS = 0x48;
    private static final Duration SCAN = Duration.ofMillis(5);
    private static final Duration SAMPLE = Duration.ofMillis(20);
    private static final double VOLTS = 3.3;
    private static final double STRIP_MILLIAMPS = 500;

    private final Rules rules;
    private final Reading reading;
    private final PinChecks pins;
    /** Bus and address, by the line of the chip that has it. */
    private final Map<String, Spot> places = new HashMap<>();

    ChipsReader(Rules rules, PinChecks pins) {
        this.rules = rules;
        this.reading = rules.reading;
        this.pins = pins;
    }

    Map<String, Chip> read(Node.Obj root) {
        Map<String, Chip> chips = new LinkedHashMap<>();
        List<Node.Member> members = reading.members(root, "chips");
        for (boolean matrices : new boolean[]{false, true}) {
            for (Node.Member member : members) {
                Optional<Node.Obj> object = reading.object(member.value());
                if (object.isPresent() && object.get().members().containsKey("matrix") != matrices) {
                    continue;
                }
                Optional<Chip> chip = object.flatMap(o -> chip(member, o));
                chip.ifPresentOrElse(c -> {
                    chips.put(c.name(), c);
                    pins.add(c);
                }, pins::someChipsUnread);
            }
        }
        chips.values().stream().filter(Chip.Strip.class::isInstance)
                .forEach(strip -> aloneOnItsBus((Chip.Strip) strip, chips));
        return Collections.unmodifiableMap(chips);
    }

    private Optional<Chip> chip(Node.Member member, Node.Obj object) {
        String name = member.key();
        Source at = member.spot().at();
        return switch (object.members().keySet().stream()
                .filter(List.of("expander", "converter", "matrix", "strip")::contains).findFirst().orElse("")) {
            case "expander" -> expander(name, object, at);
            case "converter" -> converter(name, object, at);
            case "matrix" -> matrix(name, object, at);
            case "strip" -> strip(name, object, at);
            default -> Optional.empty();
        };
    }

    private Optional<Chip> expander(String name, Node.Obj object, Source at) {
        Optional<String> part = reading.text(object, "expander");
        Optional<Node.Text> bus = reading.textNode(object, "bus");
        if (part.isEmpty() || bus.isEmpty()) {
            return Optional.empty();
        }
        boolean spi = part.get().equals("mcp23s17");
        int address = address(object, EXPANDER_ADDRESS, 0x20, 0x27, name);
        return bus(bus.get(), name, part.get(), spi, address).map(where -> {
            Optional<Pin.Gpio> interrupt = reading.number(object, "interrupt")
                    .map(node -> pins.header(node, "the interrupt output of " + name, PinChecks.Job.CONTACT));
            place(where.written() + " at " + hex(address), name, bus.get().spot());
            return new Chip.Expander(name, where, address, interrupt, at);
        });
    }

    private Optional<Chip> converter(String name, Node.Obj object, Source at) {
        Optional<Chip.Converter.Model> model = reading.text(object, "converter")
                .map(word -> Chip.Converter.Model.valueOf(word.toUpperCase(java.util.Locale.ROOT)));
        Optional<Node.Text> bus = reading.textNode(object, "bus");
        if (model.isEmpty() || bus.isEmpty()) {
            return Optional.empty();
        }
        boolean spi = model.get() == Chip.Converter.Model.MCP3008;
        int address = spi ? 0 : address(object, CONVERTER_ADDRESS, 0x48, 0x4b, name);
        return bus(bus.get(), name, model.get().word(), spi, address).map(where -> {
            place(where.written() + (spi ? "" : " at " + hex(address)), name, bus.get().spot());
            return new Chip.Converter(name, model.get(), where, rules.times.positive(object, "every", SAMPLE),
                    reading.number(object, "volts").map(Node.Num::number).orElse(VOLTS), at);
        });
    }

    private Optional<Chip> strip(String name, Node.Obj object, Source at) {
        Optional<String> type = reading.text(object, "strip");
        Optional<Node.Text> bus = reading.textNode(object, "bus");
        if (type.isEmpty() || bus.isEmpty() || reading.whole(object, "length").isEmpty()) {
            return Optional.empty();
        }
        boolean clocked = type.get().equals("clocked");
        return bus(bus.get(), name, "strip", true, 0).map(where -> {
            place(where.written(), name, bus.get().spot());
            return new Chip.Strip(name, clocked, (Bus.Spi) where, reading.whole(object, "length").getAsInt(),
                    reading.text(object, "order").orElse(clocked ? "bgr" : "grb"),
                    reading.number(object, "milliampsMax").map(Node.Num::number).orElse(STRIP_MILLIAMPS), at);
        });
    }

    private Optional<Chip> matrix(String name, Node.Obj object, Source at) {
        return reading.object(object, "matrix").flatMap(lines -> {
            List<Pin> rows = lines(lines, "rows", "row", name);
            List<Pin> columns = lines(lines, "columns", "column", name);
            return rows.isEmpty() || columns.isEmpty()
                    ? Optional.empty()
                    : Optional
                            .of(new Chip.Matrix(name, rows, columns, rules.times.positive(object, "every", SCAN), at));
        });
    }

    private List<Pin> lines(Node.Obj object, String key, String noun, String matrix) {
        List<Pin> lines = new ArrayList<>();
        List<Node> nodes = reading.list(object, key);
        for (int i = 0; i < nodes.size(); i++) {
            pins.use(nodes.get(i), noun + " " + (i + 1) + " of the matrix " + matrix, PinChecks.Job.LINE)
                    .ifPresent(lines::add);
        }
        return lines.size() == nodes.size() ? List.copyOf(lines) : List.of();
    }

    private Optional<Bus> bus(Node.Text node, String chip, String part, boolean spi, int address) {
        String written = node.text();
        if (written.startsWith("spi-") != spi) {
            reading.problems.error(node.spot(), "The " + part + " " + chip + " is not spoken to over " + written + ".",
                    "Its bus is " + (spi ? "SPI" : "I2C") + ".",
                    "Write " + (spi ? "\"spi-0.0\" or another SPI bus" : "\"i2c-1\" or another I2C bus")
                            + ", or name another part.");
            return Optional.empty();
        }
        Bus bus = spi
                ? new Bus.Spi(written.charAt(4) - '0', written.charAt(6) - '0')
                : new Bus.I2c(written.charAt(4) - '0', address);
        pins.bus(bus, node.spot());
        return Optional.of(bus);
    }

    private int address(Node.Obj object, int without, int least, int most, String chip) {
        return reading.textNode(object, "address").map(node -> {
            int address = Integer.parseInt(node.text().substring(2), 16);
            if (address < least || address > most) {
                reading.problems.error(node.spot(), chip + " cannot be at " + node.text() + ".",
                        "Its address pins reach from " + hex(least) + " to " + hex(most) + ".",
                        "Write one of these, as its address pins are wired.");
            }
            return address;
        }).orElse(without);
    }

    private static String hex(int address) {
        return "0x" + Integer.toHexString(address);
    }

    /** Two parts that answer to the same call disturb each other. SPI expanders may share a select line, by address. */
    private void place(String place, String chip, Spot spot) {
        places.entrySet().stream()
                .filter(other -> other.getKey().startsWith(place) || place.startsWith(other.getKey())).findFirst()
                .ifPresent(first -> reading.problems.error(spot,
                        "The chip " + chip + " is on " + place + ", where another chip is (line "
                                + first.getValue().at().line()
                                + ").",
                        "Both would answer at once.", "Wire and write another address, chip-select line or bus."));
        places.putIfAbsent(place, spot);
    }

    /** A strip has no chip-select line. */
    private void aloneOnItsBus(Chip.Strip strip, Map<String, Chip> chips) {
        chips.values().stream().filter(other -> other != strip && spi(other) == strip.bus().number()).findFirst()
                .ifPresent(other -> reading.problems.error(new Spot(strip.at(), strip.name().length() + 2),
                        "The strip " + strip.name() + " shares the bus spi-" + strip.bus().number() + " with "
                                + other.name() + ".",
                        "A strip has no chip-select line: it would show what is sent to the other chip.",
                        "Put one of them on another SPI bus."));
    }

    private static int spi(Chip chip) {
        return chip.onBus().orElse(null) instanceof Bus.Spi spi ? spi.number() : -1;
    }
}
