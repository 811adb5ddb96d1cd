package bellpush.runtime.panel.chips;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.runtime.panel.PinBank.In;
import bellpush.runtime.panel.PinBank.Out;
import bellpush.runtime.panel.PinBank.Pull;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;

/** Against {@link FakeExpander}, which behaves as its data sheet says: Microchip DS20001952C (2016). */
class ExpanderBankTest {
    private static final long MS = 1_000_000;
    private static final List<In> INPUTS = List.of(in(0), in(1), in(3), in(8), in(9));
    private static final List<Out> OUTPUTS = List.of(new Out(4, false), new Out(12, true));

    private final World world = new World();
    private final FakeExpander chip = new FakeExpander(world, false, 0);
    private final ChipsThread thread = new ChipsThread("chips", world, message -> {
        throw new AssertionError(message);
    });
    private final Told told = new Told();

    private static In in(int pin) {
        return new In(pin, Pull.UP, true);
    }

    private ExpanderBank opened(boolean interrupt) {
        ExpanderBank bank = bank(interrupt);
        bank.open(INPUTS, OUTPUTS, told);
        thread.add(bank);
        return bank;
    }

    private ExpanderBank bank(boolean interrupt) {
        ExpanderBank bank = ExpanderBank.mcp23017("left", chip.onI2c(), "i2c-1", 0x20, interrupt,
                new BusTurn(thread::wake), world);
        if (interrupt) {
            chip.onInterruptLine(active -> bank.interrupt(world.nanos(), active));
        }
        return bank;
    }

    private long after(long ms) {
        return world.nanos() + ms * MS;
    }

    @Test
    void setUpIsTheDataSheetsRegistersInAnOrderThatDisturbsNothing() {
        opened(true);
        // IOCON 44: MIRROR and ODR. OLAT: b4 is dark when high. IODIR: a4 and b4 are outputs. GPPU: all but outputs.
        assertThat(chip.transfers).startsWith("w 05 00", "w 0a 44", "w 14 00 10",
                "w 00 ef ef 00 00 00 00 00 00 00 00 44 44 ef ef", "w 04 0b 03", "w 0a");
        assertThat(told.found).containsExactlyEntriesOf(
                new java.util.TreeMap<>(Map.of(0, false, 1, false, 3, false, 8, false, 9, false)));
        assertThat(told.notes).isEmpty();
    }

    @Test
    void noLampFlashesWhileTheChipIsSetUp() {
        opened(true);
        assertThat(chip.driven.get(4)).containsExactly(false);
        assertThat(chip.driven.get(12)).containsExactly(true);
    }

    @Test
    void aChipLeftInAnyStateIsSetUp() {
        for (int left : new int[]{0x80, 0xa0, 0x20, 0x02}) {
            chip.powerOn();
            chip.poke(0x0a, left);
            chip.poke(0x0b, left);
            chip.poke(0x02, 0xff);
            chip.poke(0x08, 0xff);
            bank(false).open(INPUTS, OUTPUTS, told);
            assertThat(told.losses).as("IOCON %02x", left).isEmpty();
            assertThat(chip.register(0x0a)).isEqualTo(0x44);
            assertThat(chip.register(0x00)).isEqualTo(0xef);
            assertThat(chip.register(0x02)).isZero();
            assertThat(chip.register(0x08)).isZero();
        }
    }

    @Test
    void whatIsHeldAtTheStartIsFoundAndNotPressed() {
        chip.drive(3, false);
        opened(true);
        world.run(thread, after(100));
        assertThat(told.found).containsEntry(3, true).containsEntry(1, false);
        assertThat(told.edges).isEmpty();
    }

    @Test
    void aPressHasTheTimeOfTheInterrupt() {
        opened(true);
        long at = after(50);
        world.at(at, () -> chip.drive(1, false));
        world.run(thread, after(100));
        assertThat(told.edges).containsExactly(new Told.Edge(at, 1, true));
    }

    @Test
    void aPressThatIsOverBeforeTheChipIsReadGivesBothEdges() {
        opened(true);
        long at = after(50);
        world.at(at, () -> chip.drive(1, false));
        world.at(at + 20_000, () -> chip.drive(1, null));
        world.run(thread, after(100));
        assertThat(told.shown()).isEqualTo("1+ 1-");
    }

    @Test
    void twoPinsAtOnceAreTwoEdgesThoughOnlyOneFlagIsSet() {
        opened(true);
        long at = after(50);
        world.at(at, () -> {
            chip.drive(0, false);
            chip.drive(1, false);
            chip.drive(9, false);
        });
        world.run(thread, after(100));
        assertThat(told.shown()).isEqualTo("0+ 9+ 1+");
    }

