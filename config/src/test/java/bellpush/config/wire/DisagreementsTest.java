package bellpush.config.wire;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.PropertyType;
import bellpush.config.model.PropertyType.WireRange;
import bellpush.config.model.Value;
import bellpush.config.wire.WireTemplate.Disagreement;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.Test;

class DisagreementsTest {
    private static final PropertyType FLAG = new PropertyType.Flag(Value.of(0), Value.of(1));
    private static final PropertyType ON_OFF = new PropertyType.Flag(Value.of("OFF"), Value.of("ON"));

    private static PropertyType whole(long min, long max) {
        return new PropertyType.Whole(min, max, "", Optional.empty());
    }

    private static PropertyType scaled(double from, double to) {
        return new PropertyType.Number(-60, 10, 0.1, "dB", Optional.of(new WireRange(from, to)));
    }

    private static PropertyType choice(Object... namesAndWires) {
        Map<String, Value> wires = new LinkedHashMap<>();
        for (int i = 0; i < namesAndWires.length; i += 2) {
            wires.put((String) namesAndWires[i], (Value) namesAndWires[i + 1]);
        }
        return new PropertyType.Choice(wires);
    }

    private static List<Disagreement> of(WireTemplate template, PropertyType value) {
        return template.disagreements(name -> name.equals("value") ? Optional.of(value) : Optional.empty());
    }

    private static void one(List<Disagreement> found, int offset, String... words) {
        assertThat(found).singleElement().satisfies(d -> {
            assertThat(d.offset()).isEqualTo(offset);
            assertThat(d.words()).contains(words);
        });
    }

    @Test
    void whatAgreesIsNotComplainedAbout() {
        assertThat(of(WireTemplate.hex("01 {value:u8}"), FLAG)).isEmpty();
        assertThat(of(WireTemplate.text("KEY {value}"), ON_OFF)).isEmpty();
        assertThat(of(WireTemplate.hex("{value:u8} {any:u8} {length:u8} {sequence:u8} {check:xor}"), whole(0, 255)))
                .isEmpty();
        assertThat(of(WireTemplate.hex("{value:s8}"), whole(-128, 127))).isEmpty();
        assertThat(of(WireTemplate.hex("{value:u16}"), scaled(0, 4095))).isEmpty();
        assertThat(of(WireTemplate.hex("{value:f32}"), scaled(0, 1))).isEmpty();
        assertThat(of(WireTemplate.text("{value}"), scaled(0, 1))).isEmpty();
        assertThat(of(WireTemplate.hex("{value:u8}"), choice("slides", Value.of(3), "titles", Value.of(9)))).isEmpty();
        assertThat(of(WireTemplate.hex("{value:text8}"), new PropertyType.Text(8))).isEmpty();
        assertThat(WireTemplate.text("OK {any}").disagreements(_ -> Optional.empty())).isEmpty();
    }

    @Test
    void rangesThatDoNotFit() {
        one(of(WireTemplate.hex("01 {value:u8}"), whole(0, 256)), 3, "greatest value is 256", "u8 holds 0 to 255");
        one(of(WireTemplate.hex("01 {value:u8}"), whole(-1, 5)), 3, "least value is -1");
        one(of(WireTemplate.hex("{value:s8}"), scaled(4095, 0)), 0, "on the wire is 4095");
        one(of(WireTemplate.hex("0{value:nibble}"), whole(0, 16)), 1, "nibble holds 0 to 15");
        one(of(WireTemplate.text("{value:dec2}"), whole(-10, 0)), 0, "-9 to 99");
        one(of(WireTemplate.hex("{value:text2}"), whole(0, 100)), 0, "takes 3 bytes");
    }

    @Test
    void fractionsInFieldsOfWholeNumbers() {
        one(of(WireTemplate.hex("{value:u8}"), scaled(0, 1)), 0, "fraction", "wire");
        one(of(WireTemplate.hex("{value:u8}"), new PropertyType.Number(0, 10, 1, "", Optional.empty())), 0, "fraction",
                "make the type whole");
        one(of(WireTemplate.hex("{value:text8}"), scaled(0, 1)), 0, "no fixed length");
    }

    @Test
    void wordsAndTextInFieldsOfNumbers() {
        assertThat(of(WireTemplate.hex("{value:u8}"), ON_OFF)).hasSize(2).first()
                .satisfies(d -> assertThat(d.words()).contains("the word \"OFF\"", "{value:text}"));
        one(of(WireTemplate.hex("{value:u8}"), choice("a", Value.of(1), "b", Value.of("B"), "c", Value.of("C"))), 0,
                "\"b\"", "the word \"B\"");
        one(of(WireTemplate.hex("{value:u8}"), choice("a", Value.of(300))), 0, "the wire value of \"a\" is 300");
        one(of(WireTemplate.text("{value:dec3}"), new PropertyType.Text(10)), 0, "is text", "{value:text}");
        one(of(WireTemplate.hex("{value:text8}"), new PropertyType.Text(9)), 0, "\"longest\": 8");
        assertThat(of(WireTemplate.text("{value}"), new PropertyType.Flag(Value.of(false), Value.of(true)))).hasSize(2);
    }

    @Test
    void fieldsThatNobodyKnowsOrThatSayNothing() {
        one(WireTemplate.text("A {lavel}").disagreements(_ -> Optional.empty()), 2,
                "no property or argument \"lavel\"");
        one(WireTemplate.text("A {value}").disagreements(_ -> Optional.empty()), 2, "{value} means nothing here");
        one(of(WireTemplate.text("A {any}"), FLAG), 2, "only field", "{value}");
        one(of(WireTemplate.text("{value},{body}"), FLAG), 8, "only an envelope");
    }

    @Test
    void fieldsWhoseEndNothingMarks() {
        WireTemplate t = WireTemplate.text("A {value}{check:xor.hex}{title}");
        one(t.disagreements(_ -> Optional.of(new PropertyType.Text(5))), 2, "nothing marks where {value} ends");
        assertThat(t.match("A xy".getBytes(java.nio.charset.StandardCharsets.US_ASCII))).isEmpty();
        one(WireTemplate.hex("{any:nibble}{any:nibble} 0{any:nibble} {value:text} {title:text} 00")
                .disagreements(_ -> Optional.of(new PropertyType.Text(5))), 39, "nothing marks where {value} ends");
    }

    @Test
    void whatAnEnvelopeMayHold() {
        assertThat(WireTemplate.hex("02 {length:u8} {sequence:u8} {body} {check:xor}").envelopeDisagreements())
                .isEmpty();
        one(WireTemplate.hex("02 {length:u8}").envelopeDisagreements(), 0, "{body}");
        one(WireTemplate.hex("02 {title:u8} {body}").envelopeDisagreements(), 3, "knows no {title}");
    }

    @Test
    void aSizeWantsItsWayAndAWayItsSize() {
        assertThat(of(WireTemplate.hex("{value:size8} {value:way 01 03 02}"), whole(-255, 255))).isEmpty();
        one(of(WireTemplate.hex("81 {value:size8}"), whole(-24, 24)), 3, "not which way", "{value:way");
        one(of(WireTemplate.hex("81 {value:way 01 03 02}"), whole(-1, 1)), 3, "not how great", "{value:size8}");
        one(of(WireTemplate.hex("81 {value:size8 or 8} {value:way 01 03 02}"), whole(-300, 24)), 3, "-300",
                "-255 to 255");
    }
}
