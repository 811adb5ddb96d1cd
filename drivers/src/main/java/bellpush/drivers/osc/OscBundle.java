package bellpush.drivers.osc;

import java.util.List;

/**
 * Packets that belong together, to be acted on in this order at the time given. Bundles may hold bundles, whose time tags
 * must not be earlier than this one's.
 */
public record OscBundle(OscTimeTag timeTag, List<OscPacket> elements) implements OscPacket {
    public OscBundle {
        elements = List.copyOf(elements);
    }

    public OscBundle(OscTimeTag timeTag, OscPacket... elements) {
        this(timeTag, List.of(elements));
    }
}
