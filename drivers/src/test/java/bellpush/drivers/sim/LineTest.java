package bellpush.drivers.sim;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import bellpush.config.model.Rehearsal.Fault;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

class LineTest {
    private final VirtualTime time = new VirtualTime();
    private final List<String> heard = new ArrayList<>();
    private final Line<String> line = new Line<>(time, 3);

    @Test
    void aGoodLineCarriesAtOnce() {
        line.carry("a", heard::add);
        assertThat(heard).containsExactly("a");
        assertThat(line.arrives()).isTrue();
    }

    @Test
    void aSlowLineIsLateByTheTimeGivenAndKeepsTheOrder() {
        line.fault(new Fault.Slow(Duration.ofMillis(800)));
        line.carry("a", heard::add);
        time.advance(Duration.ofMillis(300));
        line.carry("b", heard::add);
        time.advance(Duration.ofMillis(499));
        assertThat(heard).isEmpty();
        time.advance(Duration.ofMillis(1));
        assertThat(heard).containsExactly("a");
        time.advance(Duration.ofMillis(299));
        assertThat(heard).containsExactly("a");
        time.advance(Duration.ofMillis(1));
        assertThat(heard).containsExactly("a", "b");
    }

    @Test
    void aLineThatGetsBetterDeliversWhatWaitsBeforeWhatComesNext() {
        line.fault(new Fault.Slow(Duration.ofSeconds(30)));
        line.carry("a", heard::add);
        line.carry("b", heard::add);
        line.fault(new Fault.Slow(Duration.ofMillis(100)));
        time.advance(Duration.ofMillis(99));
        line.carry("c", heard::add);
        assertThat(heard).isEmpty();
        line.fault(new Fault.Works());
        line.carry("d", heard::add);
        time.advance(Duration.ZERO);
        assertThat(heard).containsExactly("a", "b", "c", "d");
        line.carry("e", heard::add);
        assertThat(heard).endsWith("d", "e");
        assertThat(time.waiting()).isZero();
    }

    @Test
    void onlySoManyLateMessagesWait() {
        line.fault(new Fault.Slow(Duration.ofHours(1)));
        for (int i = 0; i < 100_000; i++) {
            line.carry("" + i, heard::add);
        }
        time.advance(Duration.ofHours(2));
        assertThat(heard).hasSize(Line.WAITING_MAX).startsWith("0").endsWith("" + (Line.WAITING_MAX - 1));
    }

    @Test
    void aDeafDeviceHearsAndSaysNothingEvenOfWhatWasLate() {
        line.fault(new Fault.Slow(Duration.ofMillis(800)));
        line.carry("a", heard::add);
        line.fault(new Fault.Deaf());
        line.carry("b", heard::add);
        time.advance(Duration.ofSeconds(5));
        assertThat(heard).isEmpty();
        assertThat(line.arrives()).isFalse();
        line.fault(new Fault.Works());
        line.carry("c", heard::add);
        assertThat(heard).containsExactly("c");
    }

    @Test
    void aBadLineLosesItsShareInBothDirectionsAndTheSameOnesForTheSameSeed() {
        Line<String> same = new Line<>(time, 3);
        List<String> heardBySame = new ArrayList<>();
        line.fault(new Fault.Drops(0.3));
        same.fault(new Fault.Drops(0.3));
        int arrived = 0;
        for (int i = 0; i < 10_000; i++) {
            line.carry("" + i, heard::add);
            same.carry("" + i, heardBySame::add);
            boolean arrives = line.arrives();
            assertThat(same.arrives()).isEqualTo(arrives);
            arrived += arrives ? 1 : 0;
        }
        assertThat(arrived / 10_000.0).isCloseTo(0.7, within(0.03));
        assertThat(heard.size() / 10_000.0).isCloseTo(0.7, within(0.03));
        assertThat(heard).isEqualTo(heardBySame);
    }

    @Test
    void sharesOfNothingAndOfAll() {
        line.fault(new Fault.Drops(0));
        line.carry("a", heard::add);
        line.fault(new Fault.Drops(1));
        line.carry("b", heard::add);
        assertThat(line.arrives()).isFalse();
        assertThat(heard).containsExactly("a");
    }
}
