package bellpush.runtime.screen;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.LinkState;
import bellpush.config.model.Look;
import bellpush.runtime.panel.PanelListener;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.BooleanSupplier;
import org.jline.utils.ScreenTerminal;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;

class DrawnPanelTest {
    /** A terminal in memory: what is sent goes to JLine's emulation, what is read comes from a queue. */
    private static final class MemoryScreen implements Screen {
        final ScreenTerminal emulation = new ScreenTerminal(80, 24);
        final BlockingQueue<Integer> bytes = new LinkedBlockingQueue<>();
        final CountDownLatch unblocked = new CountDownLatch(1);
        volatile boolean blocking;
        volatile boolean broken;
        volatile boolean restored;
        volatile int width = 80;
        volatile Runnable onChange = () -> {};

        @Override
        public String describe() {
            return "in memory";
        }

        @Override
        public int width() {
            return width;
        }

        @Override
        public int height() {
            return 24;
        }

        @Override
        public boolean unicode() {
            return true;
        }

        @Override
        public boolean colours() {
            return true;
        }

        @Override
        public void enter(Runnable toTell) {
            onChange = toTell;
        }

        @Override
        public void send(String text) {
            if (broken) {
                throw new IllegalStateException("broken on purpose");
            }
            if (blocking) {
                try {
                    unblocked.await();
                } catch (InterruptedException e) {
                    Thread.currentThread().interrupt();
                }
            }
            emulation.write(text);
        }

        @Override
        public int read(long timeoutMs) {
            try {
                Integer octet = bytes.poll(timeoutMs, TimeUnit.MILLISECONDS);
                return octet == null ? NOTHING_YET : octet;
            } catch (InterruptedException e) {
                return END;
            }
        }

        @Override
        public void restore() {
            restored = true;
        }

        @Override
        public void close() {
            restore();
        }

        void type(String text) {
            for (byte octet : text.getBytes(StandardCharsets.UTF_8)) {
                bytes.add(octet & 0xff);
            }
        }

        String shows() {
            return emulation.toString();
        }
    }

    private final MemoryScreen screen = new MemoryScreen();
    private final List<String> told = new CopyOnWriteArrayList<>();
    private final AtomicInteger left = new AtomicInteger();
    private final DrawnPanel panel = new DrawnPanel(MadeUpSite.full().site(), "Rehearsal: simulated gear", screen,
            left::incrementAndGet);
    private final PanelListener listener = new PanelListener() {
        @Override
        public void contact(long atNanos, String contact, boolean closed) {
            told.add(contact + (closed ? " closed" : " open"));
        }

        @Override
        public void turned(long atNanos, String knob, int detents) {
            told.add(knob + " " + detents);
        }

        @Override
        public void noted(String text) {
            told.add(text);
        }
    };

    @AfterEach
    void close() {
        screen.unblocked.countDown();
        panel.close();
        assertThat(screen.restored).isTrue();
    }

    private static void eventually(BooleanSupplier condition) throws InterruptedException {
        long end = System.nanoTime() + TimeUnit.SECONDS.toNanos(10);
        while (!condition.getAsBoolean()) {
            assertThat(System.nanoTime() - end).as("waited 10 s").isNegative();
            Thread.sleep(5);
        }
    }

    @Test
    void showsWhatItIsToldAndTellsWhatIsPressed() throws InterruptedException {
        panel.open(listener);
        panel.meaning("poem", Look.of(Look.Pattern.PULSE));
        panel.light("air", 1, Optional.empty());
        panel.knobValue("iris", "f/4");
        panel.link("desk", LinkState.STALE, "no answer");
        panel.running(List.of("Go live"));
        panel.line("the doors are open");
        eventually(() -> screen.shows().contains("pulse") && screen.shows().contains("lit")
                && screen.shows().contains("f/4") && screen.shows().contains("stale")
                && screen.shows().contains("running: Go live") && screen.shows().contains("doors are open"));
        screen.type("a]");
        eventually(() -> told.size() == 3);
        assertThat(told).containsExactly("welcome closed", "iris 1", "welcome open");
    }

