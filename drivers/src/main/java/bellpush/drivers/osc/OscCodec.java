package bellpush.drivers.osc;

import bellpush.config.model.Kind;
import bellpush.config.model.Template;
import bellpush.config.model.Value;
import bellpush.drivers.link.MalformedMessageException;
import bellpush.drivers.link.MessageCodec;
import java.time.Duration;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * OSC messages of one kind. The templates are made ready once; one codec belongs to one link or one simulated device, and
 * is used on that one's event loop only.
 *
 * <p>
 * What arrives in bundles is handed on message by message, in the order of the packet. A time tag in the future holds a
 * message back, up to {@link #HOLD_MAX}: a time further ahead than that is not a plan but a clock that is set wrong, and a
 * report that is held back for hours would be a lie, so such a message counts at once, like one whose time has passed. A
 * bundle within a bundle is never acted on before the bundle around it.
 */
public final class OscCodec implements MessageCodec<OscMessage> {
    /** The furthest ahead that a received time tag is believed. */
    public static final Duration HOLD_MAX = Duration.ofSeconds(10);
    /** What {@link #show} keeps to, in UTF-16 units. */
    private static final int SHOWN_MAX = 400;

    private final Map<Template, OscShape> shapes = new IdentityHashMap<>();
    private final Optional<Duration> sendAhead;
    private final InstantSource clock;
    /** The message that {@link #match} was asked about last: it is asked about one after another, for many templates. */
    private OscMessage received;
    private ReceivedAddress receivedAddress;

    private OscCodec(Kind kind, Optional<Duration> sendAhead, InstantSource clock) {
        this.sendAhead = sendAhead;
        this.clock = clock;
        OscKind.of(kind).entries().forEach(e -> shapes.put(e.template(), e.shape()));
    }

    /** For messages that leave bare. A template of the kind that makes no sense fails when it is used. */
    public static OscCodec of(Kind kind, InstantSource clock) {
        return new OscCodec(kind, Optional.empty(), clock);
    }

    /** For messages that leave in bundles, to be acted on {@code sendAhead} from now by the computer's clock. */
    public static OscCodec sendingAhead(Kind kind, Duration sendAhead, InstantSource clock) {
        return new OscCodec(kind, Optional.of(sendAhead), clock);
    }

    @Override
    public OscMessage encode(Template template, Map<String, Value> fields) {
        OscMessage message = shape(template).encode(fields);
        OscEncoder.size(message); // what cannot be sent is said now, not when it is written
        return message;
    }

    @Override
    public Optional<Map<String, Value>> match(Template template, OscMessage message) {
        if (message != received) {
            received = message;
            receivedAddress = new ReceivedAddress(message.address());
        }
        OscShape shape = shapes.get(template);
        if (shape == null) {
            try {
                shape = shape(template);
            } catch (IllegalArgumentException _) {
                return Optional.empty();
            }
        }
        return shape.match(receivedAddress, message);
    }

    private OscShape shape(Template template) {
        OscShape shape = shapes.get(template);
        if (shape != null) {
            return shape;
        }
        if (template instanceof Template.Osc osc) {
            return OscShape.of(osc, _ -> Optional.empty());
        }
        throw new IllegalArgumentException("the driver osc can only send messages written { \"osc\": … }");
    }

    @Override
    public byte[] format(OscMessage message) {
        return OscEncoder.encode(sendAhead.isEmpty()
                ? message
                : new OscBundle(OscTimeTag.of(clock.instant().plus(sendAhead.get())), message));
    }

    @Override
    public List<Arrival<OscMessage>> parse(byte[] frame) throws MalformedMessageException {
        return switch (OscDecoder.decode(frame)) {
            case OscMessage message -> List.of(new Arrival<>(message, 0));
            case OscBundle bundle -> {
                List<Arrival<OscMessage>> arrivals = new ArrayList<>();
                flatten(bundle, 0, OscTimeTag.of(clock.instant()), arrivals);
                yield arrivals;
            }
        };
    }

    private static void flatten(OscBundle bundle, long notBeforeNanos, OscTimeTag now,
            List<Arrival<OscMessage>> arrivals) {
        long ahead = bundle.timeTag().nanosAfter(now);
        long delayNanos = ahead > HOLD_MAX.toNanos() ? notBeforeNanos : Math.max(ahead, notBeforeNanos);
        for (OscPacket element : bundle.elements()) {
            switch (element) {
                case OscMessage message -> arrivals.add(new Arrival<>(message, delayNanos));
                case OscBundle inner -> flatten(inner, delayNanos, now, arrivals);
            }
        }
    }

    @Override
    public String show(OscMessage message) {
        return OscText.shown(message, SHOWN_MAX);
    }
}
