package bellpush.config.wire;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIllegalArgumentException;

import bellpush.config.model.Value;
import java.nio.charset.StandardCharsets;
import java.util.HexFormat;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Each format at its edges. Floats as in IEEE 754 binary32 (the bytes of 1, of 440 and of the greatest finite number). */
class FormatTest {
    private static final HexFormat SPACED = HexFormat.ofDelimiter(" ");

    @ParameterizedTest
    @CsvSource({"u8, 0, 00", "u8, 255, ff", "s8, -128, 80", "s8, 127, 7f", "s8, -1, ff", "u16, 65535, ff ff",
        "u16, 258, 01 02",
        "u16le, 258, 02 01", "s16, -32768, 80 00", "s16, 32767, 7f ff", "s16le, -2, fe ff",
        "u32, 4294967295, ff ff ff ff",
        "u32, 16909060, 01 02 03 04", "u32le, 16909060, 04 03 02 01", "s32, -2147483648, 80 00 00 00",
        "s32, 2147483647, 7f ff ff ff",
        "s32le, -2147483648, 00 00 00 80", "f32, 1, 3f 80 00 00", "f32, 440, 43 dc 00 00", "f32le, 440, 00 00 dc 43",
        "f32, -0.5, bf 00 00 00", "f32, 3.4028234663852886E38, 7f 7f ff ff", "nibbles1, 15, 0f",
        "nibbles4, 65535, 0f 0f 0f 0f",
        "nibbles4, 4660, 01 02 03 04", "nibbles13, 4503599627370495, 0f 0f 0f 0f 0f 0f 0f 0f 0f 0f 0f 0f 0f",
        "snibbles4, -32768, 08 00 00 00",
        "snibbles4, 32767, 07 0f 0f 0f", "snibbles4, -2, 0f 0f 0f 0e", "snibbles1, -8, 08", "bcd2, 0, 00",
        "bcd2, 99, 99", "bcd4, 1234, 12 34",
        "bcd6, 7, 00 00 07", "dec1, 9, 39", "dec3, 7, 30 30 37", "dec3, -99, 2d 39 39", "dec3, 999, 39 39 39",
        "dec2, -5, 2d 35",
        "hex2, 255, 46 46", "hex4, 171, 30 30 41 42", "hex1, 10, 41"})
    void numbersComeOutAsTheseBytesAndBack(String format, double number, String bytes) {
        WireTemplate t = WireTemplate.hex("{value:" + format + "}");
        byte[] expected = SPACED.parseHex(bytes);
        assertThat(t.encode(Map.of("value", Value.of(number)))).isEqualTo(expected);
        assertThat(t.match(expected)).contains(Map.of("value", Value.of(number)));
    }

    @ParameterizedTest
    @CsvSource({"u8, 256", "u8, -1", "u8, 1.5", "s8, 128", "s8, -129", "u16, 65536", "s16, 32768", "u32, 4294967296",
        "s32, 2147483648",
        "s32, -2147483649", "f32, 3.5E38", "nibbles1, 16", "nibbles4, 65536", "nibbles4, -1", "snibbles4, 32768",
        "snibbles4, -32769",
        "bcd2, 100", "bcd2, -1", "dec1, 10", "dec1, -1", "dec3, 1000", "dec3, -100", "hex2, 256", "hex2, -1",
        "u8, 1E300"})
    void whatDoesNotFitIsRefusedAndNeverCut(String format, double number) {
        WireTemplate t = WireTemplate.hex("{value:" + format + "}");
        assertThatIllegalArgumentException().isThrownBy(() -> t.encode(Map.of("value", Value.of(number))))
                .withMessageContaining("{value:" + format + "}").withMessageMatching("(?s).*(fraction|does not fit).*");
    }

    @ParameterizedTest
    @CsvSource({"f32, 7f 80 00 00", "f32, ff 80 00 00", "f32, 7f c0 00 00", "nibbles2, 10 01", "bcd2, 0a", "bcd2, a0",
        "dec2, 31 20", "dec2, 2d 2d",
        "dec2, 20 31", "dec2, b1 31", "hex2, 30 47", "hex2, 2d 31", "dec1, 2d", "text2, c3 28", "text, c3"})
    void bytesOfNoneOfTheFormatAreNotRead(String format, String bytes) {
        assertThat(WireTemplate.hex("{value:" + format + "}").match(SPACED.parseHex(bytes))).isEmpty();
    }