    @Test
    void leavesOnceAndGivesTheTerminalBackFirst() throws InterruptedException {
        panel.open(listener);
        screen.type("q");
        eventually(() -> screen.shows().contains("Leave? y/n"));
        screen.type("y\u0003\u0003");
        eventually(() -> left.get() > 0);
        assertThat(screen.restored).isTrue();
        panel.close();
        assertThat(left).hasValue(1);
    }

    @Test
    void closingLetsGoOfWhatIsHeld() throws InterruptedException {
        panel.open(listener);
        eventually(() -> screen.shows().contains("STREAM"));
        screen.type("\u001b[<0;3;3M");
        eventually(() -> told.contains("welcome closed"));
        panel.close();
        assertThat(told).containsExactly("welcome closed", "welcome open");
    }

    @Test
    void aTerminalThatTakesNothingHoldsNobodyUp() throws InterruptedException {
        screen.blocking = true;
        panel.open(listener);
        for (int i = 0; i < 20_000; i++) {
            panel.light("poem", i % 2, Optional.empty());
            panel.line("line " + i);
        }
        screen.type("[");
        eventually(() -> told.contains("iris -1"));
        screen.unblocked.countDown();
        eventually(() -> screen.shows().contains("line 19999"));
    }

    @Test
    void whenDrawingFailsTheTerminalIsGivenBackAndTheLogSaysWhy() throws InterruptedException {
        screen.broken = true;
        panel.open(listener);
        eventually(() -> !told.isEmpty());
        assertThat(told.getFirst()).contains("drawing the panel failed");
        assertThat(screen.restored).isTrue();
    }

    @Test
    void aNewSizeIsDrawnWhole() throws InterruptedException {
        panel.open(listener);
        eventually(() -> screen.shows().contains("gear: ") || screen.shows().contains("WELCOME"));
        screen.width = 60;
        screen.emulation.write("\u001b[2J");
        screen.onChange.run();
        eventually(() -> screen.shows().contains("WELCOME") && !screen.shows().contains("╭"));
    }

    /** How the switch stands is said by its lower edge. */
    private boolean stands(String word) {
        return screen.shows().contains("SONGS") && screen.shows().contains("─ " + word + " ─");
    }

    private DrawnPanel withSwitches() {
        return new DrawnPanel(MadeUpSite.full().toggle("mode", "SONGS").pushKnob("focus", "FOCUS").site(),
                "Rehearsal: simulated gear", screen, left::incrementAndGet);
    }

    @Test
    void aSwitchIsFoundOffItsKeyMovesItAndItsWordFollowsWhoeverMovesIt() throws InterruptedException {
        try (DrawnPanel other = withSwitches()) {
            other.open(listener);
            assertThat(told).containsExactly("mode open");
            eventually(() -> stands("OFF"));
            screen.type("t"); // the letter after the last button's
            eventually(() -> told.contains("mode closed") && stands("ON"));
            other.switched("mode", Optional.of(false));
            eventually(() -> stands("OFF"));
            screen.type("t");
            eventually(() -> told.size() == 3);
            assertThat(told).containsExactly("mode open", "mode closed", "mode closed");
            other.switched("mode", Optional.empty());
            eventually(() -> !stands("ON") && !stands("OFF"));
        }
    }

    @Test
    void aSelectedKnobIsPushedByEnterAndHeldBySpace() throws InterruptedException {
        try (DrawnPanel other = withSwitches()) {
            other.open(listener);
            eventually(() -> screen.shows().contains("FOCUS"));
            told.clear();
            screen.type("\u001b[Z\r"); // the last control
            eventually(() -> told.contains("focus.push open"));
            screen.type(" ++");
            eventually(() -> told.size() == 6);
            assertThat(told).containsExactly("focus.push closed", "focus.push open", "focus.push closed", "focus 1",
                    "focus 1", "focus.push open");
        }
    }
}
