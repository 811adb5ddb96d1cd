package bellpush.runtime.panel.lines;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import bellpush.runtime.panel.PanelException;
import bellpush.runtime.panel.PinBank.In;
import bellpush.runtime.panel.PinBank.Out;
import bellpush.runtime.panel.PinBank.Pull;
import bellpush.runtime.panel.PinListener;
import bellpush.runtime.panel.PinsTold;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.CountDownLatch;
import java.util.function.BooleanSupplier;
import java.util.stream.IntStream;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

@Timeout(30)
class LinesBankTest {
    private static final List<In> INPUTS = List.of(new In(5, Pull.UP, true), new In(17, Pull.DOWN, false),
            new In(27, Pull.NONE, false));
    private static final List<Out> OUTPUTS = List.of(new Out(6, false), new Out(7, true));

    private final Path folder;
    private final FakeKernel kernel;
    private FakeKernel.Chip chip;
    private final LinesBank bank;
    private final PinsTold told = new PinsTold();

    LinesBankTest(@TempDir Path folder) {
        this.folder = folder;
        this.kernel = new FakeKernel(folder);
        this.chip = kernel.plug("gpiochip0", "pinctrl-bcm2711", 58);
        this.bank = bank(Map.of());
    }

    private LinesBank bank(Map<Integer, Integer> debounceUs) {
        HeaderChip.Usable usable = (HeaderChip.Usable) HeaderChip.find(Optional.empty(), folder, kernel);
        return new LinesBank(kernel, usable.chip(), () -> HeaderChip.find(Optional.empty(), folder, kernel),
                debounceUs);
    }

    @AfterEach
    void nothingStaysOpen() {
        bank.close();
        until(() -> kernel.openDescriptors() == 0);
    }

    private static void until(BooleanSupplier condition) {
        long end = System.nanoTime() + Duration.ofSeconds(10).toNanos();
        while (!condition.getAsBoolean()) {
            assertThat(System.nanoTime()).as("in time").isLessThan(end);
            Thread.onSpinWait();
        }
    }

    private void untilTold(String... lines) {
        until(() -> told.lines().size() >= lines.length);
        assertThat(told.lines()).containsExactly(lines);
    }

    @Test
    void linesAreAskedForWithTwoRequestsAsTheyAreWired() {
        bank.open(INPUTS, OUTPUTS, told);
        assertThat(kernel.requestCalls()).isEqualTo(2);
        long edges = Uapi.FLAG_INPUT | Uapi.FLAG_EDGE_RISING | Uapi.FLAG_EDGE_FALLING;
        assertThat(chip.lines[5].flags).isEqualTo(edges | Uapi.FLAG_PULL_UP | Uapi.FLAG_ACTIVE_LOW);
        assertThat(chip.lines[17].flags).isEqualTo(edges | Uapi.FLAG_PULL_DOWN);
        assertThat(chip.lines[27].flags).isEqualTo(edges | Uapi.FLAG_NO_PULL);
        assertThat(chip.lines[6].flags).isEqualTo(Uapi.FLAG_OUTPUT);
        assertThat(chip.lines[7].flags).isEqualTo(Uapi.FLAG_OUTPUT | Uapi.FLAG_ACTIVE_LOW);
        assertThat(chip.lines[17].consumer).isEqualTo("bellpush");
        assertThat(List.of(chip.lines[5].debounceUs, chip.lines[17].debounceUs)).containsOnly(0L);
        assertThat(kernel.openDescriptors()).as("two requests and what wakes the thread").isEqualTo(3);
    }

    @Test
    void everyInputIsFoundAsItStandsBeforeOpenReturns() {
        chip.drive(5, false);
        chip.drive(17, true);
        bank.open(INPUTS, OUTPUTS, told);
        assertThat(told.lines()).containsExactly("found 5 active", "found 17 active", "found 27 inactive");
        assertThat(bank.read()).containsExactly(Map.entry(5, true), Map.entry(17, true), Map.entry(27, false));
    }

