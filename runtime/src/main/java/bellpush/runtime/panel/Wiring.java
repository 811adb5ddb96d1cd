package bellpush.runtime.panel;

import bellpush.config.model.Joystick;
import bellpush.config.model.Panel;
import bellpush.config.model.Pin;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/** What is wired to which pin (BCM number), as electrical contacts. Whatever has no pin is not in it. */
record Wiring(List<Contact> contacts, List<Lamp> lamps) {
    /**
     * @param activeHigh whether closing the contact makes the pin high (with a pull-down); else it pulls the pin to ground
     *                   (with a pull-up)
     */
    record Contact(String name, int pin, boolean activeHigh) {}

    /** @param activeHigh whether a high level lights it */
    record Lamp(String name, int pin, boolean activeHigh) {}

    static Wiring of(Panel panel) {
        List<Contact> contacts = new ArrayList<>();
        panel.buttons().values().forEach(button -> add(contacts, button.name(), button.pin(), button.activeHigh()));
        // Encoders switch their channels to ground (common practice, no source).
        panel.knobs().values().forEach(knob -> {
            add(contacts, knob.name() + ".a", knob.pinA(), false);
            add(contacts, knob.name() + ".b", knob.pinB(), false);
        });
        // A rocker's two contacts switch to ground (common practice, no source).
        panel.joysticks().values().forEach(stick -> stick.axes().values().forEach(axis -> {
            if (axis.wire().orElse(null) instanceof Joystick.Wire.Contacts(Pin down, Pin up)) {
                String name = stick.name() + "." + axis.name();
                add(contacts, name + ".down", Optional.of(down), false);
                add(contacts, name + ".up", Optional.of(up), false);
            }
        }));
        List<Lamp> lamps = new ArrayList<>();
        panel.lamps().values().forEach(
                lamp -> {
                    if (lamp.pins().size() == 1 && lamp.pins().getFirst() instanceof Pin.Gpio(int pin)) {
                        lamps.add(new Lamp(lamp.name(), pin, lamp.activeHigh()));
                    }
                });
        return new Wiring(List.copyOf(contacts), List.copyOf(lamps));
    }

    private static void add(List<Contact> contacts, String name, Optional<Pin> pin, boolean activeHigh) {
        if (pin.isPresent() && pin.get() instanceof Pin.Gpio(int bcm)) {
            contacts.add(new Contact(name, bcm, activeHigh));
        }
    }
}
