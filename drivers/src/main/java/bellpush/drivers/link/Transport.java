package bellpush.drivers.link;

/** Where a conversation's messages go: a socket, or a test. On the event loop only. */
public interface Transport {
    /** False while the other end takes no more: what is written now would only pile up in memory. */
    boolean writable();

    /**
     * Writes one message, with its framing, and flushes. {@code written} is called exactly once, perhaps before this
     * returns. Nothing is written if this throws.
     *
     * @throws IllegalArgumentException if the framing cannot carry this message; the message is for people
     */
    void write(byte[] message, Written written);

    /** The other end is gone though the socket has not noticed: close it and connect again. {@code why} is for people. */
    void drop(String why);

    interface Written {
        /** @param failure why it could not be written, for people; null if it was */
        void done(String failure);
    }
}
