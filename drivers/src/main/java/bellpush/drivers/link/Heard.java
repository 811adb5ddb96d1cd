package bellpush.drivers.link;

import bellpush.config.model.Value;
import java.util.Map;

/** What a message of the device turned out to be. Values are site values, each accepted by its property's type. */
sealed interface Heard {
    /** The answer to a question; {@code problem} is what is wrong with it, for people, or empty. */
    record Answered(Exchange exchange, Map<String, Value> values, String problem) implements Heard {}

    record Accepted(Exchange exchange, Map<String, Value> values) implements Heard {}

    record Refused(Exchange exchange, String means) implements Heard {}

    /** The device told something by itself; no values: something known that needs no action. */
    record Told(Map<String, Value> values, Map<String, Value> wire) implements Heard {}

    record Beat() implements Heard {}

    record Greeting() implements Heard {}

    /** An ok, refusal or answer that no request waits for. */
    record Unawaited(String what) implements Heard {}

    /** It fits a template, but a property cannot hold its value; {@code values} are those that can be held. */
    record Unheld(Map<String, Value> values, String problem) implements Heard {}

    record Strange() implements Heard {}
}
