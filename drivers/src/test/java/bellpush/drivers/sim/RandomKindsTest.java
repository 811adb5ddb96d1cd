package bellpush.drivers.sim;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Kind;
import bellpush.config.model.Property;
import bellpush.config.model.Template;
import bellpush.config.model.Value;
import bellpush.config.wire.WireTemplate;
import bellpush.drivers.link.MalformedMessageException;
import bellpush.drivers.link.MessageCodec;
import bellpush.drivers.link.WireCodec;
import bellpush.drivers.osc.OscCodec;
import java.time.InstantSource;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** Kinds nobody thought of: what is sent to the device is what it becomes and what it says, over the real codecs. */
class RandomKindsTest {
    private static final int KINDS = 400;
    private static final int SETS = 20;

    private int sets;

    @Test
    void everyValueArrivesAsItselfAndIsReportedAndAnsweredAsItself() throws MalformedMessageException {
        for (long seed = 1; seed <= KINDS; seed++) {
            RandomKinds random = new RandomKinds(seed);
            Kind kind = random.kind();
            if (random.words() == Words.OSC) {
                converse(seed, random, kind, OscCodec.of(kind, InstantSource.system()),
                        OscCodec.of(kind, InstantSource.system()));
            } else {
                assertThat(disagreements(kind)).as("seed %s", seed).isEmpty();
                converse(seed, random, kind, new WireCodec(kind), new WireCodec(kind));
            }
        }
        assertThat(sets).isGreaterThan(KINDS * SETS * 9 / 10);
    }

    /** One end is the device, the other we: each with a codec of its own, bytes between them. */
    private <F> void converse(long seed, RandomKinds random, Kind kind, MessageCodec<F> ours, MessageCodec<F> its)
            throws MalformedMessageException {
        List<byte[]> toAll = new ArrayList<>();
        List<byte[]> toUs = new ArrayList<>();
        Behaviour<F> device = new Behaviour<>(kind, its, new VirtualTime(), seed, m -> toAll.add(its.format(m)));
        Peer<F> we = m -> toUs.add(its.format(m));
        List<Property> properties = List.copyOf(kind.properties().values());
        for (int i = 1; i <= SETS; i++) {
            Property property = properties.get(i % properties.size());
            Value value = random.anyAccepted(property.type());
            String where = "seed " + seed + ", " + property.name() + " = " + value + " in " + property.type();
            Optional<F> set = encode(ours, property.set().orElseThrow(), property.type().toWire(value), i);
            if (set.isEmpty()) {
                continue;
            }
            sets++;
            hand(ours.format(set.get()), its, device, we);
            assertThat(property.type().same(value, device.values().get(property.name())))
                    .as("%s: the device is at %s", where, device.values().get(property.name())).isTrue();
            assertThat(toUs).as(where).hasSize(1);
            Map<String, Value> ok = match(ours, kind.answers().ok().getFirst(), toUs.removeFirst()).orElseThrow();
            assertThat(ok.getOrDefault("sequence", Value.of(i))).as("ok, %s", where).hasToString("" + i);
            assertThat(toAll).as(where).hasSize(1);
            assertSays(ours, property, property.report().orElseThrow(), toAll.removeFirst(), device, where);

            hand(ours.format(encode(ours, property.ask().orElseThrow(), Value.of(0), 1000 + i).orElseThrow()), its,
                    device,
                    we);
            assertThat(toUs).as("asked, %s", where).hasSize(1);
            assertSays(ours, property, property.answer().or(property::report).orElseThrow(), toUs.removeFirst(), device,
                    where);
            assertThat(toAll).as("asked, %s", where).isEmpty();
            assertThat(device.notUnderstood()).as(where).isZero();
        }
    }

    private static <F> void hand(byte[] bytes, MessageCodec<F> its, Behaviour<F> device, Peer<F> we)
            throws MalformedMessageException {
        for (var arrival : its.parse(bytes)) {
            device.received(arrival.message(), we);
        }
    }

