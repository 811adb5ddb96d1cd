package bellpush.runtime.panel.bus;

import java.io.IOException;

/** A transfer failed. The message is for people: what was found, and the cure. */
public final class BusException extends IOException {
    private static final long serialVersionUID = 1L;

    public BusException(String message) {
        super(message);
    }
}
