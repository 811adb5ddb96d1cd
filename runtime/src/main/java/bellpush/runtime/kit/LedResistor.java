package bellpush.runtime.kit;

/**
 * The resistor of one LED: R = (Vs − Vf) / I, and the next higher value of E24, so that the current is at most the wanted one.
 * It turns P = (Vs − Vf) · I to heat. Source: any course on LED circuits; the examples that the tests use are named there.
 *
 * @param exactOhms  as computed
 * @param ohms       the value to buy
 * @param milliamps  the current with that one
 * @param milliwatts what it turns to heat
 */
record LedResistor(double exactOhms, double ohms, double milliamps, double milliwatts) {
    /** What an LED must leave to its resistor, in volts: with less, LEDs of one bag differ visibly (common practice, no source). */
    static final double LEAST_HEADROOM_VOLTS = 0.5;

    /**
     * @param supplyVolts  above {@code forwardVolts}
     * @param forwardVolts of the LED
     * @param milliamps    wanted, above 0
     */
    static LedResistor of(double supplyVolts, double forwardVolts, double milliamps) {
        double headroomVolts = supplyVolts - forwardVolts;
        if (!(headroomVolts > 0) || !(milliamps > 0)) {
            throw new IllegalArgumentException(
                    "an LED of " + forwardVolts + " V at " + supplyVolts + " V and " + milliamps
                            + " mA has no resistor");
        }
        double exactOhms = headroomVolts / milliamps * 1_000;
        double ohms = E24.atLeast(Math.max(1, exactOhms));
        double current = headroomVolts / ohms * 1_000;
        return new LedResistor(exactOhms, ohms, current, headroomVolts * current);
    }

    /** The usual smallest rating that is at least twice the heat, in watts (common practice, no source). */
    String rating() {
        return milliwatts <= 62.5 ? "1/8 W" : milliwatts <= 125 ? "1/4 W" : milliwatts <= 250 ? "1/2 W" : "1 W or more";
    }
}
