package bellpush.runtime.panel.chips;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import org.junit.jupiter.api.Test;

class BusTurnTest {
    private final AtomicInteger woken = new AtomicInteger();
    private final BusTurn turn = new BusTurn(woken::incrementAndGet);

    /** Does something on another thread, and waits for its end. */
    private static void elsewhere(Runnable what) throws InterruptedException {
        CountDownLatch done = new CountDownLatch(1);
        Thread.ofVirtual().start(() -> {
            what.run();
            done.countDown();
        });
        assertThat(done.await(10, TimeUnit.SECONDS)).isTrue();
    }

    @Test
    void aReaderThatWasRefusedIsWokenWhenItIsFreeAndNobodyElseIs() throws InterruptedException {
        turn.take();
        turn.give();
        assertThat(woken).hasValue(0);
        turn.take();
        elsewhere(() -> assertThat(turn.tryTake()).isFalse());
        assertThat(woken).hasValue(0);
        turn.give();
        assertThat(woken).hasValue(1);
        assertThat(turn.tryTake()).isTrue();
        turn.give();
        assertThat(woken).hasValue(1);
    }

    @Test
    void whoHasItMayTakeItAgainAndGivesItBackAsOften() throws InterruptedException {
        turn.take();
        assertThat(turn.tryTake()).isTrue();
        turn.take();
        turn.give();
        turn.give();
        elsewhere(() -> assertThat(turn.mayTake()).isFalse());
        turn.give();
        elsewhere(() -> {
            assertThat(turn.tryTake()).isTrue();
            turn.give();
        });
    }

    @Test
    void lampsAreSetThoughTheReaderThatWasRefusedNeverComes() throws InterruptedException {
        turn.take();
        elsewhere(() -> assertThat(turn.mayTake()).isFalse());
        turn.give();
        elsewhere(() -> {
            turn.take();
            turn.give();
            turn.take();
            turn.give();
        });
    }

    @Test
    void anInterruptedThreadStillGetsItsTurnAndStaysInterrupted() throws InterruptedException {
        turn.take();
        CountDownLatch got = new CountDownLatch(1);
        Thread writer = Thread.ofPlatform().start(() -> {
            turn.take();
            if (Thread.currentThread().isInterrupted()) {
                got.countDown();
            }
            turn.give();
        });
        writer.interrupt();
        turn.give();
        assertThat(got.await(10, TimeUnit.SECONDS)).isTrue();
        writer.join();
    }
}