    @Test
    void anEdgeIsToldWithTheKernelsTimeOnTheThreadGpio() {
        StringBuilder thread = new StringBuilder();
        bank.open(INPUTS, OUTPUTS, new Passing(told) {
            @Override
            public void edge(long atNanos, int pin, boolean active) {
                thread.setLength(0);
                thread.append(Thread.currentThread().getName());
                super.edge(atNanos, pin, active);
            }
        });
        told.clear();
        long before = System.nanoTime();
        chip.drive(5, false);
        long after = System.nanoTime();
        untilTold("edge 5 active");
        assertThat(told.times().getFirst()).isBetween(before, after);
        assertThat(thread.toString()).isEqualTo("gpio");
        chip.drive(5, true);
        chip.drive(17, true);
        untilTold("edge 5 active", "edge 5 inactive", "edge 17 active");
    }

    /** Whatever comes between the request and the reading of levels, or while what was found is told. */
    @Test
    void anEdgeDuringOpeningIsNeitherLostNorToldTwice() {
        bank.open(INPUTS, OUTPUTS, new Passing(told) {
            @Override
            public void found(long atNanos, int pin, boolean active) {
                chip.drive(5, pin == 17); // down at once, up again, down
                super.found(atNanos, pin, active);
            }
        });
        until(() -> told.lines().size() >= 6);
        assertThat(told.lines()).containsExactly("found 5 inactive", "found 17 inactive", "found 27 inactive",
                "edge 5 active", "edge 5 inactive", "edge 5 active");
    }

    @Test
    void anEventThatSaysWhatIsKnownIsPassedOver() {
        bank.open(INPUTS, OUTPUTS, new Passing(told) {
            @Override
            public void edge(long atNanos, int pin, boolean active) {
                if (pin == 17) {
                    // While it is told, 5 goes down; a gap then has the levels read before that event is.
                    chip.drive(5, false);
                }
                super.edge(atNanos, pin, active);
            }
        });
        told.clear();
        chip.mergedEdge(17);
        chip.drive(17, true);
        untilTold("edge 17 active", "edge 5 active");
        chip.drive(27, true);
        untilTold("edge 17 active", "edge 5 active", "edge 27 active");
    }

    @Test
    void edgesThatTheKernelMergedAreNoLossThatSomebodyNeedsToKnow() {
        bank.open(INPUTS, OUTPUTS, told);
        told.clear();
        for (int i = 0; i < 100; i++) {
            chip.mergedEdge(5);
            chip.drive(5, i % 2 != 0);
        }
        until(() -> told.lines().size() >= 100);
        assertThat(told.lines()).hasSize(100).noneMatch(line -> line.startsWith("noted"));
    }

    @Test
    void afterABufferThatRanOverTheLevelsCountAndItIsNotedOnce() {
        CountDownLatch stuck = new CountDownLatch(1);
        CountDownLatch go = new CountDownLatch(1);
        bank.open(INPUTS, OUTPUTS, new Passing(told) {
            @Override
            public void edge(long atNanos, int pin, boolean active) {
                if (pin == 27 && stuck.getCount() > 0) {
                    stuck.countDown();
                    waitFor(go);
                }
                super.edge(atNanos, pin, active);
            }
        });
        told.clear();
        chip.drive(27, true);
        waitFor(stuck);
        chip.drive(17, true); // the only event that says so will be dropped
        for (int i = 0; i < 2_001; i++) {
            chip.drive(5, i % 2 != 0);
        }
        go.countDown();
        until(() -> told.lines().stream().anyMatch(line -> line.startsWith("noted")));
        assertThat(told.lines()).contains("edge 17 active").filteredOn(line -> line.startsWith("noted")).hasSize(1)
                .first().asString().contains("dropped 978 or more");
        assertThat(told.lines().stream().filter(line -> line.startsWith("edge 5")).toList().getLast())
                .isEqualTo("edge 5 active");
        assertThat(bank.read()).containsEntry(5, true).containsEntry(17, true);
    }

    private static void waitFor(CountDownLatch latch) {
        try {
            latch.await();
        } catch (InterruptedException e) {
            throw new AssertionError(e);
        }
    }

    @Test
    void anEdgeThatCannotBeTakenDoesNotEndTheReading() {
        bank.open(INPUTS, OUTPUTS, new Passing(told) {
            @Override
            public void edge(long atNanos, int pin, boolean active) {
                if (pin == 5) {
                    throw new IllegalStateException("no room");
                }
                super.edge(atNanos, pin, active);
            }
        });
        told.clear();
        chip.drive(5, false);
        chip.drive(17, true);
        untilTold("noted An edge of GPIO 5 could not be taken: java.lang.IllegalStateException: no room",
                "edge 17 active");
    }

