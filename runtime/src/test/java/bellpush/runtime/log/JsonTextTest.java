package bellpush.runtime.log;

import static org.assertj.core.api.Assertions.assertThat;

import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import org.junit.jupiter.api.Test;
import tools.jackson.core.JsonParser;
import tools.jackson.core.ObjectReadContext;
import tools.jackson.core.json.JsonFactory;

class JsonTextTest {
    @Test
    void whatRfc8259AsksForIsEscaped() {
        // RFC 8259 section 7: quotation mark, reverse solidus, and the control characters U+0000 to U+001F.
        assertThat(JsonText.quoted("\"\\\u0000\u001f\n")).isEqualTo("\"\\\"\\\\\\u0000\\u001f\\n\"");
    }

    @Test
    void whatCouldFoolATerminalIsEscapedToo() {
        assertThat(JsonText.quoted("a\u007f\u009b31m\u2028\u202e\ufeff")).isEqualTo(
                "\"a\\u007f\\u009b31m\\u2028\\u202e\\ufeff\"");
    }

    @Test
    void lettersOfAnyLanguageStayReadable() {
        assertThat(JsonText.quoted("Küche, 音声, 🎬")).isEqualTo("\"Küche, 音声, 🎬\"");
    }

    @Test
    void loneSurrogatesAreEscapedAndPairsAreNot() {
        assertThat(JsonText.quoted("\ud83d\ud83c\udfac\udfac")).isEqualTo("\"\\ud83d\ud83c\udfac\\udfac\"");
    }

    /** The reference is Jackson's parser. */
    @Property
    void anyTextReadsBackAsItWas(@ForAll String text) {
        try (JsonParser parser = new JsonFactory().createParser(ObjectReadContext.empty(), JsonText.quoted(text))) {
            parser.nextToken();
            assertThat(parser.getString()).isEqualTo(text);
        }
    }
}
