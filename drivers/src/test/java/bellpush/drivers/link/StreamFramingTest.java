package bellpush.drivers.link;

import static java.nio.charset.StandardCharsets.US_ASCII;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import bellpush.config.model.Framing;
import io.netty.buffer.ByteBuf;
import io.netty.buffer.ByteBufUtil;
import io.netty.buffer.Unpooled;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

class StreamFramingTest {
    private static final int MAX = 300;

    private static final class Cut implements StreamFraming.Sink {
        final List<String> frames = new ArrayList<>();
        final List<String> drops = new ArrayList<>();

        @Override
        public void frame(byte[] message) {
            frames.add(HexFormat.of().formatHex(message));
        }

        @Override
        public void dropped(String why) {
            drops.add(why);
        }
    }

    private static String wrap(Framing framing, byte[] message) {
        ByteBuf out = Unpooled.buffer();
        StreamFraming.of(framing, MAX).wrap(message, out);
        return ByteBufUtil.hexDump(out);
    }

    private static String wrap(Framing framing, String hex) {
        return wrap(framing, HexFormat.of().parseHex(hex));
    }

    private static Cut cut(StreamFraming framing, String... hexPieces) throws StreamBrokenException {
        Cut cut = new Cut();
        for (String piece : hexPieces) {
            framing.cut(Unpooled.wrappedBuffer(HexFormat.of().parseHex(piece)), cut);
        }
        return cut;
    }

    private static StreamFraming of(Framing framing) {
        return StreamFraming.of(framing, MAX);
    }

    private static Framing lines(String end) {
        return new Framing.Delimiter(end.getBytes(US_ASCII));
    }

    private static Framing length(int bytes, boolean little, boolean inclusive) {
        return new Framing.LengthPrefix(bytes, little, inclusive);
    }

    /** RFC 1055 (J. Romkey, June 1988): END c0, ESC db; END in data is db dc, ESC in data is db dd. */
    @Test
    void slipEscapesAsRfc1055Says() throws StreamBrokenException {
        assertThat(wrap(new Framing.Slip(), "01c002db03")).isEqualTo("c001dbdc02dbdd03c0");
        assertThat(cut(of(new Framing.Slip()), "c001dbdc02dbdd03c0").frames).containsExactly("01c002db03");
    }

    /** The OSC message /a ,f -6.0 in SLIP with END on both sides, as OSC 1.1 asks for streams. */
    @Test
    void slipCarriesAnOscMessageWhoseFloatHasEndBytes() throws StreamBrokenException {
        String message = "2f6100002c660000c0c00000";
        assertThat(wrap(new Framing.Slip(), message)).isEqualTo("c02f6100002c660000dbdcdbdc0000c0");
        assertThat(cut(of(new Framing.Slip()), "c02f6100002c660000dbdcdbdc0000c0").frames).containsExactly(message);
    }

    @Test
    void slipPassesOverEmptyMessagesAndTakesThoseWithoutALeadingEnd() throws StreamBrokenException {
        assertThat(cut(of(new Framing.Slip()), "c0c0c0", "0102c0c003c0").frames).containsExactly("0102", "03");
    }

    @Test
    void slipDropsAMessageWithAWrongEscapeAndKeepsTheNext() throws StreamBrokenException {
        Cut cut = cut(of(new Framing.Slip()), "01db0203c004c0", "05dbc006c0");
        assertThat(cut.frames).containsExactly("04", "06");
        assertThat(cut.drops).hasSize(2).allMatch(why -> why.contains("escape"));
    }

    @Test
    void delimiterIsNotPartOfTheMessageAndEmptyLinesAreNone() throws StreamBrokenException {
        assertThat(cut(of(lines("\r\n")), "410d0a0d0a42", "430d", "0a").frames).containsExactly("41", "4243");
        assertThat(cut(of(lines("\r\n")), "410d420a0d0a").frames).containsExactly("410d420a");
        assertThat(wrap(lines("\r\n"), "4142")).isEqualTo("41420d0a");
    }

