package bellpush.drivers.link;

/** A frame that is not a message of the protocol. The message says what is wrong with it, for people. */
public final class MalformedMessageException extends Exception {
    private static final long serialVersionUID = 1L;

    public MalformedMessageException(String message) {
        super(message, null, false, false); // no stack trace: a hostile peer must not make us build thousands of them
    }
}
