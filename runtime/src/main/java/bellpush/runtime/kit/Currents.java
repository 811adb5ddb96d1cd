package bellpush.runtime.kit;

import bellpush.config.model.Board;
import bellpush.config.model.Chip;
import bellpush.config.model.Panel;
import bellpush.config.model.Pin;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.function.Predicate;

/**
 * What a panel draws, at most. Limits: Raspberry Pi documentation, <i>GPIO pads control</i> (16 mA a pin up to the 3B+, 8 mA on a BCM2711;
 * the 50 mA together are the design figure of the first boards' 3.3 V supply); expanders: Microchip DS20001952 (25 mA a pin, 125 mA
 * into VDD, 150 mA out of VSS).
 */
final class Currents {
    static final double EXPANDER_PIN_MILLIAMPS = 25;
    static final double EXPANDER_IN_MILLIAMPS = 125;
    static final double EXPANDER_OUT_MILLIAMPS = 150;
    private static final String EXPANDER_SOURCE = "data sheet DS20001952";

    /** The smallest internal pull-up that the documentation has: 33 kΩ of a BCM2711; 50 kΩ up to the 3B+. */
    private static final double PULL_KILOHMS = 33, PULL_2835_KILOHMS = 50, EXPANDER_PULL_KILOHMS = 100;
    /** The fixed pull-ups of SDA and SCL, each held low. */
    private static final double BUS_PULL_KILOHMS = 1.8;
    /** From memory of the data sheets: what the chip itself needs at most while it is read. */
    private static final double CHIP_MILLIAMPS = 1;
    /** The usual 10 kΩ track (common practice, no source). */
    private static final double TRACK_KILOHMS = 10;

    private final Panel panel;
    private final List<LampPart> lamps;
    private final List<Lead> leads;
    private final List<Current> currents = new ArrayList<>();

    private Currents(Panel panel, List<LampPart> lamps, List<Lead> leads) {
        this.panel = panel;
        this.lamps = lamps;
        this.leads = leads;
    }

    static List<Current> of(Panel panel, List<LampPart> lamps, List<Lead> leads) {
        Currents all = new Currents(panel, lamps, leads);
        all.header();
        panel.chips().values().forEach(chip -> {
            if (chip instanceof Chip.Expander expander) {
                all.expander(expander);
            }
        });
        all.supply();
        all.fiveVolts();
        return List.copyOf(all.currents);
    }

    private void header() {
        Board board = panel.board();
        String source = board.equals(Board.ANY) ? "right on every board" : "\"board\" in panel.json";
        Predicate<LampPart> here = lamp -> lamp.pin() instanceof Pin.Gpio;
        mostOfOnePin("the header pin that carries most", here, board.milliampsPerPin(), source);
        List<String> items = new ArrayList<>();
        double sum = add(items, lamps(here), count(here) + " lamps")
                + add(items, headerPulls(), "pull-ups of closed contacts");
        currents.add(new Current("all header pins together", sum, items, board.milliampsTogether(), source));
    }

    private void expander(Chip.Expander expander) {
        Predicate<LampPart> here = lamp -> lamp.pin() instanceof Pin.OfChip(String chip, _, _)
                && chip.equals(expander.name());
        mostOfOnePin("the pin of " + expander.name() + " that carries most", here, EXPANDER_PIN_MILLIAMPS,
                EXPANDER_SOURCE);
        double pulls = pulls(expander);
        List<String> in = new ArrayList<>();
        double into = add(in, lamps(here.and(LampPart::activeHigh)), "lamps") + add(in, pulls, "pull-ups")
                + add(in, CHIP_MILLIAMPS, "the chip itself");
        currents.add(new Current(expander.name() + ", into VDD", into, in, EXPANDER_IN_MILLIAMPS, EXPANDER_SOURCE));
        List<String> out = new ArrayList<>();
        double outOf = add(out, lamps(here.and(Predicate.not(LampPart::activeHigh))), "lamps")
                + add(out, CHIP_MILLIAMPS, "the chip itself");
        currents.add(
                new Current(expander.name() + ", out of VSS", outOf, out, EXPANDER_OUT_MILLIAMPS, EXPANDER_SOURCE));
    }

