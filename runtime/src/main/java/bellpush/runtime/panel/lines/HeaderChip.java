package bellpush.runtime.panel.lines;

import bellpush.runtime.panel.PinBank;
import bellpush.runtime.panel.kernel.Kernel;
import bellpush.runtime.panel.kernel.LinuxKernel;
import java.io.IOException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.NoSuchElementException;
import java.util.Optional;
import java.util.stream.Collectors;
import java.util.stream.Stream;

/**
 * Which of the kernel's GPIO chips is the board's header, or why none is. Looking takes milliseconds where there are no chips
 * or none that may be opened; elsewhere Java's way to the kernel is made ready first, which takes some tenths of a second.
 */
public sealed interface HeaderChip {
    /** Why no chip is it. */
    enum Lack {
        /** This computer has no chip with pins at all. */
        NO_CHIPS,
        /** There are chips, but this user may not open them. */
        NOT_PERMITTED,
        /** The kernel has only the old interface, or Java cannot call it here. */
        TOO_OLD,
        /** There are chips; none of them says that it is a board's header, or several do. */
        NOT_CLEAR
    }

    /** This one is it. @param why one phrase for people */
    record Usable(LineChip chip, String why, Kernel kernel, Path folder, Optional<String> wanted)
            implements
                HeaderChip {
        /** For people, such as {@code pinctrl-bcm2711 (gpiochip0)}. */
        public String name() {
            return chip.described();
        }

        /** Its pins, to be opened. */
        public PinBank bank() {
            return new LinesBank(kernel, chip, () -> find(wanted, folder, kernel));
        }
    }

    /** None. @param why sentences for people, with the cure */
    record Unusable(Lack lack, String why) implements HeaderChip {}

    /** @param wanted a chip's name, label or device file, if one was asked for; else it is told by its label or its lines */
    static HeaderChip find(Optional<String> wanted) {
        Path folder = Path.of("/dev");
        List<String> devices = devices(folder);
        if (devices.isEmpty()) {
            return noChips();
        }
        if (devices.stream().map(Path::of).noneMatch(file -> Files.isReadable(file) && Files.isWritable(file))) {
            return unusable(wanted, List.of(), devices.stream().collect(
                    Collectors.toMap(device -> device, _ -> new Refusal("open", Refusal.EACCES))));
        }
        try {
            return find(wanted, folder, new LinuxKernel());
        } catch (UnsupportedOperationException | NoSuchElementException | IllegalCallerException e) {
            return new Unusable(Lack.TOO_OLD, "Java cannot call the kernel on this computer (" + e.getMessage()
                    + "). Use --reader pi4j.");
        }
    }

    /** The same with another kernel. @param folder where the devices are */
    static HeaderChip find(Optional<String> wanted, Path folder, Kernel kernel) {
        List<String> devices = devices(folder);
        if (devices.isEmpty()) {
            return noChips(); // unplugged
        }
        List<LineChip> chips = new ArrayList<>();
        Map<String, Refusal> refused = new LinkedHashMap<>();
        for (String device : devices) {
            try {
                chips.add(LineChip.at(kernel, device));
            } catch (Refusal e) {
                refused.put(device, e);
            }
        }
        Optional<Usable> found = wanted.isPresent()
                ? asked(chips, wanted.get(), folder).map(chip -> new Usable(chip, "asked for with --chip "
                        + wanted.get(), kernel, folder, wanted))
                : told(chips, kernel, folder);
        return found.isPresent() ? found.get() : unusable(wanted, chips, refused);
    }

    private static Unusable noChips() {
        return new Unusable(Lack.NO_CHIPS,
                "There is no /dev/gpiochip here: this computer has no pins that a program can"
                        + " use. Run this on the board, or use --panel screen. If this is the board: its system must have the"
                        + " kernel's GPIO character device (CONFIG_GPIO_CDEV), and a container must be given /dev/gpiochip0.");
    }

    /** One entry for each device, though it may be there under two names. */
    private static List<String> devices(Path folder) {
        Map<Path, String> devices = new LinkedHashMap<>();
        try (DirectoryStream<Path> files = Files.newDirectoryStream(folder, "gpiochip*")) {
            List<Path> sorted = new ArrayList<>();
            files.forEach(sorted::add);
            sorted.sort(Comparator.comparing((Path file) -> file.toString().length()).thenComparing(Path::toString));
            for (Path file : sorted) {
                devices.putIfAbsent(file.toRealPath(), file.toString());
            }
        } catch (IOException e) {
            return List.of(); // no such folder, or it may not be looked at: as good as no chip
        }
        return List.copyOf(devices.values());
    }

    private static Optional<LineChip> asked(List<LineChip> chips, String wanted, Path folder) {
        for (LineChip chip : chips) {
            if (wanted.equals(chip.name()) || wanted.equals(chip.path()) || wanted.equals(chip.label())) {
                return Optional.of(chip);
            }
        }
        try {
            Path file = folder.resolve(wanted).toRealPath(); // a second name for the device
            for (LineChip chip : chips) {
                if (file.equals(Path.of(chip.path()).toRealPath())) {
                    return Optional.of(chip);
                }
            }
        } catch (IOException | java.nio.file.InvalidPathException e) {
            return Optional.empty();
        }
        return Optional.empty();
    }

    /** By the label of a processor's own pins, else by the names of the lines; only if that leaves no doubt. */
    private static Optional<Usable> told(List<LineChip> chips, Kernel kernel, Path folder) {
        List<LineChip> processors = chips.stream().filter(LineChip::isTheProcessors).toList();
        if (processors.size() == 1) {
            return Optional.of(new Usable(processors.getFirst(), "its label is that of a board's own pins", kernel,
                    folder, Optional.empty()));
        }
        List<LineChip> named = (processors.isEmpty() ? chips : processors).stream()
                .filter(LineChip::namesTheHeader).toList();
        return named.size() == 1
                ? Optional.of(new Usable(named.getFirst(), "it names its lines GPIO2 to GPIO27", kernel, folder,
                        Optional.empty()))
                : Optional.empty();
    }

    private static Unusable unusable(Optional<String> wanted, List<LineChip> chips, Map<String, Refusal> refused) {
        String there = Stream.concat(chips.stream().map(chip -> chip.described() + " with " + chip.lines() + " lines"),
                refused.entrySet().stream().map(e -> e.getKey() + " (cannot be read: " + e.getValue().getMessage()
                        + ")"))
                .collect(Collectors.joining(", "));
        if (refused.values().stream().anyMatch(e -> e.errno() == Refusal.EACCES || e.errno() == Refusal.EPERM)) {
            return new Unusable(Lack.NOT_PERMITTED,
                    "You may not use the pins of this computer. On a board: sudo usermod"
                            + " -aG gpio $USER, then log in again; in a container, pass the device on. There are: "
                            + there
                            + ".");
        }
        if (wanted.isPresent()) {
            return new Unusable(Lack.NOT_CLEAR, "There is no chip \"" + wanted.get() + "\". There are: " + there
                    + ". Name one of them with --chip.");
        }
        if (refused.values().stream().anyMatch(e -> e.errno() == Refusal.ENOTTY || e.errno() == Refusal.EINVAL)) {
            return new Unusable(Lack.TOO_OLD,
                    "This kernel has only the old way to pins; Linux 5.10 or later has the one"
                            + " that is needed. Update the system, or use --reader pi4j. There are: " + there + ".");
        }
        return new Unusable(Lack.NOT_CLEAR, "It cannot be told which chip is the board's header. There are: " + there
                + ". If one of them is, name it with --chip.");
    }
}
