package bellpush.config.model;

import java.util.List;
import java.util.Optional;

/**
 * One lamp. A button's lamp has the button's name. The first rule that holds decides; none: off.
 *
 * @param pins       one pin; three for a lamp of three colours (red, green, blue); none for a lamp that only the drawn panel has
 * @param activeHigh whether a high level lights it
 * @param dims       whether its brightness is set by pulse width, on a pin whose hardware can; else it is lit or not
 * @param led        the part it is made of, where that is written
 */
public record Lamp(String name, String label, List<Pin> pins, boolean activeHigh, boolean dims, List<LampRule> rules,
        Optional<Led> led, Optional<String> about, Source at) {

    /** A lamp of no pins. */
    public static Lamp named(String name, String label, List<LampRule> rules, Source at) {
        return new Lamp(name, label, List.of(), true, false, rules, Optional.empty(), Optional.empty(), at);
    }

    public Lamp onPin(Pin pin) {
        return new Lamp(name, label, List.of(pin), activeHigh, dims, rules, led, about, at);
    }
}
