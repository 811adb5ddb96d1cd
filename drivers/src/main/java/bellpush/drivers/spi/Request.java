package bellpush.drivers.spi;

import bellpush.config.model.Value;
import java.util.Map;

/** What the core asks a link to send. Names and values have been checked against the device's kind. */
public sealed interface Request {
    /** Unique within one run of the program, above 0; outcome and packets of this request carry it. */
    long id();

    /**
     * @param urgent whether it stops something: it leaves before everything that waits, and without waiting for an answer, as
     *               an urgent command does
     */
    record SetProperty(long id, String property, Value value, boolean urgent) implements Request {
        public SetProperty(long id, String property, Value value) {
            this(id, property, value, false);
        }
    }

    /** {@code present} are the believed values of the kind's properties that the command's template names as fields. */
    record DoCommand(long id, String command, Map<String, Value> arguments, Map<String, Value> present)
            implements
                Request {}

    record AskProperty(long id, String property) implements Request {}
}