    /** All that the board's 3.3 V feeds: its own pins, the chips with theirs, tracks of faders. */
    private void supply() {
        List<String> items = new ArrayList<>();
        double sum = add(items, lamps(_ -> true), "lamps") + add(items, headerPulls()
                + expanders().stream().mapToDouble(this::pulls).sum(), "pull-ups of closed contacts");
        long chips = panel.chips().values().stream()
                .filter(chip -> chip instanceof Chip.Expander || chip instanceof Chip.Converter).count();
        sum += add(items, chips * CHIP_MILLIAMPS, "chips");
        long tracks = leads.stream().filter(lead -> lead.colour() == LeadColour.BROWN).count();
        sum += add(items, tracks * LampPart.PIN_VOLTS / TRACK_KILOHMS, "tracks of faders and joysticks, 10 kΩ each");
        boolean i2c = panel.chips().values().stream().anyMatch(WiringPlan::isOnHeaderI2c);
        sum += add(items, i2c ? 2 * LampPart.PIN_VOLTS / BUS_PULL_KILOHMS : 0, "pull-ups of i2c-1");
        currents.add(new Current("the board's 3.3 V supply", sum, items, panel.board().milliampsTogether(),
                "design figure of the first boards' supply"));
    }

    private void fiveVolts() {
        double sum = lamps.stream().mapToDouble(LampPart::fiveVoltMilliamps).sum();
        if (sum > 0) {
            currents.add(new Current("the board's 5 V, through transistors", sum, List.of(), Double.POSITIVE_INFINITY,
                    "what the power supply has left"));
        }
        panel.chips().values().forEach(chip -> {
            if (chip instanceof Chip.Strip strip) {
                currents.add(new Current("the 5 V supply of " + strip.name(), strip.milliampsMax(), List.of(),
                        Double.POSITIVE_INFINITY, "a supply of its own; Bellpush dims to stay below"));
            }
        });
    }

    private void mostOfOnePin(String what, Predicate<LampPart> here, double limit, String source) {
        lamps.stream().filter(here).max((a, b) -> Double.compare(a.pinMilliamps(), b.pinMilliamps()))
                .ifPresent(lamp -> currents
                        .add(new Current(what, lamp.pinMilliamps(), List.of(lamp.words()), limit, source)));
    }

    private List<Chip.Expander> expanders() {
        return panel.chips().values().stream().filter(Chip.Expander.class::isInstance).map(Chip.Expander.class::cast)
                .toList();
    }

    private double headerPulls() {
        double kilohms = panel.board().chip().equals("bcm2835") ? PULL_2835_KILOHMS : PULL_KILOHMS;
        return leads.stream().filter(lead -> lead.pin() instanceof Pin.Gpio && lead.pull() == Lead.Pull.UP)
                .mapToDouble(lead -> LampPart.PIN_VOLTS / (isFixed(lead.pin()) ? BUS_PULL_KILOHMS : kilohms)).sum();
    }

    private static boolean isFixed(Pin pin) {
        return pin instanceof Pin.Gpio(int gpio)
                && Header.secondJob(gpio).filter(Header.SecondJob.I2C::equals).isPresent();
    }

    private double pulls(Chip.Expander expander) {
        return leads.stream()
                .filter(lead -> lead.pin() instanceof Pin.OfChip(String chip, _, _) && chip.equals(expander.name())
                        && lead.pull() == Lead.Pull.UP)
                .count() * LampPart.PIN_VOLTS / EXPANDER_PULL_KILOHMS;
    }

    private double lamps(Predicate<LampPart> which) {
        return lamps.stream().filter(which).mapToDouble(LampPart::pinMilliamps).sum();
    }

    private long count(Predicate<LampPart> which) {
        return lamps.stream().filter(which).count();
    }

    private static double add(List<String> items, double milliamps, String what) {
        if (milliamps > 0) {
            items.add(what + " " + String.format(Locale.ROOT, "%.1f", milliamps));
        }
        return milliamps;
    }
}
