package bellpush.drivers.spi;

import bellpush.config.model.Value;
import java.time.Duration;
import java.util.Map;

/** What the core asks a link to send. Names and values have been checked against the device's kind. */
public sealed interface Request {
    /** Unique within one run of the program, above 0; outcome and packets of this request carry it. */
    long id();

    /**
     * @param urgent whether it stops something: it leaves before everything that waits, and without waiting for an answer, as
     *               an urgent command does
     * @param over   the time that the device is to take for it, by its kind's {@code move}; zero: at once, by its {@code set}
     */
    record SetProperty(long id, String property, Value value, boolean urgent, Duration over) implements Request {
        public SetProperty(long id, String property, Value value, boolean urgent) {
            this(id, property, value, urgent, Duration.ZERO);
        }

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
