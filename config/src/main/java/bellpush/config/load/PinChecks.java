package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.model.Chip;
import bellpush.config.model.Chip.Bus;
import bellpush.config.model.Pin;
import bellpush.config.problem.DidYouMean;
import bellpush.config.problem.Problems;
import bellpush.config.problem.Spot;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * Who uses which pin. The 40-pin header by BCM number (source: Raspberry Pi documentation, <i>GPIO on Raspberry Pi</i>; pin
 * map: Zephyr binding {@code raspberrypi-40pins-header}), and the pins of the panel's own chips.
 */
final class PinChecks {
    /** What somebody wants of a pin. */
    enum Job {
        CONTACT("No contact can be read on a pin of "), LAMP("No lamp can be lit by a pin of "), VOLTAGE(
                "No voltage can be measured on a pin of "), LINE("No row or column of a matrix can be a pin of ");

        private final String sentence;

        Job(String sentence) {
            this.sentence = sentence;
        }
    }

    private record Use(String by, Spot at) {}

    private final Problems problems;
    private final Map<String, Use> uses = new HashMap<>();
    private final Map<String, Spot> buses = new HashMap<>();
    private final Map<String, Chip> chips = new LinkedHashMap<>();
    private boolean chipsKnown = true;

    PinChecks(Problems problems) {
        this.problems = problems;
    }

    /** From now on pins of this chip may be named. */
    void add(Chip chip) {
        chips.put(chip.name(), chip);
    }

    /** A chip could not be read: nothing is said about pins of chips that are not known. */
    void someChipsUnread() {
        chipsKnown = false;
    }

    /** The chip that the pin is of. */
    Chip chip(Pin.OfChip pin) {
        return chips.get(pin.chip());
    }

    /** A bus needs pins of the header; several chips may share it. */
    void bus(Bus bus, Spot at) {
        switch (bus) {
            case Bus.I2c i2c -> i2c.lines()
                    .ifPresent(lines -> lines(i2c.written(), List.of(lines.data(), lines.clock()), at));
            case Bus.Spi spi -> {
                spi.lines().ifPresent(lines -> lines("spi-" + spi.number(),
                        List.of(lines.clock(), lines.toChip(), lines.fromChip()), at));
                spi.selectPin().ifPresent(pin -> {
                    if (buses.putIfAbsent(bus.written(), at) == null) {
                        take(Integer.toString(pin), "the chip-select line of " + bus.written(), at);
                    }
                });
            }
        }
    }

    private void lines(String bus, List<Integer> gpios, Spot at) {
        if (buses.putIfAbsent(bus, at) == null) {
            gpios.stream().sorted().forEach(gpio -> take(Integer.toString(gpio), "the bus " + bus, at));
        }
    }

    /** @param by who uses it, for a sentence: {@code the button poem} */
    Optional<Pin> use(Node node, String by, Job job) {
        return switch (node) {
            case Node.Num number -> Optional.of(header(number, by, job));
            case Node.Text text -> ofChip(text, by, job).map(pin -> pin);
            default -> Optional.empty();
        };
    }

    Pin.Gpio header(Node.Num node, String by, Job job) {
        int pin = (int) node.number();
        if (pin < 4) {
            problems.warning(node.spot(), "GPIO " + pin + " is also the I2C bus, and has a fixed pull-up of 1.8 kΩ.",
                    "It idles high whatever is wired to it, and I2C add-on boards would be disturbed.",
                    "Wire another pin, from 4 to 27, unless this is meant.");
        } else if (pin == 14 || pin == 15) {
            problems.warning(node.spot(), "GPIO " + pin + " is also the serial console.",
                    "The board may send its start-up messages over it, which presses buttons or blinks lamps.",
                    "Wire another pin, or switch the serial console off on the board.");
        }
        if (job == Job.VOLTAGE) {
            problems.error(node.spot(), "No voltage can be measured on GPIO " + pin + ".",
                    "The header's pins know high and low only.",
                    "Declare a converter in \"chips\" and name its pin, such as \"adc.0\".");
        }
        take(Integer.toString(pin), by, node.spot());
        return new Pin.Gpio(pin);
    }

