package bellpush.drivers.spi;

import bellpush.config.model.Device;
import bellpush.config.model.Kind;
import bellpush.config.model.Limits;
import io.netty.channel.EventLoop;
import java.net.InetSocketAddress;
import java.util.List;
import java.util.Optional;

/**
 * A way to speak to devices. A jar offers one by naming its class in {@code META-INF/services/bellpush.drivers.spi.Driver}.
 * A driver holds no state of its own; each link and each simulated device does.
 */
public interface Driver {
    /** The word that kinds name in {@code "driver"}: lower-case letters, digits and hyphens. */
    String name();

    /** What this driver cannot work with in a kind, one sentence each; empty if all is well. Called when a site is checked. */
    default List<String> complaints(Kind kind) {
        return List.of();
    }

    /** Opens the link and keeps it open: connecting, and connecting again, is the link's own business. */
    Link open(Device device, Limits limits, LinkHost host);

    /**
     * A stand-in for the device on a real loopback socket, or empty if this driver has none.
     *
     * @param loop the loop the simulated device lives on (not the core's); not to be called on that loop itself
     * @param seed for its random faults and for what its kind leaves unknown
     * @param at   where to listen; port 0 picks a free one
     * @throws java.io.UncheckedIOException if it cannot listen there; the message is for people
     */
    default Optional<SimulatedDevice> simulate(Device device, EventLoop loop, long seed, InetSocketAddress at) {
        return Optional.empty();
    }
}
