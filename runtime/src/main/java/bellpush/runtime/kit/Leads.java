package bellpush.runtime.kit;

import bellpush.config.model.Button;
import bellpush.config.model.Chip;
import bellpush.config.model.Fader;
import bellpush.config.model.Joystick;
import bellpush.config.model.Knob;
import bellpush.config.model.Panel;
import bellpush.config.model.Pin;
import bellpush.config.model.Source;
import java.util.ArrayList;
import java.util.List;

/** The leads of a panel's controls and lamps, in the order of panel.json; those of the chips themselves are in {@link ChipLeads}. */
final class Leads {
    private final Panel panel;
    private final List<Lead> leads = new ArrayList<>();

    private Leads(Panel panel) {
        this.panel = panel;
    }

    static List<Lead> of(Panel panel, List<LampPart> lamps) {
        Leads all = new Leads(panel);
        panel.buttons().values().forEach(all::button);
        panel.switches().values().forEach(each -> each.pin().ifPresent(
                pin -> all.contact(pin, each.name(), "switch contact", LeadColour.YELLOW, each.activeHigh(),
                        each.at())));
        panel.knobs().values().forEach(all::knob);
        panel.faders().values().forEach(all::fader);
        panel.joysticks().values().forEach(all::joystick);
        lamps.forEach(all::lamp);
        panel.chips().values().forEach(chip -> {
            if (chip instanceof Chip.Matrix matrix) {
                all.matrix(matrix);
            }
        });
        return List.copyOf(all.leads);
    }

    private void button(Button button) {
        button.pin()
                .ifPresent(pin -> contact(pin, button.name(), "button contact", LeadColour.YELLOW, button.activeHigh(),
                        button.at()));
    }

    private void knob(Knob knob) {
        // Encoders switch their channels to ground (common practice, no source).
        knob.pinA().ifPresent(pin -> contact(pin, knob.name(), "channel A", LeadColour.GREEN, false, knob.at()));
        knob.pinB().ifPresent(pin -> contact(pin, knob.name(), "channel B", LeadColour.BLUE, false, knob.at()));
        knob.push().ifPresent(push -> push.button().pin().ifPresent(pin -> contact(pin, knob.name(), "push contact",
                LeadColour.YELLOW, push.button().activeHigh(), knob.at())));
    }

    private void fader(Fader fader) {
        fader.input().ifPresent(pin -> wiper(pin, fader.name(), "wiper", "the lower end",
                "the upper end", fader.calibration(), fader.at()));
    }

    private void joystick(Joystick stick) {
        stick.axes().values().forEach(axis -> axis.wire().ifPresent(wire -> {
            switch (wire) {
                case Joystick.Wire.Analogue analogue ->
                    wiper(analogue.input(), stick.name(), axis.name() + " wiper", "the end of left or down",
                            "the end of right or up", analogue.calibration(), axis.at());
                case Joystick.Wire.Contacts(Pin down, Pin up) -> {
                    contact(down, stick.name(), axis.name() + " down contact", LeadColour.YELLOW, false, axis.at());
                    contact(up, stick.name(), axis.name() + " up contact", LeadColour.YELLOW, false, axis.at());
                }
            }
        }));
    }

    private void contact(Pin pin, String use, String what, LeadColour colour, boolean activeHigh, Source at) {
        if (pin instanceof Pin.OfChip(String chip, _, _) && panel.chips().get(chip) instanceof Chip.Matrix) {
            leads.add(new Lead(pin, use, what, colour, Lead.Pull.NONE, Lead.Far.NOWHERE, "", at)); // its two sides are the matrix's
            return;
        }
        leads.add(new Lead(pin, use, what, colour, activeHigh ? Lead.Pull.DOWN : Lead.Pull.UP,
                activeHigh ? Lead.Far.THREE_VOLT_THREE : Lead.Far.GROUND, "", at));
    }

    private void wiper(Pin pin, String use, String what, String low, String high, Fader.Calibration calibration,
            Source at) {
        boolean reversed = calibration.low() > calibration.high();
        leads.add(new Lead(pin, use, what, LeadColour.BROWN, Lead.Pull.NONE, Lead.Far.NOWHERE,
                "middle terminal; " + (reversed ? high : low) + " to ground, " + (reversed ? low : high)
                        + " to 3.3 V, at the chip",
                at));
    }

    private void lamp(LampPart lamp) {
        String long1 = "LED's long leg";
        String short1 = "LED's short leg";
        Lead lead = switch (lamp.drive()) {
            case LampPart.Drive.Direct(LedResistor resistor) -> lamp.activeHigh()
                    ? lampLead(lamp, Lead.Far.GROUND, "through " + E24.words(resistor.ohms()) + " to the " + long1)
                    : lampLead(lamp, Lead.Far.THREE_VOLT_THREE,
                            "through " + E24.words(resistor.ohms()) + " to the " + short1);
            case LampPart.Drive.Transistor(TransistorDriver driver) -> lampLead(lamp, Lead.Far.TRANSISTOR,
                    "through " + E24.words(driver.baseOhms()) + " to a transistor's base");
            case LampPart.Drive.OwnSupply _ -> lampLead(lamp, Lead.Far.NOWHERE,
                    "to a driver with a supply of its own (see the warnings)");
            case LampPart.Drive.OfStrip _ -> lampLead(lamp, Lead.Far.NOWHERE, "in the strip");
        };
        leads.add(lead);
    }

    private static Lead lampLead(LampPart lamp, Lead.Far far, String detail) {
        return new Lead(lamp.pin(), lamp.name(), "lamp" + (lamp.channel().isEmpty() ? "" : ", " + lamp.channel()),
                LeadColour.WHITE, Lead.Pull.NONE, far, detail, lamp.at());
    }

    private void matrix(Chip.Matrix matrix) {
        for (int row = 0; row < matrix.rows().size(); row++) {
            leads.add(new Lead(matrix.rows().get(row), matrix.name(), "row " + (row + 1), LeadColour.YELLOW,
                    Lead.Pull.NONE,
                    Lead.Far.NOWHERE, "to the cathodes (marked ends) of its diodes", matrix.at()));
        }
        for (int column = 0; column < matrix.columns().size(); column++) {
            leads.add(new Lead(matrix.columns().get(column), matrix.name(), "column " + (column + 1), LeadColour.YELLOW,
                    Lead.Pull.UP, Lead.Far.NOWHERE, "to one side of each of its keys", matrix.at()));
        }
    }
}
