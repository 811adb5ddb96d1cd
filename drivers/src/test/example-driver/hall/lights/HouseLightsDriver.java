package hall.lights;

import bellpush.config.model.Device;
import bellpush.config.model.Kind;
import bellpush.config.model.Limits;
import bellpush.drivers.spi.Driver;
import bellpush.drivers.spi.Link;
import bellpush.drivers.spi.LinkHost;
import java.util.List;

/**
 * A worked example of a driver in a jar of its own: an invented dimmer for house lights that no kind in JSON can describe,
 * because it scrambles each level with a number that it gave out in its answer before.
 *
 * <p>To make such a driver: compile against the jars bellpush-config, bellpush-drivers and Netty; put the name of this
 * class into {@code META-INF/services/bellpush.drivers.spi.Driver}; pack both into a jar.
 *
 * <p>The kind: {@code { "driver": "house-lights", "properties": { "level": { "type": "whole", "range": [0, 100],
 * "set": true, "ask": true, "report": true } } }}.
 */
public final class HouseLightsDriver implements Driver {
    @Override
    public String name() {
        return "house-lights";
    }

    @Override
    public List<String> complaints(Kind kind) {
        return kind.properties().containsKey("level") && kind.properties().size() == 1
                ? List.of()
                : List.of("House lights have exactly one property, \"level\".");
    }

    @Override
    public Link open(Device device, Limits limits, LinkHost host) {
        return new HouseLightsLink(device, host);
    }
}
