package bellpush.runtime.panel.chips;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;

class ChipsThreadTest {
    private final List<String> ran = new ArrayList<>();
    private final List<String> failures = new ArrayList<>();

    private Chore chore(String name, long wait) {
        return new Chore() {
            private boolean done;

            @Override
            public long waitNanos(long now) {
                return done ? NEVER : wait;
            }

            @Override
            public void run(long now) {
                done = true;
                ran.add(name);
                if (name.equals("broken")) {
                    throw new IllegalStateException("a mistake");
                }
            }
        };
    }

    @Test
    void theMostOverdueChoreGoesFirstAndAnInterruptBeforeAll() {
        ChipsThread thread = new ChipsThread("chips", new World(), failures::add);
        thread.add(chore("later", 5));
        thread.add(chore("due", 0));
        thread.add(chore("overdue", -7));
        thread.add(chore("interrupt", Chore.AT_ONCE));
        while (thread.runDue(0) <= 0) {
            // one at a time
        }
        assertThat(ran).containsExactly("interrupt", "overdue", "due");
        assertThat(thread.runDue(0)).isEqualTo(5);
    }

    @Test
    void aChoreThatFailsDoesNotSilenceTheOthers() {
        ChipsThread thread = new ChipsThread("chips", new World(), failures::add);
        thread.add(chore("broken", 0));
        thread.runDue(0);
        thread.add(chore("sound", 0));
        thread.runDue(0);
        assertThat(ran).containsExactly("broken", "sound");
        assertThat(failures).singleElement().asString().contains("a mistake");
    }

    @Test
    void theRealThreadSleepsUntilItIsWokenAndEnds() throws InterruptedException {
        CountDownLatch waiting = new CountDownLatch(1);
        CountDownLatch woken = new CountDownLatch(1);
        try (ChipsThread thread = new ChipsThread("chips", Clock.REAL, failures::add)) {
            thread.add(new Chore() {
                private volatile boolean asked;

                @Override
                public long waitNanos(long now) {
                    if (waiting.getCount() > 0) {
                        waiting.countDown();
                        asked = true;
                        return NEVER;
                    }
                    return asked && woken.getCount() > 0 ? 0 : NEVER;
                }

                @Override
                public void run(long now) {
                    assertThat(Thread.currentThread().getName()).isEqualTo("chips");
                    woken.countDown();
                }
            });
            thread.start();
            assertThat(waiting.await(10, TimeUnit.SECONDS)).isTrue();
            thread.wake();
            assertThat(woken.await(10, TimeUnit.SECONDS)).isTrue();
        }
        assertThat(failures).isEmpty();
    }
}
