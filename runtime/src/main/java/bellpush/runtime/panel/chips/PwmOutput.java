package bellpush.runtime.panel.chips;

import java.io.IOException;
import java.nio.file.AccessDeniedException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import java.util.TreeMap;
import java.util.function.Consumer;

/**
 * A lamp whose brightness the hardware sets by pulse width, through the kernel's files in {@code /sys/class/pwm} (kernel
 * documentation, <i>Pulse Width Modulation (PWM) interface</i>).
 */
public final class PwmOutput implements AutoCloseable {
    /** 1 kHz: no eye and no camera at the usual rates sees it flicker (common practice, no source). */
    static final long PERIOD_NANOS = 1_000_000;
    private static final long APPEARS_NANOS = 1_000_000_000;
    private static final long LOOK_NANOS = 10_000_000;
    private static final int CHANNELS_MAX = 64;

    private final Path channel;
    private final boolean activeHigh;
    private final Consumer<String> noted;
    private boolean said;

    /** One channel of one PWM chip. */
    public record Place(Path chip, int channel) {}

    /**
     * The channel behind a header pin. Boards with a BCM2835 to 2711 have two channels, GPIO 12 and 18 on the first, 13 and 19 on the
     * second; boards with an RP1 have four, GPIO 12, 13, 18 and 19 in turn (from memory). Which pin a channel really comes
     * out at is set with the overlay that enables it.
     *
     * @param root {@code /sys/class/pwm}
     * @return none: the board has none, or it is not enabled
     */
    public static Optional<Place> of(Path root, int gpio) {
        TreeMap<String, Path> chips = new TreeMap<>();
        try (DirectoryStream<Path> found = Files.newDirectoryStream(root, "pwmchip*")) {
            found.forEach(chip -> chips.put(chip.getFileName().toString(), chip));
        } catch (IOException e) {
            return Optional.empty();
        }
        for (Path chip : chips.values()) {
            int channels = count(chip.resolve("npwm"));
            int channel = switch (gpio) {
                case 12 -> 0;
                case 13 -> 1;
                case 18 -> channels >= 4 ? 2 : 0;
                case 19 -> channels >= 4 ? 3 : 1;
                default -> CHANNELS_MAX;
            };
            if (channel < channels) {
                return Optional.of(new Place(chip, channel));
            }
        }
        return Optional.empty();
    }

    private static int count(Path file) {
        try {
            return Math.clamp(Long.parseLong(Files.readString(file).strip()), 0, CHANNELS_MAX);
        } catch (IOException | NumberFormatException e) {
            return 0;
        }
    }

    /**
     * Takes the channel, dark.
     *
     * @throws IOException with a sentence for people
     */
    public static PwmOutput open(Place place, boolean activeHigh, Consumer<String> noted, Clock clock)
            throws IOException {
        Path channel = place.chip().resolve("pwm" + place.channel());
        try {
            if (!Files.isDirectory(channel)) {
                Files.writeString(place.chip().resolve("export"), Integer.toString(place.channel()));
            }
            // The files come, and then become ours, a moment later: the system's device manager sets their group.
            for (long end = clock.nanos() + APPEARS_NANOS; !Files.isWritable(channel.resolve("enable"))
                    && end - clock.nanos() > 0;) {
                clock.pause(LOOK_NANOS);
            }
            PwmOutput output = new PwmOutput(channel, activeHigh, noted);
            output.write("duty_cycle", 0); // a period shorter than the pulse that was set before would be refused
            output.write("period", PERIOD_NANOS);
            output.write("duty_cycle", output.pulse(0));
            output.write("enable", 1);
            return output;
        } catch (AccessDeniedException e) {
            throw new IOException(
                    "You may not use " + e.getFile() + ": sudo usermod -aG gpio $USER, then log in again.", e);
        } catch (IOException e) {
            throw new IOException("The pulse width of " + channel + " cannot be set (" + e.getMessage()
                    + "): another program may hold it.", e);
        }
    }

    private PwmOutput(Path channel, boolean activeHigh, Consumer<String> noted) {
        this.channel = channel;
        this.activeHigh = activeHigh;
        this.noted = noted;
    }

    /** @param level as the eye sees it, 0 to 1 */
    public synchronized void light(double level) {
        try {
            write("duty_cycle", pulse(level));
            said = false;
        } catch (IOException e) {
            if (!said) {
                said = true;
                noted.accept("The brightness at " + channel + " cannot be set (" + e.getMessage() + ").");
            }
        }
    }

    private long pulse(double level) {
        long lit = Math.round(PERIOD_NANOS * Lightness.luminance(level));
        return activeHigh ? lit : PERIOD_NANOS - lit;
    }

    private void write(String file, long value) throws IOException {
        Files.writeString(channel.resolve(file), Long.toString(value));
    }

    /** Dark. The channel stays taken and enabled: given back, its pin would fall low, which lights some lamps. */
    @Override
    public void close() {
        light(0);
    }
}
