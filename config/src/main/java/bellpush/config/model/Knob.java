package bellpush.config.model;

import java.util.Optional;

/**
 * A rotary encoder that moves one property up and down.
 *
 * @param pinA      channel A, or empty for a knob that only the drawn panel has
 * @param pinB      channel B
 * @param perDetent transitions per detent: 1, 2 or 4
 * @param turns     the number property that it moves
 * @param step      change per detent, in the property's unit; negative turns the other way round
 * @param faster    how many times the step a detent may be worth when the knob is spun fast; 1: always the step
 * @param push      its push switch
 */
public record Knob(String name, String label, Optional<Pin> pinA, Optional<Pin> pinB, int perDetent, PropertyRef turns,
        double step, double faster, Optional<Push> push, Optional<String> about, Source at) {

    /**
     * The push switch of a knob.
     *
     * @param button its contact and what pressing it does; named {@code KNOB.push}
     * @param turns  what turning the knob moves while it is pressed
     */
    public record Push(Button button, Optional<Turning> turns) {}

    /** @param step change per detent; the knob's {@code faster} holds here as well */
    public record Turning(PropertyRef property, double step) {}

    /** A knob of no pins that does one step per detent of four transitions. */
    public static Knob named(String name, String label, PropertyRef turns, double step, Source at) {
        return new Knob(name, label, Optional.empty(), Optional.empty(), 4, turns, step, 1, Optional.empty(),
                Optional.empty(), at);
    }

    public Knob onPins(Pin a, Pin b) {
        return new Knob(name, label, Optional.of(a), Optional.of(b), perDetent, turns, step, faster, push, about, at);
    }
}
