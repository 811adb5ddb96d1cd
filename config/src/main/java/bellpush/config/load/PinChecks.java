package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.problem.Problems;
import java.util.HashMap;
import java.util.Map;
import java.util.OptionalInt;

/**
 * Pins of the 40-pin header, by BCM number. Source: Raspberry Pi documentation, <i>GPIO on Raspberry Pi</i>; pin map: Zephyr
 * binding {@code raspberrypi-40pins-header}. GPIO 0 to 27 are on it, each once; which of
 * them a file may name is for the panel's shape.
 */
final class PinChecks {
    private record Use(String by, Node node) {}

    private final Problems problems;
    private final Map<Integer, Use> uses = new HashMap<>();

    PinChecks(Problems problems) {
        this.problems = problems;
    }

    /** @param by who uses it, for a sentence: {@code the button poem} */
    OptionalInt use(Node.Num node, String by) {
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
        Use first = uses.putIfAbsent(pin, new Use(by, node));
        if (first != null) {
            problems.error(node.spot(),
                    "GPIO " + pin + " is used by " + by + " and by " + first.by + " (line "
                            + first.node.spot().at().line() + ").",
                    "One pin can do one thing.", "Wire one of them to another pin.");
        }
        return OptionalInt.of(pin);
    }
}
