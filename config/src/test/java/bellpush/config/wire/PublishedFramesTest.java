package bellpush.config.wire;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Value;
import java.nio.charset.StandardCharsets;
import java.util.HexFormat;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Messages published elsewhere. PJLink: the line format of JBMIA's PJLink Specifications, Class 1, as projector manuals
 * print it. VISCA: replies, drive, memory and zoom commands as in the technical manuals of cameras SRG-300H (pp. 28, 31
 * ff.), SRG-120DH (p. 36) and FCB-PV10 (p. 37); frames of VISCA over IP computed from the header described there.
 */
class PublishedFramesTest {
    private static final HexFormat SPACED = HexFormat.ofDelimiter(" ");

    static Value n(double number) {
        return Value.of(number);
    }

    @ParameterizedTest
    @CsvSource({"81 01 04 00 {value:u8} ff, 2, 81 01 04 00 02 ff", "81 01 04 00 {value:u8} ff, 3, 81 01 04 00 03 ff",
        "81 01 04 3f 02 0{value:nibble} ff, 5, 81 01 04 3f 02 05 ff",
        "81 01 04 07 2{value:nibble} ff, 7, 81 01 04 07 27 ff",
        "81 01 04 47 {value:nibbles4} ff, 16384, 81 01 04 47 04 00 00 00 ff",
        "81 01 04 38 {value:u8} ff, 2, 81 01 04 38 02 ff",
        "81 01 04 08 {value:u8} ff, 2, 81 01 04 08 02 ff",})
    void viscaCommandsComeOutByteForByte(String template, double value, String frame) {
        WireTemplate t = WireTemplate.hex(template);
        byte[] bytes = SPACED.parseHex(frame);
        assertThat(t.encode(Map.of("value", n(value)))).isEqualTo(bytes);
        assertThat(t.match(bytes)).contains(Map.of("value", n(value)));
    }

    @Test
    void viscaPanAndTiltAreTwosComplementOverFourDigitsEach() {
        WireTemplate t = WireTemplate
                .hex("81 01 06 02 {panSpeed:u8} {tiltSpeed:u8} {pan:snibbles4} {tilt:snibbles4} ff");
        Map<String, Value> values = Map.of("panSpeed", n(0x18), "tiltSpeed", n(0x14), "pan", n(-1), "tilt", n(0x0123));
        byte[] frame = SPACED.parseHex("81 01 06 02 18 14 0f 0f 0f 0f 00 01 02 03 ff");
        assertThat(t.encode(values)).isEqualTo(frame);
        assertThat(t.match(frame)).contains(values);
    }

    /** Drive: direction bytes and speeds 08 as in the stop command; zoom at a speed: one byte, direction and speed. */
    @ParameterizedTest
    @CsvSource({"8, 0, 81 01 06 01 08 08 02 03 ff", "-8, 0, 81 01 06 01 08 08 01 03 ff",
        "0, 8, 81 01 06 01 08 08 03 01 ff", "0, -8, 81 01 06 01 08 08 03 02 ff", "-24, 20, 81 01 06 01 18 14 01 01 ff",
        "24, -20, 81 01 06 01 18 14 02 02 ff", "0, 0, 81 01 06 01 08 08 03 03 ff"})
    void viscaDriveTellsHowFastAndWhichWayApart(double pan, double tilt, String frame) {
        WireTemplate t = WireTemplate.hex("81 01 06 01 {pan:size8 or 8} {tilt:size8 or 8} {pan:way 01 03 02} "
                + "{tilt:way 02 03 01} ff");
        byte[] bytes = SPACED.parseHex(frame);
        assertThat(t.encode(Map.of("pan", n(pan), "tilt", n(tilt)))).isEqualTo(bytes);
        assertThat(t.match(bytes)).contains(Map.of("pan", n(pan), "tilt", n(tilt)));
    }

    @ParameterizedTest
    @CsvSource({"0, 81 01 04 07 00 ff", "7, 81 01 04 07 27 ff", "-7, 81 01 04 07 37 ff", "-1, 81 01 04 07 31 ff"})
    void viscaZoomAtASpeedIsOneByteOfWayAndSize(double speed, String frame) {
        WireTemplate t = WireTemplate.hex("81 01 04 07 {value:way 3 0 2}{value:size4} ff");
        byte[] bytes = SPACED.parseHex(frame);
        assertThat(t.encode(Map.of("value", n(speed)))).isEqualTo(bytes);
        assertThat(t.match(bytes)).contains(Map.of("value", n(speed)));
    }

    @Test
    void viscaRepliesAreToldApart() {
        WireTemplate ack = WireTemplate.hex("90 4{any:nibble} ff");
        WireTemplate done = WireTemplate.hex("90 5{any:nibble} ff");
        WireTemplate notNow = WireTemplate.hex("90 6{any:nibble} 41 ff");
        byte[] ackFrame = SPACED.parseHex("90 41 ff");
        byte[] doneFrame = SPACED.parseHex("90 51 ff");
        assertThat(ack.match(ackFrame)).contains(Map.of());
        assertThat(ack.match(doneFrame)).isEmpty();
        assertThat(done.match(doneFrame)).contains(Map.of());
        assertThat(done.match(SPACED.parseHex("90 50 02 ff"))).isEmpty();
        assertThat(notNow.match(SPACED.parseHex("90 61 41 ff"))).contains(Map.of());
    }

