package bellpush.drivers.osc;

import bellpush.config.model.Device;
import bellpush.config.model.Kind;
import bellpush.config.model.Limits;
import bellpush.drivers.link.TcpLink;
import bellpush.drivers.link.UdpLink;
import bellpush.drivers.sim.Simulation;
import bellpush.drivers.spi.Driver;
import bellpush.drivers.spi.Link;
import bellpush.drivers.spi.LinkHost;
import bellpush.drivers.spi.SimulatedDevice;
import io.netty.channel.EventLoop;
import java.net.InetSocketAddress;
import java.time.InstantSource;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * The driver {@code osc}: OSC 1.0 and what OSC 1.1 adds, in datagrams, or over TCP where the kind says {@code "stream":
 * true}, each packet behind its size ({@code "length": "u32"}, as OSC 1.0 has it, and the default) or in SLIP (as OSC 1.1
 * has it). A device that answers from another port than the one it listens on is not heard: replies must come from the
 * device's own address.
 */
public final class OscDriver implements Driver {
    @Override
    public String name() {
        return "osc";
    }

    @Override
    public List<String> complaints(Kind kind) {
        return OscKind.of(kind).complaints();
    }

    @Override
    public Link open(Device device, Limits limits, LinkHost host) {
        OscCodec codec = codec(device, host);
        return device.kind().stream()
                ? TcpLink.open(device, limits, host, codec, OscKind.framing(device.kind()))
                : UdpLink.open(device, limits, host, codec);
    }

    /** A device's settings come before its kind's. Wrong ones are said and left aside: the show must go on. */
    private static OscCodec codec(Device device, LinkHost host) {
        Map<String, Object> settings = new HashMap<>(device.kind().settings());
        settings.putAll(device.settings());
        OscSettings read = OscSettings.NONE;
        try {
            read = OscSettings.of(settings);
        } catch (IllegalArgumentException e) {
            host.noted("the settings of \"" + device.name() + "\" are left aside: " + e.getMessage());
        }
        InstantSource clock = InstantSource.system();
        return read.sendAhead().isPresent()
                ? OscCodec.sendingAhead(device.kind(), read.sendAhead().get(), clock)
                : OscCodec.of(device.kind(), clock);
    }

    /** The device answers bare messages, whatever its kind has us send. */
    @Override
    public Optional<SimulatedDevice> simulate(Device device, EventLoop loop, long seed, InetSocketAddress at) {
        Kind kind = device.kind();
        OscCodec codec = OscCodec.of(kind, InstantSource.system());
        return Optional.of(kind.stream()
                ? Simulation.onStream(device, codec, OscKind.framing(kind), loop, seed, at)
                : Simulation.onDatagrams(device, codec, loop, seed, at));
    }
}
