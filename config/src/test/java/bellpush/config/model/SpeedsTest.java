package bellpush.config.model;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import bellpush.config.model.Speeds.Entry;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;

class SpeedsTest {
    private static final Speeds HOIST = Speeds.of("hoist",
            List.of(new Entry(1, 0.02), new Entry(4, 0.1), new Entry(7, 0.5)));

    @Test
    void betweenTwoEntriesItLiesEvenly() {
        assertThat(HOIST.perSecond(4)).isCloseTo(0.1, within(1e-12));
        assertThat(HOIST.perSecond(5.5)).isCloseTo(0.3, within(1e-12));
        assertThat(HOIST.perSecond(0.5)).isCloseTo(0.01, within(1e-12));
        assertThat(HOIST.perSecond(0)).isZero();
    }

    @Test
    void whatIsToldOfOneWayCountsForTheOther() {
        assertThat(HOIST.perSecond(-4)).isCloseTo(-0.1, within(1e-12));
        assertThat(HOIST.speed(-0.3)).isCloseTo(-5.5, within(1e-12));
    }

    @Test
    void beyondTheTableTheLastEntryCounts() {
        assertThat(HOIST.perSecond(9)).isEqualTo(0.5);
        assertThat(HOIST.speed(2)).isEqualTo(7);
        assertThat(HOIST.speed(-2)).isEqualTo(-7);
    }

    @Test
    void aSpeedAboveZeroMayLeadDown() {
        Speeds down = Speeds.of("lower", List.of(new Entry(-2, 3), new Entry(10, -5)));
        assertThat(down.perSecond(10)).isEqualTo(-5);
        assertThat(down.perSecond(-2)).isEqualTo(3);
        assertThat(down.speed(-2.5)).isCloseTo(5, within(1e-12));
        assertThat(down.speed(1.5)).isCloseTo(-1, within(1e-12));
        assertThat(down.fastest(true, new PropertyType.Range(-2, 10))).isEqualTo(3);
        assertThat(down.fastest(false, new PropertyType.Range(-2, 10))).isEqualTo(-5);
    }

    @Test
    void whatGoesOneWayOnlyHasNoSpeedForTheOther() {
        assertThat(HOIST.fastest(true, new PropertyType.Range(0, 7))).isEqualTo(0.5);
        assertThat(HOIST.fastest(false, new PropertyType.Range(0, 7))).isZero();
        assertThat(HOIST.fastest(true, new PropertyType.Range(-7, 4))).isCloseTo(0.1, within(1e-12));
    }

    @Test
    void aTimeIsCountedInTheUnitOfTheDevice() {
        Template send = new Template.Text("GO {value} {over}");
        Move frames = new Move(send, Duration.ofMillis(40), true, Duration.ofSeconds(10), Optional.empty());
        Move seconds = new Move(send, Duration.ofSeconds(1), false, Duration.ofHours(1), Optional.empty());
        assertThat(frames.wire(Duration.ofSeconds(1))).isEqualTo(Value.of(25));
        assertThat(frames.wire(Duration.ofMillis(3))).as("never no time").isEqualTo(Value.of(1));
        assertThat(frames.time(25)).isEqualTo(Duration.ofSeconds(1));
        assertThat(frames.type()).isEqualTo(new PropertyType.Whole(1, 250, "", Optional.empty()));
        assertThat(seconds.wire(Duration.ofMillis(1_234))).isEqualTo(Value.of(1.234));
        assertThat(seconds.time(1.234)).isEqualTo(Duration.ofMillis(1_234));
    }
}
