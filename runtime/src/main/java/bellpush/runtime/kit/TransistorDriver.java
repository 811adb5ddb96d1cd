package bellpush.runtime.kit;

/**
 * An LED switched from 5 V by an NPN transistor whose base a pin drives through a resistor: for an LED that needs more volts or
 * more current than a pin has. Figures are common practice, no source: 0.2 V stay at the transistor when it is on, its base takes
 * 0.7 V, and a tenth of the LED's current into the base turns it on fully.
 *
 * @param led           the LED's resistor at 5 V
 * @param baseOhms      the resistor from the pin to the base
 * @param baseMilliamps what the pin gives
 */
record TransistorDriver(LedResistor led, double baseOhms, double baseMilliamps) {
    static final double SUPPLY_VOLTS = 5;
    private static final double SATURATION_VOLTS = 0.2;
    private static final double BASE_VOLTS = 0.7;
    private static final double BASE_SHARE = 0.1;
    private static final double PIN_VOLTS = 3.3;

    /** The most forward voltage that leaves the resistor something to do. */
    static final double MOST_FORWARD_VOLTS = SUPPLY_VOLTS - SATURATION_VOLTS - LedResistor.LEAST_HEADROOM_VOLTS;

    /** @param forwardVolts up to {@link #MOST_FORWARD_VOLTS}. @param milliamps above 0 */
    static TransistorDriver of(double forwardVolts, double milliamps) {
        LedResistor led = LedResistor.of(SUPPLY_VOLTS - SATURATION_VOLTS, forwardVolts, milliamps);
        double base = E24.atMost((PIN_VOLTS - BASE_VOLTS) / (milliamps * BASE_SHARE) * 1_000);
        return new TransistorDriver(led, base, (PIN_VOLTS - BASE_VOLTS) / base * 1_000);
    }

    String words() {
        return "an NPN transistor that switches it from 5 V: LED with " + E24.words(led.ohms())
                + " from 5 V to the collector,"
                + " emitter to ground, " + E24.words(baseOhms) + " from the pin to the base ("
                + Plain.number(baseMilliamps) + " mA from the pin); 5 V must never reach the pin itself";
    }
}
