package bellpush.runtime.panel.chips;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

class AnalogueReaderTest {
    private static final long MS = 1_000_000;

    private record Move(long at, String name, double share) {}

    private final World world = new World();
    private final ChipsThread thread = new ChipsThread("chips", world, message -> {
        throw new AssertionError(message);
    });
    private final List<Move> moves = new ArrayList<>();
    private final List<String> losses = new ArrayList<>();
    private final List<String> notes = new ArrayList<>();
    private final AnalogueListener listener = new AnalogueListener() {
        @Override
        public void moved(long atNanos, String name, double share) {
            moves.add(new Move(atNanos, name, share));
        }

        @Override
        public void lost(long atNanos, String name, String why) {
            losses.add(name + ": " + why);
        }

        @Override
        public void noted(String text) {
            notes.add(text);
        }
    };

    private long after(long ms) {
        return world.nanos() + ms * MS;
    }

    private FakeMcp3008 mcp3008(AnalogueReader.Input... inputs) {
        FakeMcp3008 chip = new FakeMcp3008(world);
        thread.add(new AnalogueReader("adc", new Mcp3008("adc", chip), List.of(inputs), 20 * MS, listener,
                new BusTurn(thread::wake)));
        return chip;
    }

    @Test
    void positionsAreToldAtTheStartAndThenWhenTheyChange() {
        FakeMcp3008 chip = mcp3008(new AnalogueReader.Input("speech", 0, 0.004),
                new AnalogueReader.Input("camera.pan", 5, 0.004));
        chip.set(0, 1023);
        chip.set(5, 511);
        world.run(thread, after(100));
        assertThat(moves).extracting(Move::name).containsExactly("speech", "camera.pan");
        assertThat(moves).extracting(Move::share).containsExactly(1.0, 511 / 1023.0);
        long at = after(5);
        world.at(at, () -> chip.set(5, 1023));
        world.run(thread, after(100));
        assertThat(moves).hasSize(3).last().extracting(Move::name, Move::share).containsExactly("camera.pan", 1.0);
        assertThat(moves.getLast().at() - at).isBetween(0L, 21 * MS);
    }

    @Test
    void noiseIsNotToldAndLetsTheReaderRest() {
        FakeMcp3008 chip = mcp3008(new AnalogueReader.Input("speech", 0, 0.004));
        chip.set(0, 601);
        Random random = new Random(1);
        for (int ms = 0; ms < 30_000; ms++) {
            world.at(after(ms), () -> chip.set(0, 600 + random.nextInt(4)));
        }
        world.run(thread, after(10_000));
        int woke = 0;
        long end = after(10_000);
        while (world.nanos() < end) { // happenings of this test are no wake-ups of the thread
            if (thread.runDue(world.nanos()) <= 0) {
                woke++;
            }
            world.pass(MS);
        }
        assertThat(moves).hasSize(1);
        assertThat(woke).isBetween(90, 101);
    }

    @Test
    void theFirstMoveAfterARestIsSeenWithinATenthOfASecondAndTheNextOnesAtOnce() {
        FakeMcp3008 chip = mcp3008(new AnalogueReader.Input("speech", 0, 0.004));
        world.run(thread, after(20_000));
        moves.clear();
        long at = after(3);
        for (int step = 0; step < 50; step++) {
            int code = step * 20;
            world.at(at + step * 20 * MS, () -> chip.set(0, 20 + code));
        }
        world.run(thread, after(1_500));
        assertThat(moves.getFirst().at() - at).isBetween(0L, 101 * MS);
        assertThat(moves).hasSizeGreaterThan(40);
        assertThat(moves.getLast().share()).isEqualTo(1000 / 1023.0);
    }

    @Test
    void aConverterThatGoesIsSaidOnceForEachInputAndComesBackWithWhereItStands() {
        FakeMcp3008 chip = mcp3008(new AnalogueReader.Input("speech", 0, 0.004),
                new AnalogueReader.Input("camera.pan", 1, 0.004));
        chip.set(0, 300);
        world.run(thread, after(100));
        moves.clear();
        chip.connected(false);
        world.run(thread, after(10_000));
        assertThat(losses).hasSize(2);
        assertThat(losses.get(0)).startsWith("speech: No answer from the converter adc");
        assertThat(losses.get(1)).startsWith("camera.pan: ");
        chip.connected(true);
        world.run(thread, after(2_100));
        assertThat(moves).extracting(Move::name).containsExactly("speech", "camera.pan");
        assertThat(notes).containsExactly("The converter adc answers again.");
        assertThat(losses).hasSize(2);
    }

    @Test
    void anAds1115IsReadInTimeWhileOtherChoresGetTheirTurns() {
        FakeAds1115 chip = new FakeAds1115(world, 1.1);
        List<AnalogueReader.Input> inputs = List.of(new AnalogueReader.Input("a", 0, 0.004),
                new AnalogueReader.Input("b", 1, 0.004), new AnalogueReader.Input("c", 2, 0.004),
                new AnalogueReader.Input("d", 3, 0.004));
        thread.add(new AnalogueReader("stick", new Ads1115("stick", chip, 3.3, 4, 20 * MS), inputs, 20 * MS, listener,
                new BusTurn(thread::wake)));
        long[] longest = new long[1];
        thread.add(new Chore() {
            private long due = world.nanos();

            @Override
            public long waitNanos(long now) {
                return due - now;
            }

            @Override
            public void run(long now) {
                longest[0] = Math.max(longest[0], now - due);
                due = now + MS;
            }
        });
        chip.set(1, 1.65);
        world.run(thread, after(1_000));
        assertThat(chip.conversions).isBetween(180, 200);
        assertThat(moves).extracting(Move::name).containsExactly("a", "b", "c", "d");
        assertThat(moves.get(1).share()).isCloseTo(0.5, within(0.0001));
        assertThat(longest[0]).isLessThan(2 * MS); // two short transfers at 100 kHz
    }
}
