package bellpush.drivers.osc;

import static bellpush.drivers.osc.OscTestKind.field;
import static bellpush.drivers.osc.OscTestKind.literal;
import static bellpush.drivers.osc.OscTestKind.osc;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import bellpush.config.model.PropertyType;
import bellpush.config.model.Template;
import bellpush.config.model.Value;
import bellpush.drivers.link.MessageCodec.Arrival;
import java.time.Duration;
import java.time.Instant;
import java.time.InstantSource;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class OscCodecTest {
    private static final Instant NOW = Instant.parse("2026-11-25T19:30:00Z");
    private final OscCodec codec = OscCodec.of(OscTestKind.datagrams(), InstantSource.fixed(NOW));

    @Test
    void theValueDecidesWhereTheTemplateNamesNoTag() {
        assertThat(sent(' ', Value.of(3))).isEqualTo(new OscValue.Int32(3));
        assertThat(sent(' ', Value.of(0.5))).isEqualTo(new OscValue.Float32(0.5f));
        assertThat(sent(' ', Value.of(1e12))).isEqualTo(new OscValue.Int64(1_000_000_000_000L));
        assertThat(sent(' ', Value.of(true))).isEqualTo(OscValue.Flag.ON);
        assertThat(sent(' ', Value.of("titles"))).isEqualTo(new OscValue.Text("titles"));
    }

    @Test
    void aPropertyOfNumbersIsAlwaysAFloatAndAWholeOneNever() {
        assertThat(codec.encode(OscTestKind.LEVEL_SET, Map.of("value", Value.of(0))))
                .isEqualTo(new OscMessage("/channel/1/level", new OscValue.Float32(0)));
        assertThat(codec.encode(OscTestKind.LEVEL_SET, Map.of("value", Value.of(-6.5))))
                .isEqualTo(new OscMessage("/channel/1/level", new OscValue.Float32(-6.5f)));
        assertThat(codec.encode(OscTestKind.MUTE_SET, Map.of("value", Value.of(1))))
                .isEqualTo(new OscMessage("/channel/1/mute", new OscValue.Int32(1)));
        assertThat(codec.encode(OscTestKind.LINE,
                Map.of("title", Value.of("Song"), "level", Value.of(-3), "mute", Value.of(0))))
                .isEqualTo(new OscMessage("/line", new OscValue.Text("Song"), new OscValue.Float32(-3),
                        new OscValue.Int32(0)));
    }

    /** At an end of its scale a share happens to be whole; the device still gets the type that it gets in between. */
    @Test
    void aScaleOfSharesIsAlwaysAFloatAndOneOfWholeNumbersNever() {
        assertThat(scaled(-1, 1)).isEqualTo(new OscValue.Float32(1));
        assertThat(scaled(0, 1)).isEqualTo(new OscValue.Float32(1));
        assertThat(scaled(0, 255)).isEqualTo(new OscValue.Int32(1));
    }

    private static OscValue scaled(double from, double to) {
        PropertyType type = new PropertyType.Number(-60, 10, 0.5, "dB",
                Optional.of(new PropertyType.WireRange(from, to)));
        return OscShape.of(osc("/x", field("value")), _ -> Optional.of(type))
                .encode(Map.of("value", Value.of(1))).arguments().getFirst();
    }

    @Test
    void anExplicitTagTurnsTheValueIntoItsType() {
        assertThat(sent('i', Value.of(true))).isEqualTo(new OscValue.Int32(1));
        assertThat(sent('i', Value.of("12"))).isEqualTo(new OscValue.Int32(12));
        assertThat(sent('f', Value.of(3))).isEqualTo(new OscValue.Float32(3));
        assertThat(sent('d', Value.of(0.1))).isEqualTo(new OscValue.Float64(0.1));
        assertThat(sent('h', Value.of(5))).isEqualTo(new OscValue.Int64(5));
        assertThat(sent('T', Value.of(1))).isEqualTo(OscValue.Flag.ON);
        assertThat(sent('F', Value.of(1))).isEqualTo(OscValue.Flag.ON);
        assertThat(sent('T', Value.of(false))).isEqualTo(OscValue.Flag.OFF);
        assertThat(sent('s', Value.of(2))).isEqualTo(new OscValue.Text("2"));
        assertThat(sent('S', Value.of("x"))).isEqualTo(new OscValue.Symbol("x"));
        assertThat(sent('c', Value.of("A"))).isEqualTo(new OscValue.Char('A'));
        assertThat(sent('b', Value.of("01 02 ff"))).isEqualTo(new OscValue.Blob(new byte[]{1, 2, -1}));
        assertThat(sent('r', Value.of("ff8000c0"))).isEqualTo(new OscValue.Colour(0xff8000c0));
        assertThat(sent('m', Value.of("01903c7f"))).isEqualTo(new OscValue.Midi(0x01903c7f));
        assertThat(sent('t', Value.of("immediately"))).isEqualTo(new OscValue.Time(OscTimeTag.IMMEDIATELY));
        assertThat(sent('t', Value.of("bc17c20000000000")))
                .isEqualTo(new OscValue.Time(new OscTimeTag(0xbc17c200_00000000L)));
    }

    @ParameterizedTest
    @CsvSource({"i,0.5", "i,3000000000", "h,1e300", "f,1e300", "T,2", "c,500", "b,123", "r,12", "i,slides", "T,slides",
        "c,slides", "t,soon"})
    void aValueThatDoesNotFitIsAnErrorInWords(char tag, String value) {
        Value given = value.matches("[\\d.e]+") ? Value.of(Double.parseDouble(value)) : Value.of(value);
        assertThatThrownBy(() -> sent(tag, given)).isInstanceOf(IllegalArgumentException.class)
                .hasMessageStartingWith("{value} cannot be sent: ");
    }

    @Test
    void aMissingValueIsAnErrorInWords() {
        assertThatThrownBy(() -> codec.encode(OscTestKind.MUTE_SET, Map.of())).hasMessageContaining("{value}");
        assertThatThrownBy(() -> codec.encode(OscTestKind.SCENE, Map.of())).hasMessageContaining("{number}");
        assertThatThrownBy(() -> codec.encode(new Template.Text("MUTE"), Map.of())).hasMessageContaining("\"osc\"");
    }

    @Test
    void literalsAreSentAndMustBeEqual() {
        Template template = osc("/all", literal(' ', Value.of(3)), literal(' ', Value.of(0.1)),
                literal(' ', Value.of("x")), literal(' ', Value.of(true)), literal(' ', null),
                literal('h', Value.of(5)), literal('I', null));
        OscMessage message = codec.encode(template, Map.of());
        assertThat(message).isEqualTo(new OscMessage("/all", new OscValue.Int32(3), new OscValue.Float32(0.1f),
                new OscValue.Text("x"), OscValue.Flag.ON, OscValue.Nil.NIL, new OscValue.Int64(5),
                OscValue.Impulse.IMPULSE));
        assertThat(codec.match(template, message)).contains(Map.of());
        assertThat(codec.match(osc("/n", literal(' ', Value.of(3))), new OscMessage("/n", new OscValue.Float64(3))))
                .isPresent();
        assertThat(codec.match(osc("/n", literal(' ', Value.of(0.1))),
                new OscMessage("/n", new OscValue.Float64(0.1)))).isPresent();
        assertThat(codec.match(osc("/n", literal(' ', Value.of(3))), new OscMessage("/n", new OscValue.Int32(4))))
                .isEmpty();
        assertThat(codec.match(osc("/n", literal(' ', Value.of("x"))), new OscMessage("/n", new OscValue.Text("X"))))
                .isEmpty();
        assertThat(codec.match(osc("/n", literal(' ', null)), new OscMessage("/n", OscValue.Impulse.IMPULSE)))
                .isEmpty();
    }

    @Test
    void whatArrivesBecomesWireValues() {
        assertThat(heard(new OscValue.Int32(3))).contains(Value.of(3));
        assertThat(heard(new OscValue.Int64(3))).contains(Value.of(3));
        assertThat(heard(new OscValue.Float32(0.1f))).contains(Value.of(0.1));
        assertThat(heard(new OscValue.Float64(0.1))).contains(Value.of(0.1));
        assertThat(heard(new OscValue.Text("a"))).contains(Value.of("a"));
        assertThat(heard(new OscValue.Symbol("a"))).contains(Value.of("a"));
        assertThat(heard(new OscValue.Char('a'))).contains(Value.of("a"));
        assertThat(heard(new OscValue.Blob(new byte[]{1, -1}))).contains(Value.of("01ff"));
        assertThat(heard(OscValue.Flag.ON)).contains(Value.of(true));
        assertThat(heard(new OscValue.Float32(Float.NaN))).isEmpty();
        assertThat(heard(new OscValue.Float64(Double.POSITIVE_INFINITY))).isEmpty();
        assertThat(heard(OscValue.Nil.NIL)).isEmpty();
        assertThat(heard(new OscValue.Array(List.of()))).isEmpty();
        assertThat(heard(new OscValue.Unreadable("q", 4))).isEmpty();
    }

    @Test
    void aFieldWithATagTakesItsOwnSort() {
        Template number = osc("/x", field('i', "value"));
        Template text = osc("/x", field('s', "value"));
        assertThat(codec.match(number, new OscMessage("/x", new OscValue.Float32(2)))).isPresent();
        assertThat(codec.match(number, new OscMessage("/x", OscValue.Flag.OFF))).isPresent();
        assertThat(codec.match(number, new OscMessage("/x", new OscValue.Text("2")))).isEmpty();
        assertThat(codec.match(text, new OscMessage("/x", new OscValue.Symbol("2")))).isPresent();
        assertThat(codec.match(text, new OscMessage("/x", new OscValue.Int32(2)))).isEmpty();
    }

    @Test
    void flagsOnTheWireAreFlagsWhateverTheirType() {
        PropertyType flag = new PropertyType.Flag(Value.of(0), Value.of(1));
        for (OscValue on : List.of(OscValue.Flag.ON, new OscValue.Int32(1), new OscValue.Float32(1))) {
            assertThat(flag.fromWire(heard(on).orElseThrow())).contains(Value.of(true));
        }
        for (OscValue off : List.of(OscValue.Flag.OFF, new OscValue.Int64(0), new OscValue.Float64(-0.0))) {
            assertThat(flag.fromWire(heard(off).orElseThrow())).contains(Value.of(false));
        }
        assertThat(flag.fromWire(heard(new OscValue.Int32(2)).orElseThrow())).isEmpty();
    }

    @Test
    void theNumberOfArgumentsMustAgree() {
        assertThat(codec.match(OscTestKind.MUTE_SET, new OscMessage("/channel/1/mute"))).isEmpty();
        assertThat(codec.match(OscTestKind.MUTE_SET,
                new OscMessage("/channel/1/mute", OscValue.Flag.ON, OscValue.Flag.ON))).isEmpty();
    }

    @Test
    void anythingFitsTheFieldAny() {
        Template any = osc("/x/{any}", field("any"));
        assertThat(codec.match(any, new OscMessage("/x/y", OscValue.Nil.NIL))).contains(Map.of());
        assertThat(codec.match(any, new OscMessage("/x/y", new OscValue.Array(List.of())))).contains(Map.of());
        assertThat(codec.encode(any, Map.of())).isEqualTo(new OscMessage("/x/1", new OscValue.Int32(1)));
    }

    /** OSC 1.0, pattern matching: a pattern applies to every address that it fits. */
    @Test
    void aPatternOnReceiveMeansEveryAddressThatItFits() {
        OscMessage all = new OscMessage("/channel/*/mute", OscValue.Flag.ON);
        OscMessage either = new OscMessage("//{mute,level}", OscValue.Flag.ON);
        OscMessage second = new OscMessage("/channel/[2-9]/mute", OscValue.Flag.ON);
        OscMessage broken = new OscMessage("/channel/[1/mute", OscValue.Flag.ON);
        assertThat(codec.match(OscTestKind.MUTE_SET, all)).contains(Map.of("value", Value.of(true)));
        assertThat(codec.match(OscTestKind.LEVEL_SET, all)).isEmpty();
        assertThat(codec.match(OscTestKind.MUTE_SET, either)).isPresent();
        assertThat(codec.match(OscTestKind.LEVEL_SET, either)).isPresent();
        assertThat(codec.match(OscTestKind.MUTE_SET, second)).isEmpty();
        assertThat(codec.match(OscTestKind.MUTE_SET, broken)).isEmpty();
    }

    @Test
    void fieldsOfAnAddressAreWrittenAndRead() {
        assertThat(codec.encode(OscTestKind.SCENE, Map.of("number", Value.of(7))))
                .isEqualTo(new OscMessage("/scene/07/recall"));
        assertThat(codec.match(OscTestKind.SCENE, new OscMessage("/scene/07/recall")))
                .contains(Map.of("number", Value.of(7)));
        assertThat(codec.match(OscTestKind.SCENE, new OscMessage("/scene/*/recall"))).isEmpty();
        assertThat(codec.match(OscTestKind.SCENE, new OscMessage("/scene/07/re*")))
                .contains(Map.of("number", Value.of(7)));
        assertThat(codec.match(OscTestKind.SCENE, new OscMessage("/scene/7/recall"))).isEmpty();
        assertThat(codec.match(OscTestKind.SCENE, new OscMessage("/scene/07/recall/x"))).isEmpty();

        Template piece = osc("/ch-{channel}-{what}/x");
        assertThat(codec.match(piece, new OscMessage("/ch-1-mute/x")))
                .contains(Map.of("channel", Value.of("1"), "what", Value.of("mute")));
        assertThat(codec.encode(piece, Map.of("channel", Value.of(1), "what", Value.of("mute"))))
                .isEqualTo(new OscMessage("/ch-1-mute/x"));
        assertThatThrownBy(
                () -> codec.encode(piece, Map.of("channel", Value.of("a/b"), "what", Value.of("mute"))))
                .hasMessageContaining("{channel}").hasMessageContaining("a part of an OSC address");
        assertThatThrownBy(() -> codec.encode(OscTestKind.SCENE, Map.of("number", Value.of(100))))
                .hasMessageContaining("not 2 digits");

        Template twice = osc("/{a}/{a}");
        assertThat(codec.match(twice, new OscMessage("/x/x"))).isPresent();
        assertThat(codec.match(twice, new OscMessage("/x/y"))).isEmpty();
        assertThat(codec.encode(osc("/{{x,y}}/z"), Map.of())).isEqualTo(new OscMessage("/{x,y}/z"));
    }

    @Test
    void matchNeverThrowsWhateverArrives() throws Exception {
        List<Template> templates = List.of(OscTestKind.LINE, OscTestKind.SCENE, OscTestKind.MUTE_SET,
                osc("/{x}", field("y")), osc("/", field("y")), new Template.Text("x"));
        HostilePackets hostile = new HostilePackets(99);
        for (int n = 0; n < 5_000; n++) {
            try {
                for (Arrival<OscMessage> arrival : codec.parse(hostile.next())) {
                    templates.forEach(t -> codec.match(t, arrival.message()));
                }
            } catch (bellpush.drivers.link.MalformedMessageException _) {
                continue;
            }
        }
    }

    @Test
    void bundlesBecomeMessagesInOrderHeldBackUntilTheirTime() throws Exception {
        OscMessage a = new OscMessage("/a");
        OscMessage b = new OscMessage("/b");
        OscMessage c = new OscMessage("/c");
        assertThat(arrivals(new OscBundle(OscTimeTag.IMMEDIATELY, a, b, c)))
                .containsExactly(new Arrival<>(a, 0), new Arrival<>(b, 0), new Arrival<>(c, 0));
        assertThat(arrivals(new OscBundle(in(Duration.ofMillis(250)), a, b,
                new OscBundle(in(Duration.ofSeconds(1)), c, a), c)))
                .containsExactly(new Arrival<>(a, 250_000_000), new Arrival<>(b, 250_000_000),
                        new Arrival<>(c, 1_000_000_000), new Arrival<>(a, 1_000_000_000),
                        new Arrival<>(c, 250_000_000));
        assertThat(arrivals(new OscBundle(in(Duration.ofMillis(-250)), a))).containsExactly(new Arrival<>(a, 0));
        assertThat(arrivals(new OscBundle(in(Duration.ofSeconds(10)), a)))
                .containsExactly(new Arrival<>(a, 10_000_000_000L));
        assertThat(arrivals(new OscBundle(in(Duration.ofSeconds(11)), a))).containsExactly(new Arrival<>(a, 0));
        assertThat(arrivals(new OscBundle(OscTimeTag.IMMEDIATELY))).isEmpty();
        assertThat(codec.parse(OscEncoder.encode(a))).containsExactly(new Arrival<>(a, 0));
    }

    @Test
    void messagesCanBeSentAheadOfTheirTime() throws Exception {
        OscCodec ahead = OscCodec.sendingAhead(OscTestKind.datagrams(), Duration.ofMillis(50),
                InstantSource.fixed(NOW));
        OscMessage message = new OscMessage("/a", new OscValue.Int32(1));
        assertThat(OscDecoder.decode(ahead.format(message)))
                .isEqualTo(new OscBundle(in(Duration.ofMillis(50)), message));
        assertThat(codec.parse(ahead.format(message))).containsExactly(new Arrival<>(message, 50_000_000));
        assertThat(OscDecoder.decode(codec.format(message))).isEqualTo(message);
    }

    @Test
    void messagesAreShownOnOneShortLine() {
        assertThat(codec.show(new OscMessage("/key/fill", new OscValue.Int32(3)))).isEqualTo("/key/fill i 3");
        assertThat(codec.show(new OscMessage("/t"))).isEqualTo("/t");
        assertThat(
                codec.show(new OscMessage("/foo", new OscValue.Int32(1000), new OscValue.Text("he said \"hi\"\n\u202e"),
                        new OscValue.Float32(1.234f), OscValue.Flag.ON, new OscValue.Blob(new byte[]{1, 2}),
                        new OscValue.Array(List.of(new OscValue.Int32(1))))))
                .isEqualTo("/foo isfTb[i] 1000 \"he said \\\"hi\\\"\\n\\u202e\" 1.234 (2 bytes: 0102) [ 1 ]");
        assertThat(codec.show(new OscMessage("/a", new OscValue.Unreadable("q", 8))))
                .isEqualTo("/a q (8 bytes not read)");
        String longest = codec.show(new OscMessage("/a", new OscValue.Text("x".repeat(100_000))));
        assertThat(longest).hasSize(400).endsWith("…");
    }

    private OscValue sent(char tag, Value value) {
        return codec.encode(osc("/x", field(tag, "value")), Map.of("value", value)).arguments().getFirst();
    }

    private Optional<Value> heard(OscValue value) {
        return codec.match(osc("/x", field("value")), new OscMessage("/x", value)).map(m -> m.get("value"));
    }

    private List<Arrival<OscMessage>> arrivals(OscBundle bundle) throws Exception {
        return codec.parse(OscEncoder.encode(bundle));
    }

    private static OscTimeTag in(Duration ahead) {
        return OscTimeTag.of(NOW.plus(ahead));
    }
}
