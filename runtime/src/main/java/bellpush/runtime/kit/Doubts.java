package bellpush.runtime.kit;

import bellpush.config.model.Chip.Bus;
import bellpush.config.model.Panel;
import bellpush.config.model.Pin;
import bellpush.config.model.Source;
import bellpush.config.problem.Problem;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Collectors;

/**
 * What is wrong or doubtful about the wiring, beyond what the loader has refused (pins used twice, reserved ones, pins of a bus in use, pulse channels used twice):
 * second jobs of pins, and currents.
 */
final class Doubts {
    private final Panel panel;
    private final List<LampPart> lamps;
    private final List<Lead> leads;
    private final List<Problem> problems = new ArrayList<>();

    private Doubts(Panel panel, List<LampPart> lamps, List<Lead> leads) {
        this.panel = panel;
        this.lamps = lamps;
        this.leads = leads;
    }

    static List<Problem> of(Panel panel, List<LampPart> lamps, List<Lead> leads, List<Current> currents) {
        Doubts all = new Doubts(panel, lamps, leads);
        leads.forEach(all::secondJob);
        all.chipSelects();
        lamps.forEach(all::headroom);
        lamps.forEach(all::pinLimit);
        currents.stream().filter(Current::isOver).filter(current -> !current.what().contains("carries most"))
                .forEach(all::sum);
        all.unknownLeds();
        return List.copyOf(all.problems);
    }

    private void secondJob(Lead lead) {
        if (!(lead.pin() instanceof Pin.Gpio(int gpio))) {
            return;
        }
        String where = "GPIO " + gpio + " (header pin " + Header.positionOf(gpio) + "), used by " + lead.use();
        boolean fixedPull = Header.secondJob(gpio).filter(Header.SecondJob.I2C::equals).isPresent();
        if (fixedPull && lead.pull() == Lead.Pull.DOWN) {
            error(lead.at(), where + ", has a fixed pull-up of 1.8 kΩ.",
                    "A contact to 3.3 V there reads the same open and closed.",
                    "Wire the contact to ground (\"activeHigh\": false), or use another pin.");
        } else if (fixedPull && lead.colour() == LeadColour.WHITE) {
            warning(lead.at(), where + ", has a fixed pull-up of 1.8 kΩ.",
                    "The lamp is lit, or glows, until Bellpush has started.", "Use another pin for a lamp.");
        }
        if (Header.wakesTheBoard(gpio) && lead.isContact()) {
            warning(lead.at(), where + ", starts a board that was shut down when it is pulled to ground.",
                    "A press after the evening switches the board on again.",
                    "Use another pin, unless this is wanted.");
        }
    }

    /** What the system does when SPI 0 is switched on in the usual way (from memory). */
    private void chipSelects() {
        List<Bus.Spi> onSpi0 = panel.chips().values().stream().flatMap(chip -> chip.onBus().stream())
                .filter(Bus.Spi.class::isInstance).map(Bus.Spi.class::cast).filter(bus -> bus.number() == 0).toList();
        if (onSpi0.isEmpty()) {
            return;
        }
        List<Integer> selects = onSpi0.stream().flatMapToInt(bus -> bus.selectPin().stream()).boxed().toList();
        for (Lead lead : leads) {
            if (lead.pin() instanceof Pin.Gpio(int gpio) && (gpio == 7 || gpio == 8) && !selects.contains(gpio)) {
                warning(lead.at(),
                        "GPIO " + gpio + ", used by " + lead.use() + ", is the second chip-select line of SPI 0.",
                        "Switched on in the usual way, SPI takes both lines, and the pin cannot be opened.",
                        "Use another pin, or set SPI up with one chip-select line (overlay spi0-1cs).");
            }
        }
    }

    private void headroom(LampPart lamp) {
        switch (lamp.drive()) {
            case LampPart.Drive.Transistor(TransistorDriver driver) when lamp.channel().isEmpty() -> warning(lamp.at(),
                    "The lamp " + lamp.words() + " has an LED of " + Plain.number(lamp.led().volts()) + " V, "
                            + (lamp.led().volts() < LampPart.PIN_VOLTS
                                    ? "which leaves " + Plain.number(LampPart.PIN_VOLTS - lamp.led().volts())
                                            + " V of a pin's 3.3 V for its resistor."
                                    : "more than a pin's 3.3 V."),
                    "It would be dim or dark, and differ from LED to LED.",
                    "Give it " + driver.words() + (lamp.activeHigh() ? "." : ", and write \"activeHigh\": true.")
                            + " Or choose a red, yellow or green LED of about 2 V.");
            case LampPart.Drive.Transistor _ when lamp.channel().equals("red") -> warning(lamp.at(),
                    "The lamp " + lamp.name()
                            + " has three colours, and green and blue need about as much as a pin's 3.3 V.",
                    "They would be dim or dark beside the red.",
                    "Take an LED with a common anode, that leg at 5 V; each other leg through its resistor to the collector of an NPN"
                            + " transistor of its own, red too; 5 V must never reach a pin itself."
                            + (lamp.activeHigh() ? "" : " And write \"activeHigh\": true."));
            case LampPart.Drive.Transistor _ -> {
            }
            case LampPart.Drive.OwnSupply _ -> warning(lamp.at(),
                    "The lamp " + lamp.words() + " needs " + Plain.number(lamp.led().volts()) + " V.",
                    "The board has 3.3 V and 5 V.",
                    "Give it a driver (a transistor array, or a relay board made for 3.3 V inputs) and a supply of its own; neither"
                            + " may touch the header's pins with more than 3.3 V.");
            case LampPart.Drive.Direct _,LampPart.Drive.OfStrip _ -> {
            }
        }
    }