    @Test
    void nothingWakesTheThreadWhileNothingMoves() {
        bank.open(INPUTS, OUTPUTS, told);
        told.clear();
        chip.drive(5, false);
        untilTold("edge 5 active");
        int wakes = kernel.wakes();
        assertThat(wakes).as("one wake for one edge").isEqualTo(1);
        bank.write(Map.of(6, true));
        bank.read();
        chip.drive(17, true);
        untilTold("edge 5 active", "edge 17 active");
        assertThat(kernel.wakes()).isEqualTo(2);
    }

    @Test
    void outputsStartInactiveAreWrittenWithOneCallAndEndInactive() {
        bank.open(INPUTS, OUTPUTS, told);
        assertThat(chip.high(6)).isFalse();
        assertThat(chip.high(7)).isTrue();
        bank.write(Map.of(6, true, 7, true, 8, true));
        assertThat(kernel.setCalls()).isEqualTo(1);
        assertThat(chip.high(6)).isTrue();
        assertThat(chip.high(7)).isFalse();
        bank.write(Map.of(6, false));
        assertThat(chip.high(6)).isFalse();
        assertThat(chip.high(7)).as("left as it was").isFalse();
        bank.write(Map.of(8, true));
        assertThat(kernel.setCalls()).as("nothing of ours").isEqualTo(2);
        bank.close();
        assertThat(chip.high(6)).isFalse();
        assertThat(chip.high(7)).isTrue();
        bank.write(Map.of(6, true));
        assertThat(chip.high(6)).as("after closing").isFalse();
        assertThat(bank.read()).isEmpty();
    }

    @Test
    void closingWaitsNoLongerThanATenthOfASecondForAListenerThatHangs() {
        CountDownLatch go = new CountDownLatch(1);
        CountDownLatch stuck = new CountDownLatch(1);
        bank.open(INPUTS, OUTPUTS, new Passing(told) {
            @Override
            public void edge(long atNanos, int pin, boolean active) {
                stuck.countDown();
                waitFor(go);
            }
        });
        bank.write(Map.of(6, true));
        chip.drive(5, false);
        waitFor(stuck);
        bank.close(); // or the test's time runs out
        assertThat(chip.high(6)).isFalse();
        assertThat(kernel.openDescriptors()).as("what the thread may still read").isPositive();
        go.countDown();
    }

    @Test
    void moreLinesThanARequestCanHaveBecomeSeveral() {
        FakeKernel.Chip large = kernel.plug("gpiochip1", "many-pins", 200);
        HeaderChip.Usable usable = (HeaderChip.Usable) HeaderChip.find(Optional.of("many-pins"), folder, kernel);
        List<In> inputs = IntStream.range(0, 130).mapToObj(pin -> new In(pin, Pull.UP, true)).toList();
        List<Out> outputs = IntStream.range(130, 200).mapToObj(pin -> new Out(pin, false)).toList();
        try (var many = usable.bank()) {
            many.open(inputs, outputs, told);
            assertThat(kernel.requestCalls()).isEqualTo(3 + 2);
            told.clear();
            large.drive(0, false);
            untilTold("edge 0 active");
            large.drive(129, false);
            untilTold("edge 0 active", "edge 129 active");
            many.write(Map.of(130, true, 199, true));
            assertThat(List.of(large.high(130), large.high(131), large.high(199))).containsExactly(true, false, true);
            assertThat(many.read()).hasSize(130).containsEntry(129, true).containsEntry(128, false);
        }
    }

    @Test
    void theKernelCanBeAskedToDebounceAnInput() {
        LinesBank slow = bank(Map.of(17, 3_000));
        slow.open(INPUTS, OUTPUTS, told);
        assertThat(chip.lines[17].debounceUs).isEqualTo(3_000);
        assertThat(chip.lines[5].debounceUs).isZero();
        slow.close();
    }

