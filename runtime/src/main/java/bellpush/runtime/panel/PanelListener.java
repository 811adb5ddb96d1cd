package bellpush.runtime.panel;

/**
 * What a panel tells. Called from whatever thread the panel reads on; each call returns at once. Times are
 * {@link System#nanoTime()} of the moment the edge happened.
 */
public interface PanelListener {
    /**
     * A contact closed or opened: the name of a button or a switch, or {@code NAME.a}, {@code NAME.b} and {@code NAME.push} of a
     * knob.
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

    /** Something about the panel that belongs in the log, such as a chip that went away. */
    void noted(String text);
}
