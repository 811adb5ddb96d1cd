package bellpush.runtime.kit;

import bellpush.config.model.Chip;
import bellpush.config.model.Joystick;
import bellpush.config.model.Panel;
import bellpush.config.model.Pin;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;

/** What to buy for what has pins. No maker is named: the data sheet of what the shop has decides. */
final class PartsList {
    public record Entry(int count, String what) {}

    private final List<Entry> entries = new ArrayList<>();

    private PartsList() {}

    static List<Entry> of(Panel panel, List<LampPart> lamps) {
        PartsList list = new PartsList();
        list.controls(panel);
        list.lamps(lamps);
        list.chips(panel);
        return List.copyOf(list.entries);
    }

    private void controls(Panel panel) {
        add(panel.buttons().values().stream().filter(each -> each.pin().isPresent()).count(),
                "push button, one contact that closes");
        add(panel.switches().values().stream().filter(each -> each.pin().isPresent()).count(),
                "toggle switch, on and off");
        add(panel.knobs().values().stream().filter(each -> each.pinA().isPresent() && each.push().isEmpty()).count(),
                "rotary encoder with detents, and a knob");
        add(panel.knobs().values().stream().filter(each -> each.pinA().isPresent() && each.push().isPresent()).count(),
                "rotary encoder with detents and push switch, and a knob");
        add(panel.faders().values().stream().filter(each -> each.input().isPresent()).count(),
                "slide potentiometer, 10 kΩ, linear");
        add(panel.joysticks().values().stream().filter(
                stick -> stick.axes().values().stream().anyMatch(axis -> wire(axis) instanceof Joystick.Wire.Analogue))
                .count(),
                "joystick with spring return, potentiometers of 10 kΩ, linear");
        add(panel.joysticks().values().stream().flatMap(stick -> stick.axes().values().stream())
                .filter(axis -> wire(axis) instanceof Joystick.Wire.Contacts).count(), "rocker switch, (on)-off-(on)");
    }

    private static Joystick.Wire wire(Joystick.Axis axis) {
        return axis.wire().orElse(null);
    }

    private void lamps(List<LampPart> lamps) {
        Map<String, Integer> leds = new TreeMap<>();
        Map<Double, Integer> resistors = new TreeMap<>();
        Map<Double, String> ratings = new TreeMap<>();
        int transistors = 0;
        int threeColours = 0;
        for (LampPart lamp : lamps) {
            if (lamp.channel().isEmpty() && !(lamp.drive() instanceof LampPart.Drive.OfStrip)) {
                leds.merge("LED, " + (lamp.assumed() ? "red, yellow or green" : lamp.led().colour()) + ", about "
                        + Plain.number(lamp.led().volts()) + " V", 1, Integer::sum);
            } else if (lamp.channel().equals("red")) {
                threeColours++;
            }
            switch (lamp.drive()) {
                case LampPart.Drive.Direct(LedResistor resistor) -> count(resistor, resistors, ratings);
                case LampPart.Drive.Transistor(TransistorDriver driver) -> {
                    count(driver.led(), resistors, ratings);
                    resistors.merge(driver.baseOhms(), 1, Integer::sum);
                    ratings.putIfAbsent(driver.baseOhms(), "1/8 W");
                    transistors++;
                }
                case LampPart.Drive.OwnSupply _,LampPart.Drive.OfStrip _ -> {
                }
            }
        }
        leds.forEach((what, count) -> add(count, what));
        add(threeColours, "LED of three colours with four legs, common anode");
        resistors.forEach(
                (ohms, count) -> add(count, "resistor " + E24.words(ohms) + ", " + ratings.get(ohms) + " or more"));
        add(transistors, "NPN transistor for small signals, 100 mA or more");
    }

    private static void count(LedResistor resistor, Map<Double, Integer> resistors, Map<Double, String> ratings) {
        resistors.merge(resistor.ohms(), 1, Integer::sum);
        ratings.merge(resistor.ohms(), resistor.rating(), (a, b) -> a.equals("1/8 W") ? b : a);
    }

    private void chips(Panel panel) {
        Map<String, Integer> chips = new TreeMap<>();
        int capacitors = 0;
        for (Chip chip : panel.chips().values()) {
            switch (chip) {
                case Chip.Expander(_, Chip.Bus.I2c _, _, _, _) ->
                    chips.merge("MCP23017 expander, 28 pins, with a socket", 1,
                            Integer::sum);
                case Chip.Expander _ -> chips.merge("MCP23S17 expander, 28 pins, with a socket", 1, Integer::sum);
                case Chip.Converter converter -> chips.merge(converter.model() == Chip.Converter.Model.MCP3008
                        ? "MCP3008 converter, 16 pins, with a socket"
                        : "ADS1115 converter on a carrier board", 1, Integer::sum);
                case Chip.Strip strip -> {
                    chips.merge("strip of " + strip.length() + " three-colour lamps, 5 V", 1, Integer::sum);
                    chips.merge("5 V supply, " + Plain.number(strip.milliampsMax()) + " mA or more, with a fuse", 1,
                            Integer::sum);
                    chips.merge("level shifter from 3.3 V to 5 V (a buffer of the HCT family)", 1, Integer::sum);
                    chips.merge("resistor 330 Ω for the data lead of a strip", 1, Integer::sum);
                    chips.merge("electrolytic capacitor, 1000 µF, 10 V or more, across the strip's supply", 1,
                            Integer::sum);
                }
                case Chip.Matrix matrix ->
                    chips.merge("small signal diode, such as 1N4148", keys(panel, matrix), Integer::sum);
            }
            capacitors += chip instanceof Chip.Expander || chip instanceof Chip.Converter ? 1 : 0;
        }
        chips.forEach((what, count) -> add(count, what));
        add(capacitors, "ceramic capacitor, " + ChipLeads.CAPACITOR);
        add(entries.isEmpty() ? 0 : 1, "socket for the 40-pin header, or single leads with sockets");
    }

    private static int keys(Panel panel, Chip.Matrix matrix) {
        return (int) Leads.of(panel, List.of()).stream().filter(
                lead -> lead.pin() instanceof Pin.OfChip(String chip, _, _) && chip.equals(matrix.name())).count();
    }

    private void add(long count, String what) {
        if (count > 0) {
            entries.add(new Entry((int) count, what));
        }
    }
}
