package bellpush.config.model;

import java.util.OptionalInt;

/**
 * A rotary encoder that moves one property up and down.
 *
 * @param pinA      BCM number of channel A, or empty for a knob that only the drawn panel has
 * @param pinB      BCM number of channel B
 * @param perDetent transitions per detent: 1, 2 or 4
 * @param turns     the number property that it moves
 * @param step      change per detent, in the property's unit; negative turns the other way round
 */
public record Knob(String name, String label, OptionalInt pinA, OptionalInt pinB, int perDetent, PropertyRef turns,
        double step, Source at) {}
