package bellpush.runtime.panel.lines;

import bellpush.runtime.panel.PanelException;
import bellpush.runtime.panel.kernel.Kernel;
import java.util.List;
import java.util.stream.Collectors;

/** Refusals in words, with the cure. */
final class Plainly {
    private Plainly() {}

    /** @param chip its descriptor, to ask who holds a line; -1 if it could not be opened */
    static PanelException refused(Kernel kernel, LineChip on, int chip, List<OpenLines.Line> lines, Refusal e) {
        String text = switch (e.errno()) {
            case Refusal.EACCES, Refusal.EPERM -> "You may not use the pins of " + on.described()
                    + ". Allow it: sudo usermod -aG gpio $USER, then log in again.";
            case Refusal.EBUSY -> "A pin is in use already: " + holders(kernel, chip, lines) + ". End the program that"
                    + " holds it; if it is a bus or another part of the kernel, switch that off in the board's"
                    + " configuration or use another pin.";
            case Refusal.ENODEV, Refusal.ENOENT -> "The chip " + on.described() + " is gone. Check its plug.";
            case Refusal.ENXIO -> "The chip " + on.described() + " cannot tell when a pin changes ("
                    + pins(lines) + "). Is it the right chip? Name another with --chip.";
            case Refusal.EINVAL, Refusal.ENOTTY -> "The chip " + on.described() + " cannot use its lines as is wanted ("
                    + pins(lines) + "; " + e.getMessage() + "). Is it the right chip? Name another with --chip,"
                    + " or use --reader pi4j.";
            default -> "The pins of " + on.described() + " cannot be used (" + e.getMessage() + ").";
        };
        return new PanelException(text, e);
    }

    static PanelException noSuchLine(LineChip chip, int pin) {
        return new PanelException("The chip " + chip.described() + " has no GPIO " + pin + ": it has " + chip.lines()
                + " lines. Is it the right chip? Name another with --chip.", null);
    }

    private static String holders(Kernel kernel, int chip, List<OpenLines.Line> lines) {
        String held = lines.stream().map(line -> holder(kernel, chip, line)).filter(text -> !text.isEmpty())
                .collect(Collectors.joining(", "));
        return held.isEmpty() ? "one of " + pins(lines) : held;
    }

    private static String holder(Kernel kernel, int chip, OpenLines.Line line) {
        try {
            Uapi.LineInfo info = Uapi.line(kernel, chip, line.offset());
            return info.used()
                    ? "GPIO " + line.pin() + " (by " + (info.consumer().isEmpty()
                            ? "something without a name"
                            : "\"" + info.consumer() + "\"") + ")"
                    : "";
        } catch (Refusal e) {
            return "";
        }
    }

    private static String pins(List<OpenLines.Line> lines) {
        return "GPIO " + lines.stream().map(line -> Integer.toString(line.pin())).collect(Collectors.joining(", "));
    }
}
