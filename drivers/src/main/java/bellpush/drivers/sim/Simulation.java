package bellpush.drivers.sim;

import bellpush.config.model.Device;
import bellpush.config.model.Framing;
import bellpush.config.model.Limits;
import bellpush.drivers.link.MessageCodec;
import bellpush.drivers.link.StreamFraming;
import bellpush.drivers.spi.SimulatedDevice;
import io.netty.channel.EventLoop;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.InetSocketAddress;

/**
 * Makes simulated devices for drivers. Not to be called on the device's own event loop, which must be free to open the
 * socket while the caller waits. Close a device before its loop ends, or its port stays taken until the process ends.
 */
public final class Simulation {
    private static final int MESSAGE_BYTES_MAX = Limits.DEFAULT.messageBytes();

    private Simulation() {}

    /**
     * A device that listens for TCP connections when this returns.
     *
     * @param codec a codec of its own
     * @param seed  for its random faults and effects
     * @param at    where to listen; port 0 picks a free one
     * @throws UncheckedIOException if it cannot listen there; the message is for people
     * @throws IllegalArgumentException if this framing cannot be; the message is for people
     */
    public static <F> SimulatedDevice onStream(Device device, MessageCodec<F> codec, Framing framing, EventLoop loop,
            long seed, InetSocketAddress at) {
        StreamFraming.of(framing, MESSAGE_BYTES_MAX); // to refuse it now, not at the first connection
        return make(device, codec, loop, seed, at,
                ear -> new TcpSocket(loop, () -> StreamFraming.of(framing, MESSAGE_BYTES_MAX), at, ear));
    }

    /**
     * A device that takes datagrams when this returns.
     *
     * @param codec a codec of its own
     * @param seed  for its random faults and effects
     * @param at    where to listen; port 0 picks a free one
     * @throws UncheckedIOException if it cannot listen there; the message is for people
     */
    public static <F> SimulatedDevice onDatagrams(Device device, MessageCodec<F> codec, EventLoop loop, long seed,
            InetSocketAddress at) {
        return make(device, codec, loop, seed, at, ear -> new UdpSocket(loop, at, ear));
    }

    private static <F> SimulatedGear<F> make(Device device, MessageCodec<F> codec, EventLoop loop, long seed,
            InetSocketAddress at, SimulatedGear.Plug plug) {
        if (loop.inEventLoop()) {
            throw new IllegalStateException("a simulated device cannot be made on its own event loop");
        }
        try {
            return new SimulatedGear<>(device.kind(), codec, loop, seed, plug).start();
        } catch (IOException e) {
            throw new UncheckedIOException("the simulated device \"" + device.name() + "\" cannot listen at " + at
                    + ": " + e.getMessage(), e);
        }
    }
}
