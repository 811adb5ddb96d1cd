package bellpush.drivers.link;

import bellpush.config.model.Kind;
import bellpush.config.model.Template;
import bellpush.config.model.Value;
import bellpush.config.wire.TemplateException;
import bellpush.config.wire.WireTemplate;
import java.util.HashMap;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/** Messages of text and hex templates, for tcp and udp. A message is its bytes, the kind's envelope included. */
public final class WireCodec implements MessageCodec<byte[]> {
    private final Map<Template, WireTemplate> compiled = new IdentityHashMap<>();
    private final Optional<WireTemplate> envelope;

    /** One message is held against many templates; its envelope is opened once. */
    private byte[] lastMessage;
    private Optional<WireTemplate.Unwrapped> lastUnwrapped = Optional.empty();

    /** @throws IllegalArgumentException if the kind's envelope makes no sense; checked sites have none of that sort */
    public WireCodec(Kind kind) {
        envelope = kind.envelope().map(WireCodec::compile);
    }

    private static WireTemplate compile(Template template) {
        try {
            return switch (template) {
                case Template.Text(String text) -> WireTemplate.text(text);
                case Template.Hex(String hex) -> WireTemplate.hex(hex);
                case Template.Osc _ -> throw new IllegalArgumentException("an OSC message needs the driver \"osc\"");
                case Template.ByDriver _ -> throw new IllegalArgumentException(
                        "this driver sends what a template says, and here is none (true)");
            };
        } catch (TemplateException e) {
            throw new IllegalArgumentException(e.getMessage(), e);
        }
    }

    private WireTemplate wire(Template template) {
        WireTemplate wire = compiled.get(template);
        if (wire == null) {
            wire = compile(template);
            compiled.put(template, wire);
        }
        return wire;
    }

    @Override
    public byte[] encode(Template template, Map<String, Value> fields) {
        byte[] body = wire(template).encode(fields);
        return envelope.isPresent() ? envelope.get().wrap(body, fields) : body;
    }

    @Override
    public Optional<Map<String, Value>> match(Template template, byte[] message) {
        WireTemplate wire;
        try {
            wire = wire(template);
        } catch (IllegalArgumentException _) {
            return Optional.empty();
        }
        if (envelope.isEmpty()) {
            return wire.match(message);
        }
        var unwrapped = unwrap(message);
        return unwrapped.flatMap(u -> wire.match(u.body()).map(fields -> together(u.fields(), fields)));
    }

    private Optional<WireTemplate.Unwrapped> unwrap(byte[] message) {
        if (message != lastMessage) {
            lastUnwrapped = envelope.orElseThrow().unwrap(message);
            lastMessage = message;
        }
        return lastUnwrapped;
    }

    /** Of the envelope's fields only its sequence means anything to the message. */
    private static Map<String, Value> together(Map<String, Value> envelope, Map<String, Value> message) {
        Value sequence = envelope.get("sequence");
        if (sequence == null || message.containsKey("sequence")) {
            return message;
        }
        var all = new HashMap<>(message);
        all.put("sequence", sequence);
        return all;
    }

    @Override
    public byte[] format(byte[] message) {
        return message;
    }

    @Override
    public List<Arrival<byte[]>> parse(byte[] frame) throws MalformedMessageException {
        if (envelope.isPresent() && unwrap(frame).isEmpty()) {
            throw new MalformedMessageException("it is not in the envelope of this kind: " + show(frame)
                    + envelope.get().wrongCheck(frame).map(why -> " (" + why + ")").orElse(""));
        }
        return List.of(new Arrival<>(frame, 0));
    }

    @Override
    public String show(byte[] message) {
        return Printable.bytes(message);
    }
}
