package bellpush.runtime.kit;

import bellpush.config.model.Chip;
import bellpush.config.model.Lamp;
import bellpush.config.model.Led;
import bellpush.config.model.Panel;
import bellpush.config.model.Pin;
import bellpush.config.model.Source;
import java.util.ArrayList;
import java.util.List;

/**
 * One LED with what it needs: a lamp of three colours is three of them.
 *
 * @param channel red, green or blue of a lamp of three colours; else empty
 * @param assumed whether panel.json does not say which LED it is
 */
record LampPart(String name, String channel, Pin pin, boolean activeHigh, boolean dims, Led led, boolean assumed,
        Drive drive,
        Source at) {
    /** The supply of the header's pins, and of chips that talk to them. */
    static final double PIN_VOLTS = 3.3;
    private static final Led UNKNOWN = new Led("any", 2.0, 2);
    /** Typical forward voltages (common practice, no source): the part's data sheet has the right one. */
    private static final List<Led> THREE_COLOURS = List.of(new Led("red", 1.9, 2), new Led("green", 3.1, 2),
            new Led("blue", 3.1, 2));

    sealed interface Drive {
        /** From the pin itself. */
        record Direct(LedResistor resistor) implements Drive {}

        /** The pin has not the volts for it. */
        record Transistor(TransistorDriver driver) implements Drive {}

        /** It needs more than 5 V. */
        record OwnSupply() implements Drive {}

        /** The strip has its own. */
        record OfStrip() implements Drive {}
    }

    static List<LampPart> of(Panel panel) {
        List<LampPart> parts = new ArrayList<>();
        for (Lamp lamp : panel.lamps().values()) {
            for (int i = 0; i < lamp.pins().size(); i++) {
                boolean coloured = lamp.pins().size() == THREE_COLOURS.size();
                Led led = coloured ? channel(lamp, i) : lamp.led().orElse(UNKNOWN);
                Pin pin = lamp.pins().get(i);
                parts.add(new LampPart(lamp.name(), coloured ? led.colour() : "", pin, lamp.activeHigh(), lamp.dims(),
                        led,
                        lamp.led().isEmpty(), coloured ? ofThree(led) : drive(panel, pin, led), lamp.at()));
            }
        }
        return List.copyOf(parts);
    }

    private static Led channel(Lamp lamp, int i) {
        Led typical = THREE_COLOURS.get(i);
        return new Led(typical.colour(), typical.volts(), lamp.led().map(Led::milliamps).orElse(typical.milliamps()));
    }

    /**
     * All three need transistors if one of them does: their common leg, the anode, is at 5 V, and a pin of red's would get more than 3.3 V
     * from it.
     */
    private static Drive ofThree(Led led) {
        return new Drive.Transistor(TransistorDriver.of(led.volts(), led.milliamps()));
    }

    private static Drive drive(Panel panel, Pin pin, Led led) {
        if (pin instanceof Pin.OfChip(String chip, _, _) && panel.chips().get(chip) instanceof Chip.Strip) {
            return new Drive.OfStrip();
        }
        if (PIN_VOLTS - led.volts() >= LedResistor.LEAST_HEADROOM_VOLTS) {
            return new Drive.Direct(LedResistor.of(PIN_VOLTS, led.volts(), led.milliamps()));
        }
        return led.volts() <= TransistorDriver.MOST_FORWARD_VOLTS
                ? new Drive.Transistor(TransistorDriver.of(led.volts(), led.milliamps()))
                : new Drive.OwnSupply();
    }

    /** What the pin gives or takes while the lamp is lit. */
    double pinMilliamps() {
        return switch (drive) {
            case Drive.Direct(LedResistor resistor) -> resistor.milliamps();
            case Drive.Transistor(TransistorDriver driver) -> driver.baseMilliamps();
            case Drive.OwnSupply _,Drive.OfStrip _ -> 0;
        };
    }

    /** What it draws from 5 V while it is lit. */
    double fiveVoltMilliamps() {
        return drive instanceof Drive.Transistor(TransistorDriver driver) ? driver.led().milliamps() : 0;
    }

    /** Such as {@code poem} or {@code status, blue}. */
    String words() {
        return channel.isEmpty() ? name : name + ", " + channel;
    }
}
