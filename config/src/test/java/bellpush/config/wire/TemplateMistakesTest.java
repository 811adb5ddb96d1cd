package bellpush.config.wire;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatCode;
import static org.assertj.core.api.Assertions.assertThatExceptionOfType;

import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** What people get wrong in templates: where it is said to be, and what cure is offered. */
class TemplateMistakesTest {
    @ParameterizedTest
    @CsvSource(delimiter = '|', value = {"81 0 ff|3|half a byte", "8|0|half a byte",
        "81 {value:nibble} ff|3|half a byte",
        "81 {value} ff|3|{value:u8}", "81 {value:u9} ff|10|did you mean u8?",
        "81 {value:nible}0 ff|10|did you mean nibble?",
        "81 zz|3|no hex digit", "81 {value:u8|3|{ without a }", "81 }|3|no hex digit", "{value:bcd3}|7|bcd4",
        "{value:dec}|7|dec4",
        "{value:dec16}|7|1 to 15", "{value:nibbles0}|7|1 to 13", "{value:}|7|nothing after the colon",
        "{:u8}|1|without a name",
        "{va lue:u8}|1|no name of a field", "{check}|0|known are xor",
        "00 {check:crc16-modbuz}|10|did you mean crc16-modbus?",
        "00 {check:xor@}|10|xor@1", "00 {check:xor@2}|10|only 1 bytes", "{length:u8} {length:u8} 00|12|only once",
        "{length:s8} 00|8|u16",
        "{length} 00|0|{length:u16}", "{length:u8-} 00|10|{length:u16-4}", "{sequence:f32}|10|cannot be",
        "{body:u8}|6|no format",
        "{{value:u8}}|0|{ without a }", "{value:text2000}|7|1 to 1024", "{value:xyzzyx}|7|the formats here are",
        "{value:size}|7|size8 or 1", "{value:size8 or 256}|7|does not fit 8 bits", "{value:way}|7|way 01 03 02",
        "{value:way 01 03 2}|7|hex digits each", "{value:way 01 03 01}|7|three different ones",
        "0{value:size8}|0|half a byte", "{length:size8}|8|cannot be"})
    void inHexTemplates(String template, int offset, String cure) {
        assertThatExceptionOfType(TemplateException.class).isThrownBy(() -> WireTemplate.hex(template))
                .satisfies(e -> assertThat(e.offset()).isEqualTo(offset)).withMessageContaining(cure);
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|', value = {"A } B|2|}}", "A {value|2|{{", "A {value:u8}|9|is a format of hex templates",
        "A {value:text5}|9|is a format of hex templates", "A {check:xor}|9|{check:xor.hex}",
        "A {value:dex4}|9|did you mean dec4?", "A {value:size8}|9|is a format of hex templates",
        "A {value:way 0 1 2}|9|is a format of hex templates",
        "A {v{w}|2|{ without a }", "A {-v}|3|no name of a field", "A {v.}|3|no name of a field",
        "A {sequence}{sequence}|12|only once",
        "''|0|the template is empty"})
    void inTextTemplates(String template, int offset, String cure) {
        assertThatExceptionOfType(TemplateException.class).isThrownBy(() -> WireTemplate.text(template))
                .satisfies(e -> assertThat(e.offset()).isEqualTo(offset)).withMessageContaining(cure);
    }

    @Test
    void limitsAreKept() {
        assertThatExceptionOfType(TemplateException.class).isThrownBy(() -> WireTemplate.text("x".repeat(4097)))
                .withMessageContaining("4096");
        assertThatExceptionOfType(TemplateException.class).isThrownBy(() -> WireTemplate.hex("{any:u8}".repeat(65)))
                .withMessageContaining("64 fields");
        assertThatExceptionOfType(TemplateException.class).isThrownBy(() -> WireTemplate.text("a\ud83d"))
                .satisfies(e -> assertThat(e.offset()).isEqualTo(1));
        assertThat(WireTemplate.text("x".repeat(4096)).encode(java.util.Map.of())).hasSize(4096);
    }

    @Test
    void whateverIsTypedEndsInATemplateOrAMistakeWithinIt() {
        String[] bits = {"{", "}", ":", "value", "any", "check", "length", "body", "sequence", "u8", "nibble", "dec",
            "bcd3", "@", "xor", ".hex", "8",
            "f", " ", "+", "-", "99999999999", "é", "\ud83d", "text", ".", "\n"};
        Random random = new Random(7);
        for (int i = 0; i < 50_000; i++) {
            StringBuilder s = new StringBuilder();
            for (int n = random.nextInt(12); n >= 0; n--) {
                s.append(bits[random.nextInt(bits.length)]);
            }
            String template = s.toString();
            assertThatCode(() -> {
                try {
                    WireTemplate t = random.nextBoolean() ? WireTemplate.hex(template) : WireTemplate.text(template);
                    assertThat(t.toString()).isEqualTo(template);
                } catch (TemplateException e) {
                    assertThat(e.offset()).isBetween(0, template.length());
                    assertThat(e.getMessage()).isNotBlank();
                }
            }).as(template).doesNotThrowAnyException();
        }
    }
}
