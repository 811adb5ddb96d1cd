package bellpush.config.wire;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Value;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.Map;
import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.Size;
import org.junit.jupiter.api.Test;

class RoundTripTest {
    @Property(tries = 4_000)
    void whatIsEncodedIsReadBack(@ForAll long seed) {
        Random random = new Random(seed);
        RandomMessage m = sensible(random, false);
        byte[] bytes = m.compiled().encode(m.values());
        assertThat(m.compiled().match(bytes)).as("%s as %s", m, HexFormat.ofDelimiter(" ").formatHex(bytes))
                .contains(m.expected());
    }

    @Property(tries = 1_000)
    void whatIsWrappedIsUnwrapped(@ForAll long seed, @ForAll @Size(max = 40) byte[] body) {
        RandomMessage m = sensible(new Random(seed), true);
        byte[] bytes = m.compiled().wrap(body, m.values());
        assertThat(m.compiled().unwrap(bytes)).as("%s", m).hasValueSatisfying(u -> {
            assertThat(u.body()).isEqualTo(body);
            assertThat(u.fields()).isEqualTo(m.expected());
        });
    }

    /** A message cut short or with something after it is another message, unless a field of any length takes up the change. */
    @Property(tries = 1_000)
    void aMessageOfFixedWidthIsNotReadWhenOneByteShortOrLong(@ForAll long seed) {
        RandomMessage m = sensible(new Random(seed), false);
        if (m.compiled().fields().stream().anyMatch(f -> f.format().width() < 0)) {
            return;
        }
        byte[] bytes = m.compiled().encode(m.values());
        assertThat(m.compiled().match(Arrays.copyOf(bytes, bytes.length - 1))).isEmpty();
        assertThat(m.compiled().match(Arrays.copyOf(bytes, bytes.length + 1))).isEmpty();
    }

    @Test
    void hostileBytesNeverThrow() {
        Random random = new Random(20_250_301);
        int read = 0;
        for (int i = 0; i < 100_000; i++) {
            boolean envelope = i % 4 == 0;
            RandomMessage m = sensible(random, envelope);
            byte[] bytes = new byte[random.nextInt(60)];
            random.nextBytes(bytes);
            if (i % 2 == 0) { // near misses go deeper than noise
                bytes = envelope ? m.compiled().wrap(bytes, m.values()) : m.compiled().encode(m.values());
                for (int hits = random.nextInt(3); hits > 0 && bytes.length > 0; hits--) {
                    bytes[random.nextInt(bytes.length)] = (byte) random.nextInt();
                }
                bytes = Arrays.copyOf(bytes, Math.max(0, bytes.length + random.nextInt(5) - 2));
            }
            byte[] before = bytes.clone();
            read += m.compiled().match(bytes).isPresent() || m.compiled().unwrap(bytes).isPresent() ? 1 : 0;
            assertThat(bytes).isEqualTo(before);
        }
        assertThat(read).as("some near misses must still fit, or this test looks at nothing").isBetween(1_000, 90_000);
    }

    @Test
    void hugeHostileMessagesTakeNoMoreThanAFewLooksAtEachByte() {
        WireTemplate t = WireTemplate.text("{a};{b};{c};{d};{e}!");
        byte[] semicolons = new byte[4_000_000];
        Arrays.fill(semicolons, (byte) ';');
        assertThat(t.match(semicolons)).isEmpty(); // backtracking would be at this for years
        semicolons[semicolons.length - 1] = '!';
        assertThat(t.match(semicolons).orElseThrow()).containsEntry("a", Value.of("")).containsKey("e");
    }

    @Test
    void theSameNameTwiceMustHoldTheSameValue() {
        WireTemplate t = WireTemplate.hex("{value:u8} {value:u16}");
        assertThat(t.encode(Map.of("value", Value.of(7)))).containsExactly(7, 0, 7);
        assertThat(t.match(new byte[]{7, 0, 7})).contains(Map.of("value", Value.of(7)));
        assertThat(t.match(new byte[]{7, 0, 8})).isEmpty();
    }

    /** The maker may come out with no piece at all, or with a checksum as an empty template's only piece. */
    private static RandomMessage sensible(Random random, boolean envelope) {
        while (true) {
            try {
                return RandomMessage.from(random, envelope);
            } catch (TemplateException e) {
                assertThat(e).hasMessageContaining("the template is empty");
            }
        }
    }
}