    @Test
    void aHalfByteIsOneDigitAndRefusesMore() {
        WireTemplate t = WireTemplate.hex("{value:nibble}{other:nibble}");
        assertThat(t.encode(Map.of("value", Value.of(15), "other", Value.of(1)))).containsExactly(0xf1);
        assertThat(t.match(new byte[]{0x2a})).contains(Map.of("value", Value.of(2), "other", Value.of(10)));
        assertThatIllegalArgumentException()
                .isThrownBy(() -> t.encode(Map.of("value", Value.of(16), "other", Value.of(1))))
                .withMessageContaining("{value:nibble}: 16 does not fit; the field holds 0 to 15");
    }

    @ParameterizedTest
    @CsvSource({"0, 0", "-7, -7", "0.1, 0.1", "-6.5, -6.5", "1234567.25, 1234567.25", "0.000001, 0.000001",
        "1e-7, 0.0000001", "-0.05, -0.05",
        "0.30000000000000004, 0.30000000000000004", "9007199254740991, 9007199254740991", "1e20, 100000000000000000000",
        "100, 100",
        "99.9, 99.9"})
    void numbersInTextAreTheShortestDecimalWithoutExponent(double number, String text) {
        byte[] bytes = WireTemplate.text("{value}").encode(Map.of("value", Value.of(number)));
        assertThat(new String(bytes, StandardCharsets.US_ASCII)).isEqualTo(text);
        assertThat(Double.parseDouble(text)).isEqualTo(number);
    }

    @Test
    void textIsUtf8AndHalfACharacterIsRefused() {
        WireTemplate t = WireTemplate.text("NAME {value}");
        byte[] bytes = "NAME Grüße 💡".getBytes(StandardCharsets.UTF_8);
        assertThat(t.encode(Map.of("value", Value.of("Grüße 💡")))).isEqualTo(bytes);
        assertThat(t.match(bytes)).contains(Map.of("value", Value.of("Grüße 💡")));
        for (String half : new String[]{"\ud83d", "a\udca1", "\udca1\ud83d"}) {
            assertThatIllegalArgumentException().isThrownBy(() -> t.encode(Map.of("value", Value.of(half))))
                    .withMessageContaining("half a character");
        }
    }

    @Test
    void textOfFixedWidthIsPaddedAndRefusesWhatItCannotGiveBack() {
        WireTemplate t = WireTemplate.hex("{value:text5} 00");
        assertThat(t.encode(Map.of("value", Value.of("abc")))).containsExactly('a', 'b', 'c', ' ', ' ', 0);
        assertThat(t.match("ab   \0".getBytes(StandardCharsets.US_ASCII))).contains(Map.of("value", Value.of("ab")));
        assertThat(t.match("     \0".getBytes(StandardCharsets.US_ASCII))).contains(Map.of("value", Value.of("")));
        assertThatIllegalArgumentException().isThrownBy(() -> t.encode(Map.of("value", Value.of("abcdef"))))
                .withMessageContaining("\"abcdef\" takes 6 bytes and the field has 5");
        assertThatIllegalArgumentException().isThrownBy(() -> t.encode(Map.of("value", Value.of("ééé"))))
                .withMessageContaining("6 bytes");
        assertThatIllegalArgumentException().isThrownBy(() -> t.encode(Map.of("value", Value.of("a "))))
                .withMessageContaining("ends with a space");
    }

    @Test
    void aMissingValueAndWordsAndFlagsInNumberFieldsAreRefused() {
        WireTemplate t = WireTemplate.hex("{value:u8}");
        assertThatIllegalArgumentException().isThrownBy(() -> t.encode(Map.of()))
                .withMessage("no value for the field {value}");
        assertThatIllegalArgumentException().isThrownBy(() -> t.encode(Map.of("value", Value.of("ON"))))
                .withMessage("field {value:u8}: \"ON\" is not a number");
        assertThatIllegalArgumentException().isThrownBy(() -> t.encode(Map.of("value", Value.of(true))));
        assertThatIllegalArgumentException()
                .isThrownBy(() -> WireTemplate.text("{value}").encode(Map.of("value", Value.of(true))))
                .withMessageContaining("wire");
    }

