package bellpush.drivers.osc;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import bellpush.drivers.link.MalformedMessageException;
import java.util.Collections;
import java.util.HexFormat;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Strict in what we send, careful with what we receive. */
class OscStrictnessTest {

    @ParameterizedTest
    @ValueSource(strings = {"", "/", "key", "/a b", "/a#", "/a,b", "/ä", "/a\u0000", "/[a", "/}"})
    void addressesThatOscForbidsAreNotSent(String address) {
        assertThatThrownBy(() -> OscEncoder.encode(new OscMessage(address)))
                .isInstanceOf(IllegalArgumentException.class).hasMessageContaining("OSC address");
    }

    @Test
    void patternsMayBeSent() throws Exception {
        OscMessage message = new OscMessage("/channel/[1-4]/{mute,solo}", OscValue.Flag.ON);
        assertThat(OscDecoder.decode(OscEncoder.encode(message))).isEqualTo(message);
    }

    @Test
    void textsKeepEveryCharacterAndHoldNoNul() throws Exception {
        OscMessage message = new OscMessage("/title", new OscValue.Text("Grüße, 日本 🎶"));
        assertThat(OscDecoder.decode(OscEncoder.encode(message))).isEqualTo(message);
        assertThatThrownBy(() -> OscEncoder.encode(new OscMessage("/title", new OscValue.Text("a\u0000b"))))
                .hasMessageContaining("NUL");
        assertThatThrownBy(() -> OscEncoder.encode(new OscMessage("/title", new OscValue.Symbol("a\ud800"))))
                .hasMessageContaining("surrogate");
        assertThatThrownBy(() -> OscEncoder.encode(new OscMessage("/c", new OscValue.Char('ä'))))
                .hasMessageContaining("ASCII");
    }

    /** OSC 1.0, "OSC Bundles": the inner time tag must be greater than or equal to the outer one. */
    @Test
    void aBundleInsideMayNotBeEarlier() {
        OscTimeTag later = new OscTimeTag(0xe93c7f00_80000000L);
        OscTimeTag earlier = new OscTimeTag(0xe93c7f00_7fffffffL);
        assertThat(OscEncoder.encode(new OscBundle(earlier, new OscBundle(later)))).hasSize(36);
        assertThat(OscEncoder.encode(new OscBundle(later, new OscBundle(later)))).hasSize(36);
        assertThat(OscEncoder.encode(new OscBundle(OscTimeTag.IMMEDIATELY, new OscBundle(later)))).hasSize(36);
        assertThatThrownBy(() -> OscEncoder.encode(new OscBundle(later, new OscBundle(earlier))))
                .hasMessageContaining("earlier");
        assertThatThrownBy(() -> OscEncoder.encode(new OscBundle(later, new OscBundle(OscTimeTag.IMMEDIATELY))))
                .hasMessageContaining("earlier");
    }

    @Test
    void depthAndCountsAreLimitedBothWays() throws Exception {
        assertThat(OscDecoder.decode(OscEncoder.encode(bundles(8)))).isEqualTo(bundles(8));
        assertThatThrownBy(() -> OscEncoder.encode(bundles(9))).hasMessageContaining("deep");
        assertThat(OscDecoder.decode(OscEncoder.encode(arrays(8)))).isEqualTo(arrays(8));
        assertThatThrownBy(() -> OscEncoder.encode(arrays(9))).hasMessageContaining("deep");

        List<OscValue> most = Collections.nCopies(1_024, OscValue.Nil.NIL);
        assertThat(OscDecoder.decode(OscEncoder.encode(new OscMessage("/a", most))))
                .isEqualTo(new OscMessage("/a", most));
        assertThatThrownBy(
                () -> OscEncoder.encode(new OscMessage("/a", Collections.nCopies(1_025, OscValue.Nil.NIL))))
                .hasMessageContaining("more than 1024 arguments");
        assertThatThrownBy(() -> OscEncoder.encode(
                new OscBundle(OscTimeTag.IMMEDIATELY, Collections.nCopies(1_025, new OscMessage("/a")))))
                .hasMessageContaining("more than 1024 messages");
        assertThatThrownBy(
                () -> OscEncoder.encode(new OscMessage("/a", new OscValue.Blob(new byte[OscLimits.PACKET_BYTES]))))
                .hasMessageContaining("at most");
    }

    private static OscPacket bundles(int depth) {
        OscPacket packet = new OscMessage("/a");
        for (int n = 0; n < depth; n++) {
            packet = new OscBundle(OscTimeTag.IMMEDIATELY, packet);
        }
        return packet;
    }

