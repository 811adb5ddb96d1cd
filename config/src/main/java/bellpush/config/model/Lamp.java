package bellpush.config.model;

import java.util.List;
import java.util.OptionalInt;

/**
 * One lamp. A button's lamp has the button's name. The first rule that holds decides; none: off.
 *
 * @param pin        BCM number of the GPIO, or empty for a lamp that only the drawn panel has
 * @param activeHigh whether a high level lights it
 */
public record Lamp(String name, String label, OptionalInt pin, boolean activeHigh, List<LampRule> rules, Source at) {}