    @Test
    void aChipThatIsTakenAwayIsSaidOnceAndUsedAgainWhenItIsBack() {
        bank.open(INPUTS, OUTPUTS, told);
        bank.write(Map.of(6, true));
        chip.drive(17, true);
        until(() -> told.lines().contains("edge 17 active"));
        told.clear();
        chip.unplug();
        until(() -> !told.lines().isEmpty());
        assertThat(told.lines()).hasSize(1).first().asString()
                .startsWith("lost The pins of pinctrl-bcm2711 (gpiochip0) have gone").contains("Check its plug");
        bank.write(Map.of(7, true)); // kept for when it is back
        assertThat(bank.read()).isEmpty();
        chip = kernel.plug("gpiochip3", "pinctrl-bcm2711", 58); // nobody keeps its number
        chip.drive(5, false);
        until(() -> told.lines().contains("back"));
        until(() -> told.lines().size() >= 4);
        assertThat(told.lines().subList(1, 4)).containsExactly("back", "edge 5 active", "edge 17 inactive");
        assertThat(List.of(chip.high(6), chip.high(7))).as("lamps as they should be").containsExactly(true, false);
        chip.drive(27, true);
        until(() -> told.lines().contains("edge 27 active"));
    }

    @Test
    void aChipThatIsBackAndCannotBeUsedIsSaidOnceItLasts() {
        bank.open(INPUTS, OUTPUTS, told);
        chip.unplug();
        until(() -> told.lines().stream().anyMatch(line -> line.startsWith("lost")));
        told.clear();
        chip = kernel.plug("gpiochip0", "pinctrl-bcm2711", 58);
        chip.lines[17].held = true;
        until(() -> !told.lines().isEmpty());
        assertThat(told.lines()).hasSize(1).first().asString().startsWith("noted A pin is in use already: GPIO 17");
        chip.lines[17].held = false;
        until(() -> told.lines().size() >= 2);
        assertThat(told.lines().get(1)).isEqualTo("back");
    }

    @Test
    void aPinThatSomebodyHoldsIsNamedWithWhoHoldsIt() {
        chip.lines[17].held = true;
        chip.lines[17].consumer = "spi0 CS1";
        assertThatThrownBy(() -> bank.open(INPUTS, OUTPUTS, told)).isInstanceOf(PanelException.class).hasMessage(
                "A pin is in use already: GPIO 17 (by \"spi0 CS1\"). End the program that holds it; if it is a bus or"
                        + " another part of the kernel, switch that off in the board's configuration or use another pin.");
        assertThat(kernel.openDescriptors()).isZero();
        assertThat(chip.lines[6].held).as("given back").isFalse();
    }

    @Test
    void aChipThatMayNoLongerBeOpenedIsSaidWithTheCure() {
        chip.openError = Refusal.EACCES;
        assertThatThrownBy(() -> bank.open(INPUTS, OUTPUTS, told)).isInstanceOf(PanelException.class)
                .hasMessageContaining("usermod -aG gpio");
    }

    @Test
    void aPinThatTheChipDoesNotHavePointsToTheChip() {
        assertThatThrownBy(() -> bank.open(List.of(new In(90, Pull.UP, true)), List.of(), told))
                .isInstanceOf(PanelException.class).hasMessage("The chip pinctrl-bcm2711 (gpiochip0) has no GPIO 90:"
                        + " it has 58 lines. Is it the right chip? Name another with --chip.");
    }

    @Test
    void withoutPinsNothingIsOpened() {
        bank.open(List.of(), List.of(), told);
        assertThat(kernel.requestCalls()).isZero();
        assertThat(bank.read()).isEmpty();
    }

    @Test
    void itSaysWhatItIs() {
        assertThat(bank.describe())
                .isEqualTo(
                        "the kernel's lines of pinctrl-bcm2711 (gpiochip0), one request with the kernel's time stamps");
    }

    /** Passes on what a test does not look at. */
    private static class Passing implements PinListener {
        private final PinListener to;

        Passing(PinListener to) {
            this.to = to;
        }

        @Override
        public void found(long atNanos, int pin, boolean active) {
            to.found(atNanos, pin, active);
        }

        @Override
        public void edge(long atNanos, int pin, boolean active) {
            to.edge(atNanos, pin, active);
        }

        @Override
        public void lost(String why) {
            to.lost(why);
        }

        @Override
        public void back() {
            to.back();
        }

        @Override
        public void noted(String text) {
            to.noted(text);
        }
    }
}
