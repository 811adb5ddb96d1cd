package bellpush.drivers.osc;

import java.util.List;

/**
 * An address and its arguments. Whether it may be sent is decided by {@link OscEncoder}; a received message may hold what
 * we would never send.
 *
 * @param address begins with {@code /}; may be an {@link OscAddressPattern}
 */
public record OscMessage(String address, List<OscValue> arguments) implements OscPacket {
    public OscMessage {
        arguments = List.copyOf(arguments);
    }

    public OscMessage(String address, OscValue... arguments) {
        this(address, List.of(arguments));
    }
}
