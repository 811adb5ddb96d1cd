package bellpush.drivers.spi;

import bellpush.config.model.Rehearsal.Fault;
import bellpush.config.model.Value;
import java.net.InetSocketAddress;
import java.util.Map;

/** A device played by the computer, from its kind, over a real socket. May be called from any thread. */
public interface SimulatedDevice extends AutoCloseable {
    /** Where it listens. The same for its whole life, also after it was off. */
    InetSocketAddress address();

    /** What the device itself is set to now: the truth, whatever anybody believes. A snapshot. */
    Map<String, Value> values();

    /** Somebody changes properties at the device itself; it reports what its kind reports. */
    void change(Map<String, Value> values);

    /** The fault begins (or, with {@code Works}, ends) before this returns or soon after. Takes the place of the fault before. */
    void fault(Fault fault);

    /** Stops and releases the port. */
    @Override
    void close();
}