    @ParameterizedTest
    @CsvSource({"02 00 {length:u16-4} {sequence:u32} 01, 0, 02 00 00 01 00 00 00 00 01",
        "01 00 {length:u16-4} {sequence:u32} 81 01 04 3f 02 05 ff, 1, 01 00 00 07 00 00 00 01 81 01 04 3f 02 05 ff",
        "01 00 {length:u16-4} {sequence:u32} 81 01 06 01 08 08 03 03 ff, 3, 01 00 00 09 00 00 00 03 81 01 06 01 08 08 03 03 ff",
        "01 11 {length:u16-4} {sequence:u32} 90 41 ff, 3, 01 11 00 03 00 00 00 03 90 41 ff",
        "01 10 {length:u16-4} {sequence:u32} 81 09 04 00 ff, 2, 01 10 00 05 00 00 00 02 81 09 04 00 ff",})
    void viscaOverIpFramesComeOutByteForByte(String template, double sequence, String frame) {
        WireTemplate t = WireTemplate.hex(template);
        byte[] bytes = SPACED.parseHex(frame);
        assertThat(t.encode(Map.of("sequence", n(sequence)))).isEqualTo(bytes);
        assertThat(t.match(bytes)).contains(Map.of("sequence", n(sequence)));
    }

    @Test
    void viscaOverIpIsAnEnvelopeToo() {
        WireTemplate envelope = WireTemplate.hex("01 00 {length:u16-4} {sequence:u32} {body}");
        byte[] frame = SPACED.parseHex("01 00 00 07 00 00 00 01 81 01 04 3f 02 05 ff");
        byte[] packet = SPACED.parseHex("81 01 04 3f 02 05 ff");
        assertThat(envelope.wrap(packet, Map.of("sequence", n(1)))).isEqualTo(frame);
        assertThat(envelope.unwrap(frame)).hasValueSatisfying(u -> {
            assertThat(u.body()).isEqualTo(packet);
            assertThat(u.fields()).isEqualTo(Map.of("sequence", n(1)));
        });
        frame[3] = 8; // the header's length is wrong: not such an envelope
        assertThat(envelope.unwrap(frame)).isEmpty();
    }

    @Test
    void pjlinkLinesComeOutByteForByte() {
        WireTemplate power = WireTemplate.text("%1POWR {value}\r");
        byte[] on = SPACED.parseHex("25 31 50 4f 57 52 20 31 0d");
        assertThat(power.encode(Map.of("value", n(1)))).isEqualTo(on);
        assertThat(power.match(on)).contains(Map.of("value", Value.of("1")));
        WireTemplate ok = WireTemplate.text("%1POWR=OK\r");
        assertThat(ok.match(SPACED.parseHex("25 31 50 4f 57 52 3d 4f 4b 0d"))).contains(Map.of());
        assertThat(WireTemplate.text("%2SRCH\r").encode(Map.of())).isEqualTo(SPACED.parseHex("25 32 53 52 43 48 0d"));
        assertThat(WireTemplate.text("PJLINK 1 {random:hex8}")
                .match("PJLINK 1 498e4a67".getBytes(StandardCharsets.US_ASCII)))
                .contains(Map.of("random", n(0x498e4a67)));
    }

    /**
     * The published check values over the nine digits "123456789", as in the catalogues of parametrised CRC algorithms
     * (Rocksoft model), given from memory: CRC-16/MODBUS 4B37, CRC-16/CCITT-FALSE (init FFFF) 29B1, CRC-16/XMODEM 31C3.
     * xor and sum8 are sums anybody can redo.
     */
    @ParameterizedTest
    @CsvSource({"crc16-modbus, 37 4b", "crc16-ccitt, 29 b1", "crc16-xmodem, 31 c3", "xor, 31", "sum8, dd"})
    void checksumsGiveTheirPublishedCheckValues(String kind, String sent) {
        WireTemplate t = WireTemplate.hex("31 32 33 34 35 36 37 38 39 {check:" + kind + "}");
        byte[] bytes = SPACED.parseHex("31 32 33 34 35 36 37 38 39 " + sent);
        assertThat(t.encode(Map.of())).isEqualTo(bytes);
        assertThat(t.match(bytes)).contains(Map.of());
        bytes[bytes.length - 1] ^= 1;
        assertThat(t.match(bytes)).isEmpty();
        byte[] text = WireTemplate.text("123456789{check:" + kind + ".hex}").encode(Map.of());
        assertThat(new String(text, StandardCharsets.US_ASCII))
                .isEqualTo("123456789" + sent.replace(" ", "").toUpperCase(java.util.Locale.ROOT));
    }
}