    @Test
    void aValueThatWouldEndItsFieldTooEarlyIsRefused() {
        WireTemplate t = WireTemplate.text("TITLE \"{title}\",{size}");
        assertThatIllegalArgumentException()
                .isThrownBy(() -> t.encode(Map.of("title", Value.of("say \",now"), "size", Value.of(1))))
                .withMessageContaining("field {title}").withMessageContaining("\"\",\"");
        assertThat(t.encode(Map.of("title", Value.of("say \" now"), "size", Value.of(1)))).isNotEmpty();
        // The value alone does not hold the literal, but begins it.
        WireTemplate doubled = WireTemplate.text("{a};;{b}");
        assertThatIllegalArgumentException()
                .isThrownBy(() -> doubled.encode(Map.of("a", Value.of("x;"), "b", Value.of(""))));
        // The last field of any length is measured from the end, so it may hold anything.
        WireTemplate last = WireTemplate.text("\"{a}\" ok");
        byte[] bytes = last.encode(Map.of("a", Value.of("\" ok")));
        assertThat(last.match(bytes)).contains(Map.of("a", Value.of("\" ok")));
    }

    @Test
    void fixedFieldsBetweenAFieldOfAnyLengthAndItsLiteralAreFound() {
        WireTemplate t = WireTemplate.text("{name}{level:dec3};{rest}");
        Map<String, Value> values = Map.of("name", Value.of("iris"), "level", Value.of(42), "rest", Value.of("x"));
        assertThat(new String(t.encode(values), StandardCharsets.US_ASCII)).isEqualTo("iris042;x");
        assertThat(t.match("iris042;x".getBytes(StandardCharsets.US_ASCII))).contains(values);
        assertThat(t.match("42;x".getBytes(StandardCharsets.US_ASCII))).isEmpty();
    }

    @Test
    void anyAcceptsWhatFitsItsFormatAndSendsOneOrNothing() {
        assertThat(WireTemplate.hex("{any:u8} 0{any:nibble} {any} ff").encode(Map.of())).containsExactly(1, 1, 0xff);
        assertThat(WireTemplate.text("OK {any}").encode(Map.of())).isEqualTo("OK ".getBytes(StandardCharsets.US_ASCII));
        assertThat(WireTemplate.text("OK {any}").match(new byte[]{'O', 'K', ' ', (byte) 0xc3, 0})).contains(Map.of());
        assertThat(WireTemplate.hex("{any:u16} 05").match(new byte[]{9, 9, 5})).contains(Map.of());
    }

    @Test
    void lengthCountsTheBytesAfterItAndMayCountMoreOrFewer() {
        byte[] bytes = WireTemplate.hex("a0 {length:u16le} {value:text} {check:sum8}")
                .encode(Map.of("value", Value.of("abc")));
        assertThat(bytes).startsWith(0xa0, 4, 0, 'a', 'b', 'c');
        WireTemplate t = WireTemplate.text("L{length};{value}{check:xor@1.hex}");
        Value long12 = Value.of("twelve chars");
        byte[] text = t.encode(Map.of("value", long12));
        assertThat(new String(text, StandardCharsets.US_ASCII)).startsWith("L15;twelve chars").hasSize(18);
        assertThat(t.match(text)).contains(Map.of("value", long12));
        text[2] = '6';
        assertThat(t.match(text)).isEmpty();
        assertThat(WireTemplate.hex("{length:u8+1} 00 00").encode(Map.of())).containsExactly(3, 0, 0);
        assertThatIllegalArgumentException().isThrownBy(() -> WireTemplate.hex("{length:u8-4} 00").encode(Map.of()))
                .withMessageContaining("length");
        WireTemplate small = WireTemplate.hex("{length:u8} {value:text}");
        assertThatIllegalArgumentException().isThrownBy(() -> small.encode(Map.of("value", Value.of("x".repeat(256)))))
                .withMessageContaining("{length:u8}: 256 does not fit");
    }