    @Test
    void aChangeBetweenReadingTheCaptureAndTheLevelsIsNotLost() {
        // The block's bytes take 90 µs each: one change for each moment of the transfer.
        for (int micros = 0; micros < 3_000; micros += 30) {
            Told each = new Told();
            chip.powerOn();
            chip.drive(0, null);
            chip.drive(9, null);
            ChipsThread alone = new ChipsThread("chips", world, message -> {
                throw new AssertionError(message);
            });
            ExpanderBank bank = bank(true);
            bank.open(INPUTS, OUTPUTS, each);
            alone.add(bank);
            long at = after(50);
            world.at(at, () -> chip.drive(0, false));
            world.at(at + micros * 1_000L, () -> chip.drive(9, false));
            world.run(alone, after(150));
            assertThat(each.edges).as("%d µs later", micros).extracting(Told.Edge::pin).containsExactly(0, 9);
            long next = after(10);
            world.at(next, () -> chip.drive(9, null));
            world.run(alone, after(30));
            assertThat(each.edges).as("the line was let go, %d µs later", micros).last()
                    .isEqualTo(new Told.Edge(next, 9, false));
        }
    }

    @Test
    void withAnInterruptLineAnIdleChipIsLookedAtOnceInTwoSeconds() {
        opened(true);
        int woke = world.run(thread, after(20_000));
        assertThat(woke).isLessThanOrEqualTo(11);
    }

    @Test
    void withoutAnInterruptLineItIsReadEveryFiveMilliseconds() {
        opened(false);
        long at = after(503);
        world.at(at, () -> chip.drive(8, false));
        world.at(at + MS, () -> chip.drive(8, null)); // over before it is read
        world.run(thread, after(1_000));
        assertThat(told.shown()).isEqualTo("8+ 8-");
        assertThat(told.edges.getFirst().at() - at).isBetween(0L, 7 * MS);
    }

    @Test
    void anInterruptLineThatIsNotConnectedIsNoticedAndTheChipPolled() {
        ExpanderBank bank = ExpanderBank.mcp23017("left", chip.onI2c(), "i2c-1", 0x20, true, new BusTurn(thread::wake),
                world);
        bank.open(INPUTS, OUTPUTS, told);
        thread.add(bank);
        for (int press = 0; press < 4; press++) {
            world.at(after(3_000L * press), () -> chip.drive(0, false));
            world.at(after(3_000L * press + 100), () -> chip.drive(0, null));
        }
        world.run(thread, after(14_000));
        assertThat(told.notes).singleElement().asString().contains("interrupt line of left").contains("every 5 ms");
        assertThat(told.shown()).isEqualTo("0+ 0- 0+ 0- 0+ 0- 0+ 0-");
    }

    @Test
    void anInterruptLineThatStaysLowIsAsGoodAsPolling() {
        ExpanderBank bank = opened(true);
        chip.onInterruptLine(_ -> {});
        bank.interrupt(world.nanos(), true);
        world.at(after(500), () -> chip.drive(0, false));
        world.at(after(700), () -> chip.drive(0, null));
        world.run(thread, after(1_000));
        assertThat(told.shown()).isEqualTo("0+ 0-");
    }

    @Test
    void allOutputsAreWrittenInOneTransfer() {
        ExpanderBank bank = opened(true);
        chip.transfers.clear();
        bank.write(Map.of(4, true, 12, true, 1, true));
        assertThat(chip.transfers).containsExactly("w 14 10 00");
        assertThat(chip.level(4)).isTrue();
        assertThat(chip.level(12)).isFalse();
        bank.write(Map.of(4, true));
        assertThat(chip.transfers).hasSize(1); // nothing has changed
        bank.close();
        assertThat(chip.level(4)).isFalse();
        assertThat(chip.level(12)).isTrue();
    }

    @Test
    void aChipThatGoesAwayIsSaidOnceAndIsThereAgainWithWhatDiffers() {
        ExpanderBank bank = opened(true);
        chip.drive(0, false);
        world.run(thread, after(100));
        chip.connected(false);
        world.run(thread, after(10_000));
        assertThat(told.losses).hasSize(1);
        bank.write(Map.of(4, true));
        assertThat(bank.read()).isEmpty();
        chip.powerOn();
        chip.drive(0, null);
        chip.drive(9, false);
        chip.connected(true);
        world.run(thread, after(2_100));
        assertThat(told.backs).isEqualTo(1);
        assertThat(told.shown()).isEqualTo("0+ 0- 9+");
        assertThat(chip.level(4)).isTrue();
        assertThat(told.losses).hasSize(1);
    }

    @Test
    void aChipThatIsNotThereAtTheStartComesLaterAsFound() {
        chip.connected(false);
        chip.drive(3, false);
        opened(true);
        assertThat(told.losses).hasSize(1);
        assertThat(told.found).isEmpty();
        chip.connected(true);
        world.run(thread, after(2_100));
        assertThat(told.backs).isEqualTo(1);
        assertThat(told.found).containsEntry(3, true);
        assertThat(told.edges).isEmpty();
    }