    private void pinLimit(LampPart lamp) {
        double limit = lamp.pin() instanceof Pin.Gpio
                ? panel.board().milliampsPerPin()
                : Currents.EXPANDER_PIN_MILLIAMPS;
        if (lamp.pinMilliamps() <= limit * (1 + 1e-9)) {
            return;
        }
        String cure = lamp.led().volts() <= TransistorDriver.MOST_FORWARD_VOLTS
                && lamp.drive() instanceof LampPart.Drive.Direct
                        ? " Or give it " + TransistorDriver.of(lamp.led().volts(), lamp.led().milliamps()).words() + "."
                        : "";
        error(lamp.at(),
                "The lamp " + lamp.words() + " takes " + Plain.number(lamp.pinMilliamps()) + " mA from its pin, which"
                        + " bears " + Plain.number(limit) + " mA.",
                "The pin may be destroyed.",
                "Write \"milliamps\": " + Plain.number(Math.min(limit, 2))
                        + " for its LED: present-day LEDs are bright enough."
                        + cure);
    }

    private void sum(Current over) {
        long lit = lampsIn(over);
        double others = over.milliamps() - lampMilliamps(over);
        double each = lit == 0 ? 0 : Math.floor((over.limit() - others) / lit * 10) / 10;
        error(panel.lamps().values().stream().findFirst().map(lamp -> lamp.at()).orElse(Source.NONE),
                "All together, " + over.what() + ": " + Plain.number(over.milliamps()) + " mA, of "
                        + Plain.number(over.limit())
                        + " mA at most (" + over.source() + ").",
                "With every lamp lit the supply sinks, and the board may stop in the middle of an evening.",
                (each >= 0.5
                        ? "With " + Plain.number(each) + " mA for each of its " + lit
                                + " LEDs it stays below: write \"milliamps\" for them. Or drive "
                        : "Drive ")
                        + "the lamps from 5 V through transistors or a transistor array."
                        + (over.what().contains("3.3 V") || over.what().contains("header")
                                ? " If your board's own documents allow more, write that as \"milliampsTogether\" under \"board\"."
                                : ""));
    }

    private boolean isIn(Current sum, LampPart lamp) {
        return sum.what().contains("3.3 V") || (sum.what().contains("header")
                ? lamp.pin() instanceof Pin.Gpio
                : lamp.pin() instanceof Pin.OfChip(String chip, _, _) && sum.what().startsWith(chip + ",")
                        && lamp.activeHigh() == sum.what().contains("VDD"));
    }

    private long lampsIn(Current sum) {
        return lamps.stream().filter(lamp -> isIn(sum, lamp) && lamp.pinMilliamps() > 0).count();
    }

    private double lampMilliamps(Current sum) {
        return lamps.stream().filter(lamp -> isIn(sum, lamp)).mapToDouble(LampPart::pinMilliamps).sum();
    }

    private void unknownLeds() {
        List<LampPart> unknown = lamps.stream()
                .filter(lamp -> lamp.assumed() && !(lamp.drive() instanceof LampPart.Drive.OfStrip)).toList();
        if (!unknown.isEmpty()) {
            warning(unknown.getFirst().at(), unknown.size() == 1
                    ? "It is not written which LED the lamp " + unknown.getFirst().name() + " has."
                    : "It is not written which LEDs these lamps have: "
                            + unknown.stream().map(LampPart::name).distinct().collect(Collectors.joining(", ")) + ".",
                    "Their resistors are computed for 2 V and 2 mA, which is right for red, yellow and green ones only.",
                    "Write \"led\": { \"colour\": \"green\", \"milliamps\": 2 } for each, with \"volts\" from its data sheet.");
        }
    }

    private void error(Source at, String found, String why, String cure) {
        problems.add(new Problem(Problem.Severity.ERROR, at, 1, found, why, cure));
    }

    private void warning(Source at, String found, String why, String cure) {
        problems.add(new Problem(Problem.Severity.WARNING, at, 1, found, why, cure));
    }
}
