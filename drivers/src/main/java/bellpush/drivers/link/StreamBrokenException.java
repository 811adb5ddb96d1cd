package bellpush.drivers.link;

/** A byte stream in which nobody can tell any more where the next message begins. The message is for people. */
public final class StreamBrokenException extends Exception {
    private static final long serialVersionUID = 1L;

    StreamBrokenException(String message) {
        super(message, null, false, false); // no stack trace: a hostile peer must not make us build thousands of them
    }
}
