package bellpush.runtime.panel.chips;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.runtime.panel.PinBank.In;
import bellpush.runtime.panel.PinBank.Pull;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.stream.IntStream;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;

/**
 * Random presses on many pins at once. Each is longer than one reading of the chip, so each must be told once, in the right order
 * and at the right time, whatever the bus was doing when it came.
 */
class ExpanderFuzzTest {
    private static final long MS = 1_000_000;
    private static final List<In> INPUTS = IntStream.range(0, 16).filter(pin -> pin % 8 != 7)
            .mapToObj(pin -> new In(pin, Pull.UP, true)).toList();

    @Property(tries = 60)
    void everyPressIsSeenOnceByInterrupt(@ForAll long seed, @ForAll boolean spi) {
        presses(seed, true, spi, 5 * MS, 30 * MS, 12 * MS);
    }

    @Property(tries = 60)
    void everyPressIsSeenOnceByPolling(@ForAll long seed, @ForAll boolean spi) {
        presses(seed, false, spi, 9 * MS, 40 * MS, 9 * MS);
    }

    private void presses(long seed, boolean interrupt, boolean spi, long shortest, long longest, long lateMax) {
        Random random = new Random(seed);
        World world = new World();
        FakeExpander chip = new FakeExpander(world, spi, 2);
        ChipsThread thread = new ChipsThread("chips", world, message -> {
            throw new AssertionError(message);
        });
        Told told = new Told();
        ExpanderBank bank = spi
                ? ExpanderBank.mcp23s17("x", FakeExpander.onSpi(world, 0xff, chip), "spi-0.0", 0x22, interrupt,
                        new BusTurn(thread::wake), world)
                : ExpanderBank.mcp23017("x", chip.onI2c(), "i2c-1", 0x22, interrupt, new BusTurn(thread::wake), world);
        if (interrupt) {
            // Whoever reads the line is a little late, and tells the true time.
            chip.onInterruptLine(active -> {
                long at = world.nanos();
                world.at(at + random.nextInt(500_000), () -> bank.interrupt(at, active));
            });
        }
        bank.open(INPUTS, List.of(), told);
        thread.add(bank);

        List<Told.Edge> done = new ArrayList<>();
        long start = world.nanos() + MS;
        long last = start;
        for (In in : INPUTS) {
            long at = start + random.nextLong(50 * MS);
            boolean closed = false;
            for (int edge = 0; edge < 20; edge++) {
                closed = !closed;
                Boolean level = closed ? false : null;
                world.at(at, () -> chip.drive(in.pin(), level));
                done.add(new Told.Edge(at, in.pin(), closed));
                last = Math.max(last, at);
                at += random.nextLong(shortest, longest);
            }
        }
        world.run(thread, last + 100 * MS);

        assertThat(told.losses).isEmpty();
        assertThat(told.notes).isEmpty();
        for (In in : INPUTS) {
            List<Told.Edge> was = done.stream().filter(edge -> edge.pin() == in.pin()).toList();
            List<Told.Edge> seen = told.edges.stream().filter(edge -> edge.pin() == in.pin()).toList();
            assertThat(seen).as("pin %d", in.pin()).extracting(Told.Edge::active)
                    .containsExactlyElementsOf(was.stream().map(Told.Edge::active).toList());
            for (int i = 0; i < was.size(); i++) {
                assertThat(seen.get(i).at() - was.get(i).at()).as("lateness").isBetween(-3 * MS, lateMax);
            }
        }
    }
}
