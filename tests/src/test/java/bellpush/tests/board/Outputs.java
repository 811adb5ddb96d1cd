package bellpush.tests.board;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.List;
import java.util.OptionalInt;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * What the kernel was told to set its outputs to, from its own trace (event gpio_value): a line that is given back shows what is
 * wired to it and no more what it was set to last. Source: Linux kernel documentation, trace/events.
 */
final class Outputs {
    private static final Path TRACE = Path.of("/sys/kernel/tracing");
    private static final Path CHIPS = Path.of("/sys/kernel/debug/gpio");

    private final int firstNumber;

    /** Traces from now on. */
    Outputs(SimulatedChip chip) throws IOException {
        Matcher chips = Pattern.compile("^" + chip.device() + ": GPIOs (\\d+)-", Pattern.MULTILINE)
                .matcher(Files.readString(CHIPS));
        if (!chips.find()) {
            throw new IOException("the kernel does not list " + chip.device());
        }
        firstNumber = Integer.parseInt(chips.group(1));
        write("events/gpio/gpio_value/enable", "1");
        write("trace", ""); // empties it
    }

    /** The levels that a line was set to, in order. */
    List<Integer> levels(int line) throws IOException {
        return Pattern.compile("gpio_value: " + (firstNumber + line) + " set (\\d)")
                .matcher(Files.readString(TRACE.resolve("trace"))).results().map(r -> Integer.valueOf(r.group(1)))
                .toList();
    }

    /** The level that it was set to last. */
    OptionalInt last(int line) throws IOException {
        List<Integer> all = levels(line);
        return all.isEmpty() ? OptionalInt.empty() : OptionalInt.of(all.getLast());
    }

    private static void write(String file, String text) throws IOException {
        Files.writeString(TRACE.resolve(file), text, StandardOpenOption.WRITE, StandardOpenOption.TRUNCATE_EXISTING);
    }
}
