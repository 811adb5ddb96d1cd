package bellpush.runtime.panel;

/** A panel cannot be opened. The message is for people: what was found, and the cure. */
public final class PanelException extends RuntimeException {
    private static final long serialVersionUID = 1L;

    public PanelException(String message, Throwable cause) {
        super(message, cause);
    }
}
