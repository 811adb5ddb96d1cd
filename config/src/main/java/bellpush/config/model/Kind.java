package bellpush.config.model;

import java.time.Duration;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;

/**
 * The reusable description of how one model of device is spoken to. Maps keep the order written.
 *
 * @param driver   {@code tcp}, {@code udp}, {@code osc}, or the name of a driver from another jar
 * @param stream   for osc only: over a byte stream (tcp) instead of datagrams
 * @param envelope what is put around every message in both directions; the field {@code body} is the message
 * @param reports  messages that tell several properties at once; fields are named like the properties
 * @param greeting what the device sends once when it accepts a connection, before it listens to us
 * @param asks     what to ask after each connect, in this order
 * @param askEvery how often all of {@code asks} are asked again, for devices that do not speak by themselves; zero: never
 * @param fastest  least time between two messages to the device; zero: no limit
 * @param settings free settings for the driver, as plain Java values (Map, List, String, Double, Long, Boolean)
 */
public record Kind(String name, String about, String driver, boolean stream, OptionalInt port, Framing framing,
        Optional<Template> envelope, Map<String, Property> properties, Map<String, Command> commands,
        List<Template> reports, Optional<Template> greeting, List<String> asks, Duration askEvery,
        Optional<Heartbeat> heartbeat, Duration fastest, Answers answers, Map<String, Object> settings, Source at) {

    /** The same kind, but sent everything at once: for trying macros out where nobody answers. */
    public Kind untimed() {
        Map<String, Property> unpaced = new LinkedHashMap<>();
        properties.forEach((key, property) -> unpaced.put(key, property.unpaced()));
        return new Kind(name, about, driver, stream, port, framing, envelope, unpaced, commands, reports, greeting,
                asks, askEvery, heartbeat, Duration.ZERO, answers, settings, at);
    }

    /** Whether messages are datagrams, of which each may be lost or come after one that was sent later. */
    public boolean datagrams() {
        return !driver.equals("tcp") && !stream;
    }
}