    @Test
    void aChecksumCanLeaveOutTheFirstBytes() {
        assertThat(WireTemplate.hex("f0 01 02 04 {check:xor@1}").encode(Map.of())).containsExactly(0xf0, 1, 2, 4, 7);
        assertThat(WireTemplate.text("@12{check:sum8@1.hex}").encode(Map.of()))
                .isEqualTo("@1263".getBytes(StandardCharsets.US_ASCII));
        assertThat(
                WireTemplate.text("@12{check:crc16-modbus.hex}").match("@12zzzz".getBytes(StandardCharsets.US_ASCII)))
                .isEmpty();
    }

    @Test
    void anEnvelopeIsNoMessageAndAMessageNoEnvelope() {
        WireTemplate envelope = WireTemplate.text("[{sequence}:{body}]");
        assertThat(envelope.match("[1:x]".getBytes(StandardCharsets.US_ASCII))).isEmpty();
        assertThatIllegalArgumentException().isThrownBy(() -> envelope.encode(Map.of("sequence", Value.of(1))))
                .withMessageContaining("envelope");
        byte[] hostile = {']', '[', ':', 0, (byte) 0xff};
        assertThat(
                envelope.unwrap(envelope.wrap(hostile, Map.of("sequence", Value.of(4294967295L)))).orElseThrow().body())
                .isEqualTo(hostile);
        WireTemplate message = WireTemplate.text("x");
        assertThat(message.unwrap(new byte[]{'x'})).isEmpty();
        assertThatIllegalArgumentException().isThrownBy(() -> message.wrap(hostile, Map.of()))
                .withMessageContaining("{body}");
    }

    @Test
    void bracesAreDoubledInText() {
        assertThat(WireTemplate.text("{{\"on\":{value}}}").encode(Map.of("value", Value.of(1))))
                .isEqualTo("{\"on\":1}".getBytes(StandardCharsets.US_ASCII));
    }

    @ParameterizedTest
    @CsvSource({"size8, 8, way 01 03 02, 255", "size8 or 1, 8, way 01 03 02, 255",
        "size16, 16, way 0100 0000 0200, 65535",
        "size4, 4, way 3 0 2, 15"})
    void sizeAndWayTogetherHoldEveryWholeNumberOfTheirRange(String size, int bits, String way, int most) {
        WireTemplate t = WireTemplate.hex("80 {value:" + size + "}{value:" + way + "} ff");
        for (int n = -most; n <= most; n += bits == 16 ? 97 : 1) {
            Value value = Value.of(n);
            assertThat(t.match(t.encode(Map.of("value", value)))).as("%d", n).contains(Map.of("value", value));
        }
        assertThatIllegalArgumentException().isThrownBy(() -> t.encode(Map.of("value", Value.of(most + 1))))
                .withMessageContaining("does not fit");
        assertThatIllegalArgumentException().isThrownBy(() -> t.encode(Map.of("value", Value.of(0.5))))
                .withMessageContaining("fraction");
    }

    @Test
    void aWayWithoutItsSizeOrWithAnUnknownCodeIsNotRead() {
        WireTemplate both = WireTemplate.hex("{value:size8}{value:way 01 03 02}");
        assertThat(both.match(SPACED.parseHex("05 04"))).as("no such code").isEmpty();
        assertThat(both.match(SPACED.parseHex("00 02"))).as("0 that goes up").isEmpty();
        assertThat(both.match(SPACED.parseHex("07 03"))).as("at rest, whatever the size says")
                .contains(Map.of("value", Value.of(0)));
        assertThat(WireTemplate.hex("{value:size8}").match(SPACED.parseHex("05"))).isEmpty();
        WireTemplate twice = WireTemplate.hex("{value:size8}{value:way 01 03 02}{value:s8}");
        assertThat(twice.match(SPACED.parseHex("05 01 fb"))).contains(Map.of("value", Value.of(-5)));
        assertThat(twice.match(SPACED.parseHex("05 01 fa"))).as("two values for one name").isEmpty();
    }
}
