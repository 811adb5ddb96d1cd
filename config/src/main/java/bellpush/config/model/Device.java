package bellpush.config.model;

import java.util.Map;

/**
 * One piece of gear at one address.
 *
 * @param label    what people call it, for messages
 * @param address  host name or IP address
 * @param port     1 to 65535
 * @param settings free settings for the driver, laid over the kind's
 */
public record Device(String name, String label, Kind kind, String address, int port, Map<String, Object> settings,
        Source at) {}
