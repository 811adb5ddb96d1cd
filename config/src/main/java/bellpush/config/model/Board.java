package bellpush.config.model;

/**
 * What the board's pins can bear.
 *
 * @param chip              the chip that drives the header's pins: {@code bcm2835} (also 2836 and 2837), {@code bcm2711},
 *                          or {@code other}
 * @param milliampsPerPin   the most that one pin may give or take
 * @param milliampsTogether the most that all pins may give together
 */
public record Board(String chip, double milliampsPerPin, double milliampsTogether) {
    /**
     * Right on every board: no more than 8 mA a pin (the strongest drive of a BCM2711) and 50 mA together (17 pins of 3 mA, for
     * which the 3.3 V supply of the first boards was designed). Source: Raspberry Pi documentation, <i>GPIO pads control</i>.
     */
    public static final Board ANY = new Board("other", 8, 50);
}
