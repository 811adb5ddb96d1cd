package bellpush.runtime.panel.chips;

/** What an {@link AnalogueReader} tells, on the thread {@code chips}. */
public interface AnalogueListener {
    /** @param share of the converter's full scale, 0 to 1 */
    void moved(long atNanos, String name, double share);

    /** The input can no longer be read: said once. It works again with its next {@link #moved}. */
    void lost(long atNanos, String name, String why);

    void noted(String text);
}
