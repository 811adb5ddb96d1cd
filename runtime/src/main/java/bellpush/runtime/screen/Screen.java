package bellpush.runtime.screen;

import java.io.IOException;

/** A terminal, as far as the drawn panel needs one. Every method may be called from any thread. */
interface Screen extends AutoCloseable {
    int END = -1;
    int NOTHING_YET = -2;

    /** For people: which terminal, and how large. */
    String describe();

    int width();

    int height();

    /** Whether it shows the box and lamp shapes of Unicode. */
    boolean unicode();

    boolean colours();

    /** Takes the terminal over. {@code onChange} is called, on any thread, when everything must be drawn anew. */
    void enter(Runnable onChange);

    /** Sends text and sequences. Does nothing once {@link #restore} was called. */
    void send(String text);

    /** The next byte, or {@link #NOTHING_YET} after this many milliseconds, or {@link #END}. */
    int read(long timeoutMs) throws IOException;

    /** Gives the terminal back as it was found; more than once does no harm. */
    void restore();

    /** Restores and lets go of the terminal. */
    @Override
    void close();
}