    /** Empty for a text that the template cannot carry; that is for the codec to say, and it says so before sending. */
    private <F> Optional<F> encode(MessageCodec<F> codec, Template template, Value value, int sequence) {
        Map<String, Value> fields = new HashMap<>(Map.of("value", value, "sequence", Value.of(sequence)));
        try {
            return Optional.of(codec.encode(template, fields));
        } catch (IllegalArgumentException e) {
            assertThat(value).as(e.getMessage()).isInstanceOf(Value.Text.class);
            return Optional.empty();
        }
    }

    private static <F> Optional<Map<String, Value>> match(MessageCodec<F> codec, Template template, byte[] bytes)
            throws MalformedMessageException {
        var arrivals = codec.parse(bytes);
        assertThat(arrivals).hasSize(1);
        return codec.match(template, arrivals.getFirst().message());
    }

    private static <F> void assertSays(MessageCodec<F> codec, Property property, Template template, byte[] bytes,
            Behaviour<F> device, String where) throws MalformedMessageException {
        Value truth = device.values().get(property.name());
        Value wire = match(codec, template, bytes).orElseThrow(() -> new AssertionError(where)).get("value");
        assertThat(property.type().fromWire(wire)).as("%s: wire %s", where, wire)
                .hasValueSatisfying(said -> assertThat(property.type().same(said, truth))
                        .as("%s: at %s, says %s", where, truth, said).isTrue());
    }

    private static List<String> disagreements(Kind kind) {
        List<String> all = new ArrayList<>();
        for (Property p : kind.properties().values()) {
            for (Template t : List.of(p.set().orElseThrow(), p.report().orElseThrow())) {
                WireTemplate compiled = switch (t) {
                    case Template.Text(String text) -> WireTemplate.text(text);
                    case Template.Hex(String hex) -> WireTemplate.hex(hex);
                    default -> throw new AssertionError(t);
                };
                compiled.disagreements(name -> name.equals("value") ? Optional.of(p.type()) : Optional.empty())
                        .forEach(d -> all.add(t + ": " + d.words()));
            }
        }
        return all;
    }

    /** Whatever arrives, valid messages with bytes changed among it, the device neither throws nor leaves its types. */
    @Test
    void garbageHurtsNobody() {
        for (long seed = 1; seed <= 60; seed++) {
            RandomKinds random = new RandomKinds(seed);
            Kind kind = random.kind();
            if (random.words() == Words.OSC) {
                pester(seed, random, kind, OscCodec.of(kind, InstantSource.system()));
            } else {
                pester(seed, random, kind, new WireCodec(kind));
            }
        }
    }

    private <F> void pester(long seed, RandomKinds values, Kind kind, MessageCodec<F> codec) {
        Random random = new Random(seed);
        VirtualTime time = new VirtualTime();
        Behaviour<F> device = new Behaviour<>(kind, codec, time, seed, codec::format);
        List<Property> properties = List.copyOf(kind.properties().values());
        for (int i = 0; i < 1_000; i++) {
            Property p = properties.get(random.nextInt(properties.size()));
            byte[] bytes = encode(codec, p.set().orElseThrow(), p.type().toWire(values.anyAccepted(p.type())), i)
                    .map(codec::format).orElse(new byte[random.nextInt(64)]);
            for (int n = random.nextInt(4); n > 0 && bytes.length > 0; n--) {
                bytes[random.nextInt(bytes.length)] = (byte) random.nextInt();
            }
            try {
                for (var arrival : codec.parse(bytes)) {
                    device.received(arrival.message(), codec::format);
                }
            } catch (MalformedMessageException e) {
                assertThat(e.getMessage()).isNotBlank();
            }
            device.values().forEach((name, value) -> assertThat(kind.properties().get(name).type().accepts(value))
                    .as("seed %s: %s = %s", seed, name, value).isTrue());
        }
        assertThat(time.waiting()).isZero();
    }
}
