package bellpush.runtime.screen;

/**
 * The trouble that somebody at the drawn panel can make for simulated gear, to practise for the evening on which it comes by
 * itself. Called on the thread {@code keys}; returns at once. A panel of real gear has none.
 */
public interface Practice {
    /** Switches a device off, or on again. */
    void power(String device);

    /** Somebody at the device itself changes something. */
    void touch(String device);

    boolean isOff(String device);
}
