package bellpush.runtime.panel;

import bellpush.config.model.Joystick;
import bellpush.config.model.Panel;
import bellpush.config.model.Pin;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/** What is wired to which pin, as electrical contacts. Whatever has no pin is not in it. */
public record Wiring(List<Contact> contacts, List<Lamp> lamps) {
    /**
     * @param name       as a panel tells it: a button's or switch's name, {@code KNOB.a}, {@code KNOB.b}, {@code KNOB.push},
     *                   {@code JOYSTICK.AXIS.down} or {@code .up}
     * @param activeHigh whether closing the contact makes the pin high (with a pull-down); else it pulls the pin to ground
     *                   (with a pull-up)
     * @param stays      whether it stays where it is put, and does not spring open when it is let go
     */
    public record Contact(String name, Pin pin, boolean activeHigh, boolean stays) {}

    /**
     * @param pins       one, or three: red, green, blue
     * @param activeHigh whether a high level lights it
     * @param dims       whether its brightness is to be set by pulse width
     */
    public record Lamp(String name, List<Pin> pins, boolean activeHigh, boolean dims) {}

    /** A contact on a pin of the header, which edge traces call by its BCM number. */
    record HeaderContact(String name, int pin, boolean activeHigh) {}

    public static Wiring of(Panel panel) {
        List<Contact> contacts = new ArrayList<>();
        panel.buttons().values()
                .forEach(button -> add(contacts, button.name(), button.pin(), button.activeHigh(), false));
        panel.switches().values().forEach(
                each -> add(contacts, each.name(), each.pin(), each.activeHigh(), true));
        // Encoders switch their channels to ground (common practice, no source), and may rest on a closed one.
        panel.knobs().values().forEach(knob -> {
            add(contacts, knob.name() + ".a", knob.pinA(), false, true);
            add(contacts, knob.name() + ".b", knob.pinB(), false, true);
            knob.push().ifPresent(push -> add(contacts, push.button().name(), push.button().pin(),
                    push.button().activeHigh(), false));
        });
        panel.joysticks().values().forEach(joystick -> joystick.axes().values().forEach(axis -> {
            if (axis.wire().orElse(null) instanceof Joystick.Wire.Contacts(Pin down, Pin up)) {
                String name = joystick.name() + "." + axis.name();
                add(contacts, name + ".down", Optional.of(down), false, false);
                add(contacts, name + ".up", Optional.of(up), false, false);
            }
        }));
        List<Lamp> lamps = panel.lamps().values().stream().filter(lamp -> !lamp.pins().isEmpty())
                .map(lamp -> new Lamp(lamp.name(), lamp.pins(), lamp.activeHigh(), lamp.dims())).toList();
        return new Wiring(List.copyOf(contacts), lamps);
    }

    private static void add(List<Contact> contacts, String name, Optional<Pin> pin, boolean activeHigh,
            boolean stays) {
        pin.ifPresent(lead -> contacts.add(new Contact(name, lead, activeHigh, stays)));
    }

    List<HeaderContact> onHeader() {
        List<HeaderContact> header = new ArrayList<>();
        for (Contact contact : contacts) {
            if (contact.pin() instanceof Pin.Gpio(int bcm)) {
                header.add(new HeaderContact(contact.name(), bcm, contact.activeHigh()));
            }
        }
        return header;
    }
}
