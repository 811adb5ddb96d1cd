package bellpush.config.model;

/**
 * The part that a lamp is made of, for computing its resistor.
 *
 * @param colour    red, yellow, green, blue or white
 * @param volts     forward voltage
 * @param milliamps the current it is to be lit with
 */
public record Led(String colour, double volts, double milliamps) {}
