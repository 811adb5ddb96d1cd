package bellpush.runtime.panel;

/**
 * What a panel tells. Called from whatever thread the panel reads on; each call returns at once. Times are
 * {@link System#nanoTime()} of the moment the edge happened.
 */
public interface PanelListener {
    /**
     * A contact closed or opened: a button's or switch's name; {@code NAME.a} and {@code NAME.b} of a knob;
     * {@code JOYSTICK.AXIS.down} and {@code .up} of a rocker.
     */
    void contact(long atNanos, String contact, boolean closed);

    /**
     * The contact was found closed or open when the panel was opened: what is held at that moment was not pressed. A listener
     * that does not care about the difference takes it for an edge.
     */
    default void found(long atNanos, String contact, boolean closed) {
        contact(atNanos, contact, closed);
    }

    /** A knob drawn on a screen was turned by whole detents. */
    void turned(long atNanos, String knob, int detents);

    /**
     * A fader, or a joystick's axis as {@code JOYSTICK.AXIS}, was read. What is told first is where it was found.
     *
     * @param share of the converter's full scale, 0 to 1
     */
    default void moved(long atNanos, String input, double share) {}

    /** The converter of a fader or axis cannot be read any more: what it drives must stop. */
    default void lost(long atNanos, String input, String why) {}

    /** Something about the panel that belongs in the log, such as a chip that went away. */
    void noted(String text);
}
