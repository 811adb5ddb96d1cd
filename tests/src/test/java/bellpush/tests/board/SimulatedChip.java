package bellpush.tests.board;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.HashMap;
import java.util.Map;
import java.util.Set;
import java.util.stream.Stream;

/**
 * The kernel's simulated GPIO chip (gpio-sim) from its outside: what is wired to the lines. Its lines have the names of a board's
 * header, {@code GPIO2} and so on. Source: Linux kernel documentation, admin-guide/gpio/gpio-sim.
 */
final class SimulatedChip implements AutoCloseable {
    static final int LINES = 28;
    private static final Path CHIPS = Path.of("/sys/kernel/config/gpio-sim");
    private static final ByteBuffer UP = bytes("pull-up");
    private static final ByteBuffer DOWN = bytes("pull-down");

    private final Path folder;
    private final Map<Integer, FileChannel> pulls = new HashMap<>();
    private Path lines;
    private String device;

    private static ByteBuffer bytes(String text) {
        byte[] ascii = text.getBytes(StandardCharsets.US_ASCII);
        return ByteBuffer.allocateDirect(ascii.length).put(ascii).flip();
    }

    /** A chip that is not there yet. */
    SimulatedChip(String name) {
        folder = CHIPS.resolve(name);
    }

    /**
     * Makes the chip.
     *
     * @param lamps lines with a lamp to ground; all others have a contact to ground, which is open
     */
    void plugIn(String label, Set<Integer> lamps) throws IOException {
        Path bank = Files.createDirectories(folder.resolve("bank0"));
        write(bank.resolve("num_lines"), String.valueOf(LINES));
        write(bank.resolve("label"), label);
        for (int line = 0; line < LINES; line++) {
            write(Files.createDirectory(bank.resolve("line" + line)).resolve("name"), "GPIO" + line);
        }
        write(folder.resolve("live"), "1");
        device = Files.readString(bank.resolve("chip_name")).strip();
        lines = Path.of("/sys/devices/platform", Files.readString(folder.resolve("dev_name")).strip(), device);
        for (int line = 0; line < LINES; line++) {
            pulls.put(line, FileChannel.open(lines.resolve("sim_gpio" + line).resolve("pull"),
                    StandardOpenOption.WRITE));
            pull(line, !lamps.contains(line));
        }
    }

    /** Takes the chip away, whoever uses it. */
    void unplug() throws IOException {
        for (FileChannel pull : pulls.values()) {
            pull.close();
        }
        pulls.clear();
        write(folder.resolve("live"), "0");
        try (Stream<Path> inBank = Files.list(folder.resolve("bank0"))) {
            for (Path line : inBank.filter(Files::isDirectory).toList()) {
                Files.delete(line);
            }
        }
        Files.delete(folder.resolve("bank0"));
        Files.delete(folder);
    }

    @Override
    public void close() throws IOException {
        if (!pulls.isEmpty()) {
            unplug();
        }
    }

    /** Such as {@code gpiochip1}. */
    String device() {
        return device;
    }

    /** A contact to ground closes ({@code up} false) or opens. Returns when the kernel has taken it. */
    void pull(int line, boolean up) {
        try {
            pulls.get(line).write((up ? UP : DOWN).duplicate(), 0);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /** The level of a line as it is seen from outside. */
    boolean high(int line) {
        try {
            return Files.readString(lines.resolve("sim_gpio" + line).resolve("value")).startsWith("1");
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static void write(Path file, String text) throws IOException {
        Files.writeString(file, text, StandardOpenOption.WRITE);
    }
}
