package bellpush.drivers.osc;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.Instant;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class OscTimeTagTest {

    /** Computed from OSC 1.0, "OSC Time Tags": seconds since 1900-01-01 and a binary fraction, as in NTP (RFC 5905, section 6). */
    @ParameterizedTest
    @CsvSource({"1970-01-01T00:00:00Z, 83aa7e8000000000", "2000-01-01T00:00:00Z, bc17c20000000000",
        "2024-01-01T00:00:00.5Z, e93c7f0080000000", "2036-02-07T06:28:16Z, 0000000000000000",
        "2036-02-07T06:28:15Z, ffffffff00000000", "2036-02-07T06:28:17.25Z, 0000000140000000"})
    void instantsAndTagsAgree(Instant instant, String hex) {
        OscTimeTag tag = new OscTimeTag(Long.parseUnsignedLong(hex, 16));
        assertThat(OscTimeTag.of(instant)).isEqualTo(tag);
        assertThat(tag.instant(instant)).isEqualTo(instant);
        assertThat(tag.instant(instant.plus(Duration.ofDays(60 * 365)))).isEqualTo(instant);
        assertThat(tag.instant(instant.minus(Duration.ofDays(60 * 365)))).isEqualTo(instant);
    }

    @Test
    void everyNanosecondSurvivesThereAndBack() {
        Random random = new Random(1);
        for (int n = 0; n < 100_000; n++) {
            Instant instant = Instant.ofEpochSecond(random.nextLong(-2_000_000_000L, 5_000_000_000L),
                    random.nextInt(1_000_000_000));
            OscTimeTag tag = OscTimeTag.of(instant);
            assertThat(tag.instant(instant.plusSeconds(random.nextInt(-2_000_000_000, 2_000_000_000))))
                    .isEqualTo(instant);
            assertThat(tag.immediately()).isFalse();
        }
        assertThat(OscTimeTag.of(Instant.ofEpochSecond(5, 999_999_999)).instant(Instant.EPOCH))
                .isEqualTo(Instant.ofEpochSecond(5, 999_999_999));
    }

    @Test
    void distanceIsExactAlsoAcrossTheTurnOfTheEra() {
        Instant turn = Instant.parse("2036-02-07T06:28:16Z");
        OscTimeTag before = OscTimeTag.of(turn.minusMillis(1_500));
        OscTimeTag after = OscTimeTag.of(turn.plusMillis(250));
        assertThat(after.nanosAfter(before)).isEqualTo(1_750_000_000L);
        assertThat(before.nanosAfter(after)).isEqualTo(-1_750_000_000L);
        assertThat(before.before(after)).isTrue();
        assertThat(after.before(before)).isFalse();
        assertThat(before.before(before)).isFalse();
    }

    /** OSC 1.0: "the time tag value consisting of 63 zero bits followed by a one in the least significant bit" means immediately. */
    @Test
    void immediatelyIsNoTime() {
        assertThat(new OscTimeTag(1)).isEqualTo(OscTimeTag.IMMEDIATELY).hasToString("immediately");
        assertThat(OscTimeTag.IMMEDIATELY.nanosAfter(OscTimeTag.of(Instant.EPOCH))).isZero();
        assertThat(OscTimeTag.IMMEDIATELY.before(OscTimeTag.of(Instant.EPOCH))).isTrue();
        assertThat(OscTimeTag.of(Instant.EPOCH).before(OscTimeTag.IMMEDIATELY)).isFalse();
    }
}