    @Test
    void aWriteThatFailsIsALoss() {
        ExpanderBank bank = opened(true);
        chip.connected(false);
        bank.write(Map.of(4, true));
        world.run(thread, after(10));
        assertThat(told.losses).hasSize(1);
    }

    @Test
    void aChipThatWasResetIsSetUpAgainAndPressesNothing() {
        ExpanderBank bank = opened(true);
        bank.write(Map.of(4, true));
        chip.powerOn(); // a dip of its supply: all pins are inputs without pull-ups, which read low
        world.run(thread, after(2_100));
        assertThat(told.notes).singleElement().asString().contains("had lost its settings");
        assertThat(told.edges).isEmpty();
        assertThat(told.losses).isEmpty();
        assertThat(chip.level(4)).isTrue();
        assertThat(chip.register(0x04)).isEqualTo(0x0b);
        world.at(after(1), () -> chip.drive(0, false));
        world.run(thread, after(100));
        assertThat(told.shown()).isEqualTo("0+");
    }

    @Test
    void pinsThatMayBeOutputsOnlyAreWarnedOf() {
        bank(true).open(List.of(in(7), in(15)), List.of(), told);
        assertThat(told.notes).singleElement().asString().contains("a7 and b7").contains("outputs only");
    }

    @Test
    void aPullDownThatTheChipDoesNotHaveIsSaid() {
        bank(true).open(List.of(new In(2, Pull.DOWN, false)), List.of(), told);
        assertThat(told.notes).singleElement().asString().contains("left.a2").contains("10 kΩ");
        assertThat(chip.register(0x0c)).isEqualTo(0xfb);
    }

    @Test
    void twoChipsOnOneSelectLineOfSpiAreToldApart() {
        FakeExpander first = new FakeExpander(world, true, 0);
        FakeExpander second = new FakeExpander(world, true, 3);
        var spi = FakeExpander.onSpi(world, 0xff, first, second);
        Told fromFirst = new Told();
        Told fromSecond = new Told();
        ExpanderBank one = ExpanderBank.mcp23s17("one", spi, "spi-0.1", 0x20, false, new BusTurn(thread::wake), world);
        ExpanderBank two = ExpanderBank.mcp23s17("two", spi, "spi-0.1", 0x23, false, new BusTurn(thread::wake), world);
        two.open(INPUTS, OUTPUTS, fromSecond);
        one.open(INPUTS, OUTPUTS, fromFirst);
        thread.add(one);
        thread.add(two);
        // HAEN is set for all at once, while nobody looks at addresses; then each is spoken to by its own. 4c: HAEN as well.
        assertThat(second.transfers).startsWith("40 0a 4c", "46 05 00", "46 0a 4c", "46 14 00 10");
        world.at(after(10), () -> first.drive(0, false));
        world.at(after(20), () -> second.drive(9, false));
        world.run(thread, after(50));
        two.write(Map.of(4, true));
        assertThat(fromFirst.shown()).isEqualTo("0+");
        assertThat(fromSecond.shown()).isEqualTo("9+");
        assertThat(first.level(4)).isFalse();
        assertThat(second.level(4)).isTrue();
    }

    @Test
    void nobodyOnSpiIsNoticedWhateverTheDataLineShows() {
        for (int idle : new int[]{0x00, 0xff}) {
            FakeExpander gone = new FakeExpander(world, true, 0);
            gone.connected(false);
            Told each = new Told();
            ExpanderBank.mcp23s17("one", FakeExpander.onSpi(world, idle, gone), "spi-0.1", 0x20, false,
                    new BusTurn(thread::wake),
                    world).open(INPUTS, OUTPUTS, each);
            assertThat(each.losses).singleElement().asString().contains("does not keep what is written");
            assertThat(each.found).isEmpty();
        }
    }

    @Test
    void anSpiChipThatGoesAwayPressesNothing() {
        for (int idle : new int[]{0x00, 0xff}) {
            FakeExpander spi = new FakeExpander(world, true, 0);
            Told each = new Told();
            ChipsThread alone = new ChipsThread("chips", world, message -> {
                throw new AssertionError(message);
            });
            ExpanderBank bank = ExpanderBank.mcp23s17("one", FakeExpander.onSpi(world, idle, spi), "spi-0.1", 0x20,
                    false,
                    new BusTurn(alone::wake), world);
            bank.open(INPUTS, OUTPUTS, each);
            alone.add(bank);
            spi.connected(false);
            world.run(alone, after(100));
            assertThat(each.losses).hasSize(1);
            assertThat(each.edges).isEmpty();
        }
    }
}
