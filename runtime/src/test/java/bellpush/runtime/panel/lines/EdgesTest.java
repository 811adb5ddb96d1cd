package bellpush.runtime.panel.lines;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import org.junit.jupiter.api.Test;

/** Numbers as drivers/gpio/gpiolib-cdev.c of Linux 6.12 gives them: one a request's interrupt, one a line's event. */
class EdgesTest {
    private final Edges edges = new Edges();

    private static Uapi.Event event(long at, int offset, int number, int lineNumber) {
        return new Uapi.Event(at, offset, lineNumber % 2 == 1, number, lineNumber);
    }

    @Test
    void eventsComeInTheOrderOfTime() {
        Edges.Batch batch = edges.take(List.of(event(20, 4, 2, 1), event(10, 5, 1, 1), event(30, 5, 3, 2)), false);
        assertThat(batch.events()).extracting(Uapi.Event::atNanos).containsExactly(10L, 20L, 30L);
        assertThat(batch.gap()).isFalse();
        assertThat(batch.lost()).isZero();
    }

    @Test
    void mergedInterruptsAreAGapAndNoLoss() {
        Edges.Batch batch = edges.take(List.of(event(10, 5, 1, 1), event(20, 5, 4, 2)), false);
        assertThat(batch.gap()).isTrue();
        assertThat(batch.lost()).isZero();
    }

    @Test
    void anEventThatWasOvertakenIsMissedOnceAndThenIsNoGap() {
        assertThat(edges.take(List.of(event(20, 4, 2, 1)), false).gap()).isTrue();
        assertThat(edges.take(List.of(event(10, 5, 1, 1)), false).gap()).isFalse();
        assertThat(edges.take(List.of(event(30, 5, 3, 2)), false).gap()).isFalse();
    }

    @Test
    void aLinesMissingEventsAreLost() {
        edges.take(List.of(event(10, 5, 1, 1)), false);
        Edges.Batch batch = edges.take(List.of(event(90, 5, 9, 9)), false);
        assertThat(batch.gap()).isTrue();
        assertThat(batch.lost()).isEqualTo(7);
    }

    @Test
    void ofAFullBufferOtherLinesEventsMayBeLostToo() {
        assertThat(edges.take(List.of(event(90, 5, 9, 9)), true).lost()).isEqualTo(8);
        assertThat(edges.take(List.of(event(99, 5, 20, 10)), true).lost()).isEqualTo(10);
    }

    @Test
    void numbersMayWrap() {
        edges.take(List.of(event(1, 5, Integer.MAX_VALUE, Integer.MAX_VALUE)), false);
        edges.take(List.of(event(2, 5, -2, -2)), false);
        Edges.Batch batch = edges.take(List.of(event(3, 5, -1, -1), event(4, 5, 0, 0), event(5, 5, 1, 1)), false);
        assertThat(batch.gap()).isFalse();
        assertThat(batch.lost()).isZero();
    }
}
