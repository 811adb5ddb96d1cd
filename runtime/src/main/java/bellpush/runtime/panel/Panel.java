package bellpush.runtime.panel;

import bellpush.config.model.Look;
import java.util.Optional;

/** A panel that can be read and lit. {@link #light} is called on the lamps thread only. */
public interface Panel extends AutoCloseable {
    /** What this panel is and why it was chosen, one line for people. */
    String describe();

    /** Starts reading. Contacts that are closed already are told as {@link PanelListener#found} before this returns. */
    void open(PanelListener listener);

    /** Lights a lamp: {@code level} from 0 (dark) to 1, as the eye sees it. Called only when it changes. May be slow. */
    void light(String lamp, double level, Optional<String> colour);

    /**
     * Every lamp that changes now has been told by {@link #light}: panels that write many lamps in one go do it here. A lamp
     * may wait for this call.
     */
    default void show() {}

    /** Whether there are real lamps, so that each of them should be seen lit once when the show begins. */
    default boolean wantsLampTest() {
        return false;
    }

    /** What the lamp is meant to show, for panels that can say it in words as well. Called on the lamps thread. */
    default void meaning(String lamp, Look look) {}

    /** Stops reading, puts every lamp out, gives the pins back. */
    @Override
    void close();
}
