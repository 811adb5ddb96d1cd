package bellpush.config.model;

/** The live connection to a device. */
public enum LinkState {
    /** Commands can be sent, and the device answers where its kind lets us know. */
    UP,
    /** Nothing can be sent; reconnecting goes on by itself. */
    DOWN,
    /** Packets can be sent, but the device has stopped answering. */
    STALE;

    /** The word used in JSON, messages and the log. */
    public String word() {
        return name().toLowerCase(java.util.Locale.ROOT);
    }
}
