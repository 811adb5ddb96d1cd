package bellpush.drivers.udp;

import bellpush.config.model.Device;
import bellpush.config.model.Framing;
import bellpush.config.model.Kind;
import bellpush.config.model.Limits;
import bellpush.drivers.link.Templates;
import bellpush.drivers.link.UdpLink;
import bellpush.drivers.link.WireCodec;
import bellpush.drivers.sim.Simulation;
import bellpush.drivers.spi.Driver;
import bellpush.drivers.spi.Link;
import bellpush.drivers.spi.LinkHost;
import bellpush.drivers.spi.SimulatedDevice;
import io.netty.channel.EventLoop;
import java.net.InetSocketAddress;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/** Text and binary messages over UDP, one in each datagram. */
public final class UdpDriver implements Driver {
    @Override
    public String name() {
        return "udp";
    }

    @Override
    public List<String> complaints(Kind kind) {
        var complaints = new ArrayList<String>();
        if (!(kind.framing() instanceof Framing.None)) {
            complaints.add("A kind of the driver \"udp\" has no \"framing\": a datagram is one message.");
        }
        if (kind.greeting().isPresent()) {
            complaints
                    .add("A kind of the driver \"udp\" has no \"greeting\": there is no connection to be greeted on.");
        }
        if (!Templates.onlyTextAndHex(kind)) {
            complaints.add("The driver \"udp\" sends text and hex messages only.");
        }
        return List.copyOf(complaints);
    }

    @Override
    public Link open(Device device, Limits limits, LinkHost host) {
        return UdpLink.open(device, limits, host, new WireCodec(device.kind()));
    }

    @Override
    public Optional<SimulatedDevice> simulate(Device device, EventLoop loop, long seed, InetSocketAddress at) {
        return Optional.of(Simulation.onDatagrams(device, new WireCodec(device.kind()), loop, seed, at));
    }
}
