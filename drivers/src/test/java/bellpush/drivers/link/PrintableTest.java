package bellpush.drivers.link;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import org.junit.jupiter.api.Test;

class PrintableTest {
    private static String shown(String message) {
        return Printable.bytes(message.getBytes(StandardCharsets.UTF_8));
    }

    @Test
    void aLineEndThatTheFramingHasLeftOverIsSeenForWhatItIs() {
        assertThat(shown("SHOWING 2\r")).isEqualTo("SHOWING 2\\r");
        assertThat(shown("SHOWING 2\r\n")).isEqualTo("SHOWING 2\\r\\n");
    }

    @Test
    void bytesStayBytes() {
        assertThat(Printable.bytes(new byte[]{6, 13})).isEqualTo("06 0d");
        assertThat(shown("\r")).isEqualTo("0d");
        assertThat(shown("A\rB")).isEqualTo("41 0d 42");
    }

    @Test
    void aLongTextWithALineEndStaysShort() {
        assertThat(shown("x".repeat(1000) + "\r\n")).hasSizeLessThanOrEqualTo(Printable.LENGTH_MAX);
    }
}
