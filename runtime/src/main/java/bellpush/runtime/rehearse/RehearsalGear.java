package bellpush.runtime.rehearse;

import bellpush.config.model.Device;
import bellpush.config.model.Site;
import bellpush.drivers.spi.Driver;
import bellpush.drivers.spi.SimulatedDevice;
import io.netty.channel.EventLoop;
import io.netty.channel.MultiThreadIoEventLoopGroup;
import io.netty.channel.nio.NioIoHandler;
import io.netty.util.concurrent.FastThreadLocalThread;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ThreadFactory;
import java.util.concurrent.TimeUnit;
import java.util.function.Function;

/**
 * Every device of a site, played from its kind over a real loopback socket. They share one thread of their own,
 * {@code gear}, so that the core meets them as it would meet boxes on a network. May be called from any thread.
 */
public final class RehearsalGear implements AutoCloseable {
    private final MultiThreadIoEventLoopGroup group = new MultiThreadIoEventLoopGroup(1,
            (ThreadFactory) task -> new FastThreadLocalThread(task, "gear"), NioIoHandler.newFactory());
    private final Map<String, SimulatedDevice> devices = new LinkedHashMap<>();
    private final List<String> missing = new ArrayList<>();
    private final Site site;

    private RehearsalGear(Site real, Function<String, Driver> drivers, long seed) {
        Map<String, Device> rehearsed = new LinkedHashMap<>();
        EventLoop loop = group.next();
        InetSocketAddress anyPort = new InetSocketAddress(InetAddress.getLoopbackAddress(), 0);
        long deviceSeed = seed;
        for (Device device : real.devices().values()) {
            Optional<SimulatedDevice> played = drivers.apply(device.kind().driver()).simulate(device, loop,
                    deviceSeed++,
                    anyPort);
            if (played.isPresent()) {
                devices.put(device.name(), played.get());
                InetSocketAddress at = played.get().address();
                rehearsed.put(device.name(), new Device(device.name(), device.label(), device.kind(),
                        at.getAddress().getHostAddress(), at.getPort(), device.settings(), device.at()));
            } else {
                // Never the real address: a rehearsal must not move real gear.
                missing.add(device.name());
                rehearsed.put(device.name(), new Device(device.name(), device.label(), device.kind(),
                        anyPort.getAddress().getHostAddress(), 9, device.settings(), device.at()));
            }
        }
        site = new Site(real.folder(), real.name(), real.frameRate(), real.limits(), real.panel(), rehearsed,
                real.macros());
    }

    /**
     * Starts all devices.
     *
     * @param drivers finds a driver by name
     * @param seed    for everything that is random in the devices' faults
     */
    public static RehearsalGear start(Site site, Function<String, Driver> drivers, long seed) {
        return new RehearsalGear(site, drivers, seed);
    }

    /** The site as it was, with every device at its loopback address. */
    public Site site() {
        return site;
    }

    public SimulatedDevice device(String name) {
        SimulatedDevice device = devices.get(name);
        if (device == null) {
            throw new IllegalArgumentException("\"" + name + "\" is not simulated");
        }
        return device;
    }

    /** Devices whose driver has no simulation; they stay down in a rehearsal. */
    public List<String> missing() {
        return List.copyOf(missing);
    }

    @Override
    public void close() {
        devices.values().forEach(SimulatedDevice::close);
        group.shutdownGracefully(0, 2, TimeUnit.SECONDS).awaitUninterruptibly(2, TimeUnit.SECONDS);
    }
}