    Optional<Pin.OfChip> ofChip(Node.Text node, String by, Job job) {
        String written = node.text();
        int dot = written.indexOf('.');
        String name = written.substring(0, dot);
        String pin = written.substring(dot + 1);
        Chip chip = chips.get(name);
        if (chip == null) {
            if (chipsKnown) {
                problems.error(node.spot().part(written, 0, dot), "There is no chip \"" + name + "\".",
                        "A pin with a dot is one of a chip, and chips are declared in \"chips\".",
                        DidYouMean.cure(name, chips.keySet(), "Declare it, or write the number of a GPIO."));
            }
            return Optional.empty();
        }
        Spot at = node.spot().part(written, dot + 1, written.length());
        Optional<Integer> index = index(chip, pin);
        if (index.isEmpty()) {
            problems.error(at, "\"" + pin + "\" is no pin of " + name + ".", pins(chip),
                    "Write one of these after the dot.");
            return Optional.empty();
        }
        if (!offers(chip, job)) {
            problems.error(at, job.sentence + name + ".", pins(chip),
                    "Name a pin of the header or of another chip.");
            return Optional.empty();
        }
        if (chip instanceof Chip.Expander(_, Bus.I2c _, _, _, _) && job == Job.CONTACT && index.get() % 8 == 7) {
            problems.warning(at, "Pin " + pin + " of an MCP23017 may be an output only.",
                    "The latest revision of its data sheet says so of a7 and b7; a contact there may be read wrongly or not at"
                            + " all.",
                    "Put a lamp there and the contact on another pin, or look in the data sheet of your part.");
        }
        take(written, by, node.spot());
        return Optional.of(new Pin.OfChip(name, pin, index.get()));
    }

    private static boolean offers(Chip chip, Job job) {
        return switch (chip) {
            case Chip.Expander _ -> job != Job.VOLTAGE;
            case Chip.Matrix _ -> job == Job.CONTACT;
            case Chip.Converter _ -> job == Job.VOLTAGE;
            case Chip.Strip _ -> job == Job.LAMP;
        };
    }

    private static Optional<Integer> index(Chip chip, String pin) {
        return switch (chip) {
            case Chip.Expander _ -> pin.matches("[ab][0-7]")
                    ? Optional.of((pin.charAt(0) == 'a' ? 0 : 8) + pin.charAt(1) - '0')
                    : Optional.empty();
            case Chip.Converter converter -> number(pin).filter(n -> n < converter.model().inputs());
            case Chip.Strip strip -> number(pin).filter(n -> n >= 1 && n <= strip.length()).map(n -> n - 1);
            case Chip.Matrix matrix -> {
                int dot = pin.indexOf('.');
                if (dot < 0 || pin.charAt(0) == 'a' || pin.charAt(0) == 'b') {
                    yield Optional.empty();
                }
                int row = Integer.parseInt(pin.substring(0, dot));
                int column = Integer.parseInt(pin.substring(dot + 1));
                boolean there = row >= 1 && row <= matrix.rows().size() && column >= 1
                        && column <= matrix.columns().size();
                yield there ? Optional.of((row - 1) * matrix.columns().size() + column - 1) : Optional.empty();
            }
        };
    }

    private static Optional<Integer> number(String pin) {
        return pin.matches("[0-9]{1,3}") ? Optional.of(Integer.valueOf(pin)) : Optional.empty();
    }

    private static String pins(Chip chip) {
        return switch (chip) {
            case Chip.Expander e -> "The pins of the expander " + e.name() + " are a0 to a7 and b0 to b7, on or off.";
            case Chip.Converter c -> "The pins of the converter " + c.name() + " are 0 to " + (c.model().inputs() - 1)
                    + ", each for a voltage.";
            case Chip.Matrix m -> "The keys of the matrix " + m.name() + " are 1.1 to " + m.rows().size() + "."
                    + m.columns().size() + ", row and column, each a contact.";
            case Chip.Strip s -> "The lamps of the strip " + s.name() + " are 1 to " + s.length() + ".";
        };
    }

    private void take(String pin, String by, Spot at) {
        Use first = uses.putIfAbsent(pin, new Use(by, at));
        if (first != null) {
            String name = pin.indexOf('.') < 0 ? "GPIO " + pin : pin;
            problems.error(at,
                    name + " is used by " + by + " and by " + first.by + " (line " + first.at.at().line() + ").",
                    "One pin can do one thing.", "Wire one of them to another pin.");
        }
    }
}