    @Test
    void aMessageThatHoldsItsOwnEndIsRefusedBecauseItWouldBecomeTwo() {
        assertThatThrownBy(() -> wrap(lines(";"), "PLAY;STOP".getBytes(US_ASCII)))
                .isInstanceOf(IllegalArgumentException.class).hasMessageContaining("3b").hasMessageContaining("byte 4");
        assertThatThrownBy(() -> wrap(lines("aa"), "xa".getBytes(US_ASCII)))
                .isInstanceOf(IllegalArgumentException.class);
        assertThat(wrap(lines("\r\n"), "410d")).isEqualTo("410d0d0a");
    }

    @Test
    void lengthsCountTheRestOrAllInEitherByteOrder() throws StreamBrokenException {
        assertThat(wrap(length(1, false, false), "aabb")).isEqualTo("02aabb");
        assertThat(wrap(length(2, false, false), "aabb")).isEqualTo("0002aabb");
        assertThat(wrap(length(4, false, false), "aabb")).isEqualTo("00000002aabb");
        assertThat(wrap(length(2, true, false), "aabb")).isEqualTo("0200aabb");
        assertThat(wrap(length(4, true, true), "aabb")).isEqualTo("06000000aabb");
        assertThat(cut(of(length(2, false, true)), "0004aa", "bb0003", "cc").frames).containsExactly("aabb", "cc");
        assertThat(cut(of(length(1, false, false)), "00", "01ff").frames).containsExactly("", "ff");
    }

    @Test
    void aMessageTooLongForItsCountIsRefused() {
        assertThatThrownBy(() -> wrap(length(1, false, false), new byte[256]))
                .isInstanceOf(IllegalArgumentException.class).hasMessageContaining("255");
        assertThat(wrap(length(1, false, false), new byte[255])).startsWith("ff");
        assertThatThrownBy(() -> wrap(length(1, false, true), new byte[255]))
                .isInstanceOf(IllegalArgumentException.class);
    }

    @Test
    void aCountThatCannotBeTrueBreaksTheStream() {
        assertThatThrownBy(() -> cut(of(length(4, false, false)), "ffffffff")).isInstanceOf(StreamBrokenException.class)
                .hasMessageContaining("4294967295").hasMessageContaining("at most 300");
        assertThatThrownBy(() -> cut(of(length(2, false, true)), "0001")).isInstanceOf(StreamBrokenException.class);
    }

    /** Common practice, no source: a start byte, the count, the message, and a checksum that is not counted. */
    @Test
    void aCountWithinTheMessageStaysInIt() throws StreamBrokenException {
        var first = new Framing.LengthWithin(0, 2, false, false, 0);
        assertThat(wrap(first, "0002aabb")).isEqualTo("0002aabb");
        assertThat(cut(of(first), "0002aa", "bb00", "0000", "01cc").frames).containsExactly("0002aabb", "0000",
                "0001cc");
        var inside = new Framing.LengthWithin(1, 1, false, false, 2);
        assertThat(cut(of(inside), "0201aa", "5503020055", "03").frames).containsExactly("0201aa5503", "02005503");
        assertThat(cut(of(new Framing.LengthWithin(1, 2, true, true, 0)), "020500aabb020300").frames)
                .containsExactly("020500aabb", "020300");
        assertThat(cut(of(new Framing.LengthWithin(1, 1, false, true, 1)), "0203aabb").frames)
                .containsExactly("0203aabb");
    }

