package bellpush.runtime.kit;

import bellpush.config.model.Board;
import bellpush.config.model.Button;
import bellpush.config.model.Chip;
import bellpush.config.model.Fader;
import bellpush.config.model.Knob;
import bellpush.config.model.Panel;
import bellpush.config.model.Pin;
import bellpush.config.model.Switch;
import bellpush.config.problem.Problem;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;

/**
 * Everything that somebody needs who wires a panel.
 *
 * @param header   the leads at the header, by position; grounds and supplies bundled
 * @param chips    a table for each chip, matrix and strip
 * @param lamps    each LED with its resistor
 * @param currents worst-case sums with their limits
 * @param parts    what to buy
 * @param problems what is electrically wrong or doubtful; errors among them should not be built
 * @param without  names of controls and lamps that have no pin (yet)
 */
public record WiringPlan(Board board, List<Row> header, List<ChipTable> chips, List<LampPart> lamps,
        List<Current> currents,
        List<PartsList.Entry> parts, List<Problem> problems, List<String> without) {
    /** Common practice; the last ones go beyond this panel and are no less true. */
    public static final List<String> CAUTIONS = List.of(
            "Switch the board off and unplug it before you change any wire.",
            "Pins of the header and of these chips take 3.3 V. 5 V on a pin destroys it.",
            "Compare every lead with this table a second time before you switch on; look for stray strands and solder bridges.",
            "Every LED has a resistor of its own, always.",
            "Nothing of the mains goes into the panel. Mains wiring and the inside of equipment are for licensed persons; local"
                    + " codes and the house's own rules come before this page.",
            "An emergency stop is no job for this panel: gear that moves keeps its own.",
            "Before the first try with cameras on motors or rails, keep people, hair and cables clear of them.");

    private static final int FIVE_VOLTS = 2;

    public static WiringPlan of(Panel panel) {
        List<LampPart> lamps = LampPart.of(panel);
        List<Lead> leads = Leads.of(panel, lamps);
        List<ChipTable> chips = new ArrayList<>();
        List<Row> header = new ArrayList<>();
        for (Chip chip : panel.chips().values()) {
            ChipLeads.Wired wired = ChipLeads.of(chip, leads);
            chips.add(wired.table());
            header.addAll(wired.header());
        }
        header.addAll(atHeader(leads));
        header.sort(Comparator.comparingInt(Row::place));
        List<Current> currents = Currents.of(panel, lamps, leads);
        return new WiringPlan(panel.board(), bundled(header), List.copyOf(chips), lamps, currents,
                PartsList.of(panel, lamps), Doubts.of(panel, lamps, leads, currents), without(panel));
    }

    /** Whether something is wrong that should not be switched on. */
    public boolean hasErrors() {
        return problems.stream().anyMatch(problem -> problem.severity() == Problem.Severity.ERROR);
    }

    private static List<Row> atHeader(List<Lead> leads) {
        List<Row> rows = new ArrayList<>();
        for (Lead lead : leads) {
            if (!(lead.pin() instanceof Pin.Gpio(int gpio))) {
                if (lead.far() == Lead.Far.TRANSISTOR) {
                    rows.add(fiveVolts(lead)); // its ground is the chip's
                }
                continue;
            }
            int position = Header.positionOf(gpio);
            int ground = Header.nearest(Header.Supply.GROUND, position);
            int supply = Header.nearest(Header.Supply.THREE_VOLT_THREE, position);
            rows.add(
                    new Row(position, "GPIO " + gpio, lead.use(), lead.what(), lead.colour().word(), lead.pull().word(),
                            to(lead, "ground, pin " + ground, "3.3 V, pin " + supply)));
            switch (lead.far()) {
                case GROUND ->
                    rows.add(new Row(ground, "ground", lead.use(), "return", LeadColour.BLACK.word(), "",
                            part(lead)));
                case THREE_VOLT_THREE ->
                    rows.add(new Row(supply, "3.3 V", lead.use(), "supply", LeadColour.RED.word(), "", part(lead)));
                case TRANSISTOR -> {
                    rows.add(new Row(ground, "ground", lead.use(), "return", LeadColour.BLACK.word(), "", part(lead)));
                    rows.add(fiveVolts(lead));
                }
                case NOWHERE -> {
                }
            }
        }
        return rows;
    }

    private static Row fiveVolts(Lead lead) {
        return new Row(FIVE_VOLTS, "5 V", lead.use(), "supply", LeadColour.ORANGE.word(), "", part(lead));
    }

    /** A button and its lamp have one name, and may go to different grounds. */
    private static String part(Lead lead) {
        return lead.colour() == LeadColour.WHITE ? lead.use() + " (lamp)" : lead.use();
    }

    /** Leads that share a position of the header become one line: grounds, supplies, and the lines of a bus. */
    private static List<Row> bundled(List<Row> sorted) {
        Map<Integer, List<Row>> byPlace = new TreeMap<>();
        sorted.forEach(row -> byPlace.computeIfAbsent(row.place(), _ -> new ArrayList<>()).add(row));
        List<Row> rows = new ArrayList<>();
        byPlace.values().forEach(same -> {
            Row first = same.getFirst();
            if (same.size() == 1) {
                rows.add(first);
                return;
            }
            Set<String> to = new LinkedHashSet<>();
            same.forEach(row -> to.add(row.to()));
            boolean bus = first.contact().startsWith("GPIO");
            rows.add(new Row(first.place(), first.contact(), bus ? String.join(", ", uses(same)) : "",
                    bus ? first.lead() : first.contact().equals("ground") ? "common return" : "common supply",
                    first.colour(),
                    first.pull(), String.join(", ", to)));
        });
        return List.copyOf(rows);
    }

    private static Set<String> uses(List<Row> rows) {
        Set<String> uses = new LinkedHashSet<>();
        rows.forEach(row -> uses.add(row.use()));
        return uses;
    }

    /** Where a lead goes, in words. */
    static String to(Lead lead, String ground, String supply) {
        String far = lead.far() == Lead.Far.GROUND ? ground : supply;
        if (lead.far() == Lead.Far.NOWHERE) {
            return lead.detail();
        }
        if (lead.far() == Lead.Far.TRANSISTOR) {
            return lead.detail() + ", its emitter to " + ground + "; the LED between 5 V, pin " + FIVE_VOLTS
                    + ", and its collector (see the resistors)";
        }
        if (lead.colour() == LeadColour.WHITE) {
            return lead.detail() + "; " + (lead.far() == Lead.Far.GROUND ? "short" : "long") + " leg to " + far;
        }
        return (lead.what().startsWith("channel") ? "common terminal to " : "other side to ") + far;
    }

    static boolean isOnHeaderI2c(Chip chip) {
        return chip.onBus().orElse(null) instanceof Chip.Bus.I2c bus && bus.lines().isPresent();
    }

    private static List<String> without(Panel panel) {
        List<String> names = new ArrayList<>();
        panel.buttons().values().stream().filter(each -> each.pin().isEmpty()).map(Button::name).forEach(names::add);
        panel.switches().values().stream().filter(each -> each.pin().isEmpty()).map(Switch::name).forEach(names::add);
        panel.knobs().values().stream().filter(each -> each.pinA().isEmpty()).map(Knob::name).forEach(names::add);
        panel.faders().values().stream().filter(each -> each.input().isEmpty()).map(Fader::name).forEach(names::add);
        panel.joysticks().values().forEach(stick -> stick.axes().values().stream().filter(axis -> axis.wire().isEmpty())
                .forEach(axis -> names.add(stick.name() + "." + axis.name())));
        panel.lamps().values().stream().filter(each -> each.pins().isEmpty()).forEach(lamp -> names.add(
                panel.buttons().containsKey(lamp.name()) ? "lamp of " + lamp.name() : lamp.name()));
        return List.copyOf(names);
    }
}
