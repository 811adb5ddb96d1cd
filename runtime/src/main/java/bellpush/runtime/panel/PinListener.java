package bellpush.runtime.panel;

/** What a bank of pins tells. Times are {@link System#nanoTime()} of the moment the edge happened. */
public interface PinListener {
    void found(long atNanos, int pin, boolean active);

    void edge(long atNanos, int pin, boolean active);

    /** The bank is gone: said once; {@link #back()} when it works again, with fresh edges for what differs. */
    void lost(String why);

    void back();

    void noted(String text);
}