    @Test
    void aCountWithinTheMessageThatCannotBeTrueIsSaid() {
        assertThatThrownBy(() -> wrap(new Framing.LengthWithin(1, 1, false, false, 0), "0203aabb"))
                .isInstanceOf(IllegalArgumentException.class).hasMessageContaining("says 5")
                .hasMessageContaining("length");
        assertThatThrownBy(() -> wrap(new Framing.LengthWithin(1, 1, false, false, 0), "02"))
                .isInstanceOf(IllegalArgumentException.class).hasMessageContaining("at byte 1");
        assertThatThrownBy(() -> cut(of(new Framing.LengthWithin(1, 4, false, false, 0)), "02ffffffff"))
                .isInstanceOf(StreamBrokenException.class).hasMessageContaining("at most 300");
        assertThatThrownBy(() -> cut(of(new Framing.LengthWithin(1, 1, false, true, 0)), "0201"))
                .isInstanceOf(StreamBrokenException.class).hasMessageContaining("2 up to the end");
    }

    @Test
    void fixedMessagesHaveTheirLength() throws StreamBrokenException {
        assertThat(cut(of(new Framing.Fixed(2)), "010203", "04").frames).containsExactly("0102", "0304");
        assertThatThrownBy(() -> wrap(new Framing.Fixed(2), "010203")).isInstanceOf(IllegalArgumentException.class);
    }

    @Test
    void anOverlongMessageIsDroppedOnceAndTheNextIsTaken() throws StreamBrokenException {
        String giant = "41".repeat(MAX + 1);
        Cut lines = cut(of(lines("\r\n")), giant, giant, giant, "0d0a42", "0d0a");
        assertThat(lines.frames).containsExactly("42");
        assertThat(lines.drops).hasSize(1);
        Cut slip = cut(of(new Framing.Slip()), giant, giant, "c042c0");
        assertThat(slip.frames).containsExactly("42");
        assertThat(slip.drops).hasSize(1);
    }

    @Test
    void theLongestMessageAllowedStillPasses() throws StreamBrokenException {
        String longest = "41".repeat(MAX);
        assertThat(cut(of(lines("\r\n")), longest, "0d0a").frames).containsExactly(longest);
        assertThat(cut(of(new Framing.Slip()), longest, "c0").frames).containsExactly(longest);
        assertThat(cut(of(length(2, false, false)), "012c", longest).frames).containsExactly(longest);
    }

    @Test
    void datagramFramingIsNoneForAStream() {
        assertThatThrownBy(() -> of(new Framing.None())).isInstanceOf(IllegalArgumentException.class)
                .hasMessageContaining("framing");
    }

    /** Whatever messages, however the network cuts them: what was wrapped comes out. Seeded. */
    @Test
    void anyMessagesInAnyPiecesComeOutAsTheyWentIn() throws StreamBrokenException {
        var random = new SplittableRandom(55);
        List<Framing> framings = List.of(lines("\n"), lines("\r\n"), lines("END"), new Framing.Slip(),
                length(1, false, false), length(2, false, true), length(2, true, false), length(4, true, true),
                length(4, false, false), new Framing.Fixed(7));
        for (int round = 0; round < 2_000; round++) {
            Framing framing = framings.get(round % framings.size());
            StreamFraming sender = of(framing);
            StreamFraming receiver = of(framing);
            ByteBuf wire = Unpooled.buffer();
            List<String> expected = new ArrayList<>();
            for (int i = random.nextInt(6); i >= 0; i--) {
                byte[] message = new byte[framing instanceof Framing.Fixed ? 7 : 1 + random.nextInt(250)];
                random.nextBytes(message);
                try {
                    sender.wrap(message, wire);
                    expected.add(HexFormat.of().formatHex(message));
                } catch (IllegalArgumentException _) {
                    assertThat(framing).isInstanceOf(Framing.Delimiter.class);
                }
            }
            Cut cut = new Cut();
            while (wire.isReadable()) {
                receiver.cut(wire.readSlice(1 + random.nextInt(wire.readableBytes())), cut);
                assertThat(receiver.heldBytes()).isLessThanOrEqualTo(MAX + 3);
            }
            assertThat(cut.frames).as(framing.toString()).isEqualTo(expected);
            assertThat(cut.drops).isEmpty();
            assertThat(receiver.heldBytes()).isZero();
        }
    }
}
