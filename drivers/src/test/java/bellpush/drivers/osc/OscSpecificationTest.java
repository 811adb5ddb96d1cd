package bellpush.drivers.osc;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.ByteBuffer;
import java.util.HexFormat;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;

/** The bytes that others have published. */
class OscSpecificationTest {

    /** "The Open Sound Control 1.0 Specification Examples", M. Wright, 29 March 2002: OSC messages. */
    static Stream<Arguments> printedExamples() {
        return Stream.of(
                Arguments.of(new OscMessage("/oscillator/4/frequency", new OscValue.Float32(440)),
                        "2f6f7363 696c6c61 746f722f 342f6672 65717565 6e637900 2c660000 43dc0000"),
                Arguments.of(
                        new OscMessage("/foo", new OscValue.Int32(1000), new OscValue.Int32(-1),
                                new OscValue.Text("hello"), new OscValue.Float32(1.234f),
                                new OscValue.Float32(5.678f)),
                        "2f666f6f 00000000 2c696973 66660000 000003e8 ffffffff 68656c6c 6f000000 3f9df3b6 40b5b22d"));
    }

    /** The rules of OSC 1.0, sections "Atomic Data Types", "OSC Type Tag String" and "OSC Bundles"; bytes made with liblo and JavaOSC. */
    static Stream<Arguments> bytesOfOtherImplementations() {
        return Stream.of(
                Arguments.of(new OscMessage("/b", new OscValue.Blob(new byte[]{1, 2, 3, 4, 5})),
                        "2f620000 2c620000 00000005 01020304 05000000"),
                Arguments.of(
                        new OscMessage("/t", OscValue.Flag.ON, OscValue.Flag.OFF, OscValue.Nil.NIL,
                                OscValue.Impulse.IMPULSE),
                        "2f740000 2c54464e 49000000"),
                Arguments.of(new OscMessage("/t"), "2f740000 2c000000"),
                Arguments.of(new OscMessage("/t", new OscValue.Int64(1), new OscValue.Float64(1)),
                        "2f740000 2c686400 00000000 00000001 3ff00000 00000000"),
                Arguments.of(
                        new OscBundle(OscTimeTag.IMMEDIATELY, new OscMessage("/a", new OscValue.Int32(1)),
                                new OscMessage("/b", new OscValue.Text("x"))),
                        "2362756e 646c6500 00000000 00000001 0000000c 2f610000 2c690000 00000001 "
                                + "0000000c 2f620000 2c730000 78000000"));
    }

    /** Computed from OSC 1.0's table of non-standard type tags and "OSC Bundle" (nested bundles). */
    static Stream<Arguments> optionalTypesAndNesting() {
        return Stream.of(Arguments.of(
                new OscMessage("/o", new OscValue.Symbol("data"), new OscValue.Char('A'),
                        new OscValue.Colour(0xff8000c0), new OscValue.Midi(0x01903c7f),
                        new OscValue.Time(new OscTimeTag(0xbc17c200_00000000L))),
                "2f6f0000 2c536372 6d740000 64617461 00000000 00000041 ff8000c0 01903c7f bc17c200 00000000"),
                Arguments.of(
                        new OscMessage("/o",
                                new OscValue.Array(List.of(new OscValue.Int32(1),
                                        new OscValue.Array(List.of(OscValue.Flag.ON)), new OscValue.Array(List.of()))),
                                new OscValue.Int32(2)),
                        "2f6f0000 2c5b695b 545d5b5d 5d690000 00000001 00000002"),
                Arguments.of(new OscMessage("/b", new OscValue.Blob(new byte[]{1, 2, 3, 4})),
                        "2f620000 2c620000 00000004 01020304"),
                Arguments.of(new OscMessage("/b", new OscValue.Blob(new byte[0])), "2f620000 2c620000 00000000"),
                Arguments.of(new OscBundle(new OscTimeTag(0xbc17c200_00000000L)),
                        "2362756e 646c6500 bc17c200 00000000"),
                Arguments.of(
                        new OscBundle(new OscTimeTag(0xbc17c200_00000000L),
                                new OscBundle(new OscTimeTag(0xbc17c201_00000000L), new OscMessage("/t")),
                                new OscMessage("/t")),
                        "2362756e 646c6500 bc17c200 00000000 0000001c 2362756e 646c6500 bc17c201 00000000 "
                                + "00000008 2f740000 2c000000 00000008 2f740000 2c000000"));
    }

    @ParameterizedTest
    @MethodSource({"printedExamples", "bytesOfOtherImplementations", "optionalTypesAndNesting"})
    void packetsAndBytesAreWhatOthersSay(OscPacket packet, String hex) throws Exception {
        byte[] bytes = HexFormat.of().parseHex(hex.replace(" ", ""));

        assertThat(OscEncoder.encode(packet)).isEqualTo(bytes);
        assertThat(OscEncoder.size(packet)).isEqualTo(bytes.length).satisfies(n -> assertThat(n % 4).isZero());
        assertThat(OscDecoder.decode(bytes)).isEqualTo(packet);
        assertThat(OscDecoder.decode(ByteBuffer.wrap(bytes).asReadOnlyBuffer())).isEqualTo(packet);

        ByteBuffer buffer = ByteBuffer.allocate(bytes.length);
        OscEncoder.encode(packet, buffer);
        assertThat(buffer.array()).isEqualTo(bytes);
    }

    /** OSC 1.0, "Atomic Data Types": the string "OSC" takes 4 bytes and "data" 8. */
    @Test
    void stringsEndWithAtLeastOneNul() {
        assertThat(argumentBytes(new OscValue.Text("OSC"))).isEqualTo("4f534300");
        assertThat(argumentBytes(new OscValue.Text("data"))).isEqualTo("6461746100000000");
        assertThat(argumentBytes(new OscValue.Text(""))).isEqualTo("00000000");
    }

    /** OSC 1.0, table "OSC Type Tag examples". */
    @Test
    void typeTagStringsAreThoseOfTheSpecification() {
        OscValue i = new OscValue.Int32(7);
        OscValue f = new OscValue.Float32(1);
        OscValue b = new OscValue.Blob(new byte[1]);
        assertThat(tags(f)).isEqualTo(",f");
        assertThat(tags(i, i, new OscValue.Text("x"), f, f, f)).isEqualTo(",iisfff");
        assertThat(tags()).isEqualTo(",");
        assertThat(tags(i, b, b)).isEqualTo(",ibb");
    }

    private static String argumentBytes(OscValue value) {
        return HexFormat.of().formatHex(OscEncoder.encode(new OscMessage("/a", value))).substring(16);
    }

    private static String tags(OscValue... values) {
        byte[] bytes = OscEncoder.encode(new OscMessage("/a", values));
        int end = 4;
        while (bytes[end] != 0) {
            end++;
        }
        return new String(bytes, 4, end - 4, java.nio.charset.StandardCharsets.US_ASCII);
    }
}
