package bellpush.runtime.panel;

/**
 * What a bank of pins tells. Called from the bank's own thread, one call at a time for each pin; each call returns at once.
 * Times are {@link System#nanoTime()} of the moment it happened.
 */
public interface PinListener {
    /** How an input was found when the bank was opened: once for each, before its first edge. */
    void found(long atNanos, int pin, boolean active);

    /** An input has become active or inactive. */
    void edge(long atNanos, int pin, boolean active);

    /** The bank is gone: said once, in words. No edges come until {@link #back}. */
    void lost(String why);

    /** The bank works again. Edges follow for the inputs that differ from what was told last. */
    void back();

    /** Something that belongs in the log, such as lost edges. */
    void noted(String text);
}
