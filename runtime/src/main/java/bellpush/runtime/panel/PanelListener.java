package bellpush.runtime.panel;

/**
 * What a panel tells. Called from whatever thread the panel reads on; each call returns at once. Times are
 * {@link System#nanoTime()} of the moment the edge happened.
 */
public interface PanelListener {
    /**
     * A contact closed or opened: a button's or switch's name; {@code NAME.a}, {@code NAME.b} and {@code NAME.push} of a knob;
     * {@code NAME.AXIS.down} and {@code .up} of a rocker.
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
     * A fader or a joystick's axis stands here now; also told once at the start.
     *
     * @param name  the fader's, or {@code JOYSTICK.AXIS}
     * @param share of the converter's full scale, 0 to 1
     */
    default void moved(long atNanos, String name, double share) {}

    /** A fader or an axis can no longer be read, until it is told as moved again: what it drove must come to rest. */
    default void lost(long atNanos, String name, String why) {}

    /** Something about the panel that belongs in the log, such as a chip that went away. */
    void noted(String text);
}
