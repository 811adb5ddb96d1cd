package bellpush.runtime.panel.lines;

import bellpush.runtime.panel.kernel.Kernel;
import java.util.HashMap;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.IntStream;

/**
 * A chip with lines, as the kernel shows it.
 *
 * @param path  its device file
 * @param name  the kernel's name for it, such as {@code gpiochip0}: may change from start to start
 * @param label what it is, such as {@code pinctrl-bcm2711}
 * @param lines how many it has
 * @param named the offset of each line that is named GPIO and a number, if all of GPIO2 to GPIO27 are there; else empty
 */
record LineChip(String path, String name, String label, int lines, Map<Integer, Integer> named) {
    /** More than any chip has; a look at each line's name costs a system call. */
    private static final int LINES_MAX = 1_024;
    private static final Pattern GPIO = Pattern.compile("GPIO(\\d{1,3})");

    static LineChip at(Kernel kernel, String path) throws Refusal {
        int chip = (int) Refusal.check("open " + path, kernel.open(path));
        try {
            Uapi.ChipInfo info = Uapi.chip(kernel, chip);
            return new LineChip(path, info.name(), info.label(), info.lines(), named(kernel, chip, info.lines()));
        } finally {
            kernel.close(chip);
        }
    }

    private static Map<Integer, Integer> named(Kernel kernel, int chip, int lines) throws Refusal {
        Map<Integer, Integer> named = new HashMap<>();
        for (int offset = 0; offset < Math.min(lines, LINES_MAX); offset++) {
            Matcher name = GPIO.matcher(Uapi.line(kernel, chip, offset).name());
            if (name.matches()) {
                named.putIfAbsent(Integer.parseInt(name.group(1)), offset);
            }
        }
        boolean header = IntStream.rangeClosed(2, 27).allMatch(named::containsKey);
        return header ? Map.copyOf(named) : Map.of();
    }

    boolean namesTheHeader() {
        return !named.isEmpty();
    }

    /** The processor's own pins on the boards whose header counts lines as they do. */
    boolean isTheProcessors() {
        return label.startsWith("pinctrl-bcm") || label.startsWith("pinctrl-rp1");
    }

    /** The line of a pin, or -1: by its name where the chip names the header's lines, else by its number. */
    int offset(int pin) {
        if (namesTheHeader()) {
            return named.getOrDefault(pin, -1);
        }
        return pin < lines ? pin : -1;
    }

    /** For people. */
    String described() {
        return label.isEmpty() ? name : label + " (" + name + ")";
    }
}
