package bellpush.drivers.tcp;

import bellpush.config.model.Device;
import bellpush.config.model.Framing;
import bellpush.config.model.Kind;
import bellpush.config.model.Limits;
import bellpush.drivers.link.TcpLink;
import bellpush.drivers.link.Templates;
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

/** Text and binary messages over TCP. */
public final class TcpDriver implements Driver {
    @Override
    public String name() {
        return "tcp";
    }

    @Override
    public List<String> complaints(Kind kind) {
        var complaints = new ArrayList<String>();
        if (kind.framing() instanceof Framing.None) {
            complaints.add(
                    "A kind of the driver \"tcp\" needs a \"framing\": without it nobody can tell where one message "
                            + "ends and the next begins.");
        }
        if (!Templates.onlyTextAndHex(kind)) {
            complaints.add("The driver \"tcp\" sends text and hex messages only.");
        }
        return List.copyOf(complaints);
    }

    @Override
    public Link open(Device device, Limits limits, LinkHost host) {
        return TcpLink.open(device, limits, host, new WireCodec(device.kind()), device.kind().framing());
    }

    @Override
    public Optional<SimulatedDevice> simulate(Device device, EventLoop loop, long seed, InetSocketAddress at) {
        return Optional
                .of(Simulation.onStream(device, new WireCodec(device.kind()), device.kind().framing(), loop, seed, at));
    }
}
