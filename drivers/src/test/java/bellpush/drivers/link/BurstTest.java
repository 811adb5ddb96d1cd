package bellpush.drivers.link;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

class BurstTest {
    private final HandTimers timers = new HandTimers();
    private final List<String> notes = new ArrayList<>();
    private final Burst burst = new Burst(timers, notes::add, "odd things");

    @Test
    void theFirstIsToldAtOnceTheRestAsACountEveryTenSeconds() {
        for (int i = 0; i < 1000; i++) {
            burst.add("number " + i);
        }
        assertThat(notes).containsExactly("number 0");
        timers.advanceMs(10_000);
        assertThat(notes).containsExactly("number 0", "999 more odd things in the last 10 s");
        assertThat(burst.total()).isEqualTo(1000);
    }

    @Test
    void aNewBurstAfterAQuietTimeIsToldInFullAgain() {
        burst.add("one");
        timers.advanceMs(10_001);
        burst.add("two");
        assertThat(notes).containsExactly("one", "two");
        assertThat(timers.pending()).isEqualTo(1);
    }

    @Test
    void anHourOfTroubleIsAtMostOneLineInTenSeconds() {
        for (int i = 0; i < 36_000; i++) {
            burst.add("again");
            timers.advanceMs(100);
        }
        assertThat(notes).hasSizeBetween(300, 361);
    }
}