    private static OscPacket arrays(int depth) {
        OscValue value = new OscValue.Int32(1);
        for (int n = 0; n < depth; n++) {
            value = new OscValue.Array(List.of(value));
        }
        return new OscMessage("/a", value);
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|', nullValues = "-", value = {"'' | empty OSC packet", "2f | multiple of 4",
        "00000000 | begins with", "41424344 | not with the byte 41", "2f616263 | address without a NUL",
        "2f610001 | not filled up", "2f61ff00 2c000000 | the byte ff", "2f0a0000 2c000000 | the byte 0a",
        "2f610000 2c696969 | type tag string without a NUL", "2f610000 2c690000 | middle of an argument",
        "2f610000 2c680000 00000000 | middle of an argument", "2f610000 2c730000 61626364 | string without a NUL",
        "2f610000 2c730000 | string without a NUL", "2f610000 2c620000 7fffffff | says it has 2147483647 bytes",
        "2f610000 2c620000 ffffffff | says it has -1 bytes", "2f610000 2c620000 00000005 00000000 | says it has 5",
        "2f610000 2c620000 00000001 00000001 | blob that is not filled up",
        "2f610000 2c690000 00000001 00000002 | 4 bytes more", "2f610000 2c5b0000 | brackets",
        "2f610000 2c5d0000 | brackets", "2f610000 2c5b5d5d 00000000 | brackets", "23000000 | no whole #bundle",
        "2362756e 646c6500 00000000 | no whole #bundle", "2362756e 646c6501 00000000 00000001 | no whole #bundle",
        "2362756e 646c6500 00000000 00000001 00000000 | empty OSC packet",
        "2362756e 646c6500 00000000 00000001 7ffffffc | has 2147483644 bytes where 0 are left",
        "2362756e 646c6500 00000000 00000001 fffffffc | has -4 bytes",
        "2362756e 646c6500 00000000 00000001 00000006 2f610000 2c000000 | multiple of 4"})
    void malformedPacketsAreExplained(String hex, String why) {
        assertThatThrownBy(() -> OscDecoder.decode(HexFormat.of().parseHex(hex.replace(" ", ""))))
                .isInstanceOf(MalformedMessageException.class).hasMessageContaining(why);
    }

    @Test
    void nestingTooDeepIsMalformed() {
        byte[] tooDeep = new byte[16 + 20 * 5_000];
        for (int level = 0; level <= 5_000; level++) {
            int at = level * 20;
            System.arraycopy(OscEncoder.encode(new OscBundle(OscTimeTag.IMMEDIATELY)), 0, tooDeep, at, 16);
            if (level < 5_000) {
                java.nio.ByteBuffer.wrap(tooDeep).putInt(at + 16, tooDeep.length - at - 20);
            }
        }
        assertThatThrownBy(() -> OscDecoder.decode(tooDeep)).isInstanceOf(MalformedMessageException.class)
                .hasMessageContaining("deep");

        byte[] brackets = ("/a\0\0," + "[".repeat(900) + "]".repeat(900) + "\0\0\0")
                .getBytes(java.nio.charset.StandardCharsets.US_ASCII);
        assertThatThrownBy(() -> OscDecoder.decode(brackets)).isInstanceOf(MalformedMessageException.class)
                .hasMessageContaining("more than 1024");
        byte[] fewer = ("/a\0\0," + "[".repeat(500) + "]".repeat(500) + "\0\0\0")
                .getBytes(java.nio.charset.StandardCharsets.US_ASCII);
        assertThatThrownBy(() -> OscDecoder.decode(fewer)).isInstanceOf(MalformedMessageException.class)
                .hasMessageContaining("deep");
    }

    /** OSC 1.0, "OSC Type Tag String": robust where it is missing; a message with an unknown tag is discarded. */
    @Test
    void missingAndUnknownTypeTagsAreTolerated() throws Exception {
        assertThat(decode("2f610000")).isEqualTo(new OscMessage("/a"));
        assertThat(decode("2f610000 00000007")).isEqualTo(new OscMessage("/a", new OscValue.Unreadable("", 4)));
        assertThat(decode("2f610000 2c697100 00000007 00000001"))
                .isEqualTo(new OscMessage("/a", new OscValue.Unreadable("iq", 8)));
        assertThat(decode("2362756e 646c6500 00000000 00000001 00000008 2f610000 2c710000 00000008 2f620000 2c000000"))
                .isEqualTo(new OscBundle(OscTimeTag.IMMEDIATELY,
                        new OscMessage("/a", new OscValue.Unreadable("q", 0)), new OscMessage("/b")));
        assertThatThrownBy(() -> OscEncoder.encode(new OscMessage("/a", new OscValue.Unreadable("q", 0))))
                .hasMessageContaining("cannot be sent on");
    }

    private static OscPacket decode(String hex) throws MalformedMessageException {
        return OscDecoder.decode(HexFormat.of().parseHex(hex.replace(" ", "")));
    }
}
