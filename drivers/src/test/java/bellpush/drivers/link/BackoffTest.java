package bellpush.drivers.link;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.HashSet;
import java.util.Set;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

class BackoffTest {
    @Test
    void doublesFromAQuarterSecondToTenSecondsGiveOrTakeAFifth() {
        Set<Long> firsts = new HashSet<>();
        for (int seed = 0; seed < 200; seed++) {
            var backoff = new Backoff(new SplittableRandom(seed));
            double nominal = 0.25e9;
            for (int attempt = 0; attempt < 10; attempt++) {
                long wait = backoff.nextNanos();
                assertThat((double) wait).isBetween(nominal * 0.8 - 1, Math.min(10e9, nominal * 1.2 + 1));
                if (attempt == 0) {
                    firsts.add(wait);
                }
                nominal = Math.min(10e9, nominal * 2);
            }
            backoff.reset();
            assertThat((double) backoff.nextNanos()).isBetween(0.2e9 - 1, 0.3e9 + 1);
        }
        assertThat(firsts).as("not all devices at the same moment").hasSizeGreaterThan(190);
    }
}
