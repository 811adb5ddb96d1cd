package bellpush.runtime.panel.chips;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.runtime.panel.PinBank;
import bellpush.runtime.panel.PinBank.In;
import bellpush.runtime.panel.PinBank.Out;
import bellpush.runtime.panel.PinBank.Pull;
import bellpush.runtime.panel.PinListener;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import java.util.function.IntConsumer;
import java.util.function.LongSupplier;
import java.util.stream.IntStream;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import org.junit.jupiter.api.Test;

class MatrixBankTest {
    private static final long MS = 1_000_000;
    private static final List<In> KEYS = IntStream.range(0, 12).mapToObj(key -> new In(key, Pull.UP, true)).toList();

    private final Rig rig = new Rig(true);

    /** A matrix of 3 rows and 4 columns as wires, keys and diodes, on a bank of header pins. */
    private static final class Rig {
        private static final int ROWS = 3;
        private static final int COLUMNS = 4;
        private final World world = new World();
        private final ChipsThread thread = new ChipsThread("chips", world, message -> {
            throw new AssertionError(message);
        });
        private final Told told = new Told();
        private final boolean diodes;
        private final boolean[][] keys = new boolean[ROWS][COLUMNS];
        private final boolean[] rowLow = new boolean[ROWS];
        private final boolean[] columnLow = new boolean[COLUMNS];
        private int writes;
        private int reads;
        private IntConsumer afterRead = _ -> {};
        private LongSupplier late = () -> 400_000;
        private boolean lost;
        private MatrixBank matrix;

        Rig(boolean diodes) {
            this.diodes = diodes;
        }

        /** Rows are pins 0 to 2, columns 10 to 13; edges come a little late, with their true times. */
        private final PinBank header = new PinBank() {
            @Override
            public String describe() {
                return "the header";
            }

            @Override
            public void open(List<In> inputs, List<Out> outputs, PinListener listener) {}

            @Override
            public void write(Map<Integer, Boolean> levels) {
                writes++;
                levels.forEach((pin, active) -> rowLow[pin] = active);
                settle();
            }

            @Override
            public Map<Integer, Boolean> read() {
                Map<Integer, Boolean> levels = new TreeMap<>();
                for (int c = 0; c < COLUMNS && !lost; c++) {
                    levels.put(10 + c, columnLow[c]);
                }
                afterRead.accept(reads++);
                return levels;
            }

            @Override
            public void close() {}
        };

        void open() {
            matrix = new MatrixBank("pad",
                    IntStream.range(0, ROWS).mapToObj(r -> new MatrixBank.Lead(header, r)).toList(),
                    IntStream.range(0, COLUMNS).mapToObj(c -> new MatrixBank.Lead(header, 10 + c)).toList(), 5 * MS,
                    List.of(), thread::wake, world);
            matrix.open(KEYS, List.of(), told);
            thread.add(matrix);
        }

        void key(int r, int c, boolean closed) {
            keys[r][c] = closed;
            settle();
        }

        /** With diodes a low row pulls its own keys' columns; without, whatever is connected follows. */
        private void settle() {
            boolean[] low = new boolean[COLUMNS];
            boolean[] rowPulled = rowLow.clone();
            for (boolean changed = true; changed;) {
                changed = false;
                for (int r = 0; r < ROWS; r++) {
                    for (int c = 0; c < COLUMNS; c++) {
                        if (keys[r][c] && rowPulled[r] && !low[c]) {
                            low[c] = changed = true;
                        }
                        if (!diodes && keys[r][c] && low[c] && !rowPulled[r]) {
                            rowPulled[r] = changed = true;
                        }
                    }
                }
            }
            for (int c = 0; c < COLUMNS; c++) {
                if (low[c] != columnLow[c]) {
                    columnLow[c] = low[c];
                    long at = world.nanos();
                    boolean active = low[c];
                    world.at(at + late.getAsLong(), () -> {
                        if (matrix != null) {
                            matrix.columnEdge(at, active);
                        }
                    });
                }
            }
        }

        long after(long ms) {
            return world.nanos() + ms * MS;
        }
    }

    @Test
    void atRestNothingIsDone() {
        rig.open();
        rig.world.run(rig.thread, rig.after(100));
        int writes = rig.writes;
        rig.world.run(rig.thread, rig.after(60_000));
        assertThat(rig.writes).isEqualTo(writes);
        assertThat(rig.rowLow).containsOnly(true);
        assertThat(rig.told.found).hasSize(12).doesNotContainValue(true);
    }

    @Test
    void aKeyIsPressedWhenItsColumnFellAndReleasedWithinOneRound() {
        rig.open();
        long at = rig.after(1_000);
        rig.world.at(at, () -> rig.key(1, 2, true));
        rig.world.at(at + 200 * MS, () -> rig.key(1, 2, false));
        rig.world.run(rig.thread, rig.after(2_000));
        assertThat(rig.told.shown()).isEqualTo("6+ 6-");
        assertThat(rig.told.edges.getFirst().at()).isEqualTo(at);
        assertThat(rig.told.edges.getLast().at() - at - 200 * MS).isBetween(0L, 8 * MS);
        int writes = rig.writes;
        rig.world.run(rig.thread, rig.after(60_000));
        assertThat(rig.writes).as("searches after the last key was let go").isEqualTo(writes);
    }

    /** The columns have just been read, and the edge is told before what was read has been thought about. */
    @Test
    void aKeyThatClosesWhileTheLastSearchComesToItsEndIsFound() {
        for (int moment = 0; moment < 8; moment++) {
            Rig each = new Rig(true);
            each.open();
            each.key(0, 0, true);
            each.world.run(each.thread, each.after(50));
            each.key(0, 0, false);
            int at = each.reads + moment;
            each.late = () -> 10_000;
            each.afterRead = read -> {
                if (read == at) {
                    each.key(2, 1, true);
                    each.world.pass(20_000);
                }
            };
            each.world.run(each.thread, each.after(50));
            if (each.reads > at) {
                assertThat(each.told.shown()).as("at read %d", moment).isEqualTo("0+ 0- 9+");
            }
        }
    }

    @Test
    void whileAKeyIsHeldTheSearchGoesOnAtItsPaceAndNoFaster() {
        rig.open();
        rig.key(2, 0, true);
        rig.world.run(rig.thread, rig.after(100));
        int writes = rig.writes;
        rig.world.run(rig.thread, rig.after(1_000));
        assertThat(rig.writes - writes).isBetween(4 * 190, 4 * 201);
    }

    @Test
    void aHeldKeyIsFoundAndNotPressed() {
        rig.key(0, 3, true);
        rig.open();
        rig.world.run(rig.thread, rig.after(100));
        assertThat(rig.told.found).containsEntry(3, true);
        assertThat(rig.told.edges).isEmpty();
        assertThat(rig.matrix.read()).containsEntry(3, true);
    }

    @Test
    void threeCornersDoNotMakeAFourthWithDiodes() {
        rig.open();
        rig.key(0, 0, true);
        rig.world.run(rig.thread, rig.after(50));
        rig.key(0, 1, true);
        rig.world.run(rig.thread, rig.after(50));
        rig.key(1, 0, true);
        rig.world.run(rig.thread, rig.after(50));
        rig.key(1, 1, true);
        rig.world.run(rig.thread, rig.after(50));
        assertThat(rig.told.shown()).isEqualTo("0+ 1+ 4+ 5+");
        assertThat(rig.told.notes).isEmpty();
    }

    @Test
    void withoutDiodesTheGhostIsHeldBackAndSaidOnce() {
        Rig bare = new Rig(false);
        bare.open();
        bare.key(0, 0, true);
        bare.world.run(bare.thread, bare.after(50));
        bare.key(0, 1, true);
        bare.world.run(bare.thread, bare.after(50));
        bare.key(1, 0, true);
        bare.world.run(bare.thread, bare.after(200));
        assertThat(bare.told.shown()).isEqualTo("0+ 1+");
        assertThat(bare.told.notes).singleElement().asString().contains("diode");
        bare.key(0, 1, false);
        bare.world.run(bare.thread, bare.after(50));
        assertThat(bare.told.shown()).isEqualTo("0+ 1+ 1- 4+");
    }

    @Test
    void aBankThatIsLostOpensAndClosesNoKey() {
        rig.open();
        rig.key(1, 1, true);
        rig.world.run(rig.thread, rig.after(50));
        rig.lost = true;
        rig.world.run(rig.thread, rig.after(50));
        rig.matrix.lost("The header is gone.");
        rig.world.run(rig.thread, rig.after(5_000));
        assertThat(rig.told.shown()).isEqualTo("5+");
        assertThat(rig.told.losses).containsExactly("The header is gone.");
        rig.key(1, 1, false);
        rig.lost = false;
        rig.matrix.back();
        rig.world.run(rig.thread, rig.after(50));
        assertThat(rig.told.shown()).isEqualTo("5+ 5-");
    }

    /** Keys of which no four form a rectangle, so that none is ever held back. */
    @Property(tries = 40)
    void everyPressIsSeenOnce(@ForAll long seed) {
        Random random = new Random(seed);
        Rig each = new Rig(true);
        each.open();
        List<Told.Edge> done = new ArrayList<>();
        long last = 0;
        for (int key : new int[]{0, 1, 2, 3, 4, 9}) {
            long at = each.after(1) + random.nextLong(40 * MS);
            for (int edge = 0; edge < 20; edge++) {
                boolean closed = edge % 2 == 0;
                each.world.at(at, () -> each.key(key / 4, key % 4, closed));
                done.add(new Told.Edge(at, key, closed));
                last = Math.max(last, at);
                at += random.nextLong(10 * MS, 60 * MS);
            }
        }
        each.world.run(each.thread, last + 100 * MS);
        assertThat(each.told.notes).isEmpty();
        for (int key = 0; key < 12; key++) {
            int pin = key;
            assertThat(each.told.edges.stream().filter(edge -> edge.pin() == pin).map(Told.Edge::active))
                    .as("key %d", key)
                    .containsExactlyElementsOf(
                            done.stream().filter(edge -> edge.pin() == pin).map(Told.Edge::active).toList());
        }
    }

    /** Every press counts, whatever the contacts do for up to 6 ms and however late their edges are told; then there is rest. */
    @Property(tries = 60)
    void bouncingKeysAreFoundClosedAndOpen(@ForAll long seed) {
        Random random = new Random(seed);
        Rig each = new Rig(true);
        each.late = () -> random.nextLong(2 * MS);
        each.open();
        record Press(int key, long from, long to) {}
        List<Press> presses = new ArrayList<>();
        long last = 0;
        for (int key : new int[]{0, 1, 2, 3, 4, 9}) {
            long at = each.after(1) + random.nextLong(60 * MS);
            for (int press = 0; press < 10; press++) {
                long to = at + random.nextLong(20 * MS, 60 * MS);
                bounce(each, random, key, at, true);
                bounce(each, random, key, to, false);
                presses.add(new Press(key, at, to));
                last = to;
                at = to + random.nextLong(20 * MS, 80 * MS);
            }
        }
        each.world.run(each.thread, Math.max(last, each.after(1_500)) + 200 * MS);
        for (Press press : presses) {
            List<Told.Edge> of = each.told.edges.stream().filter(edge -> edge.pin() == press.key()).toList();
            assertThat(of).as("closed: %s", press).anyMatch(edge -> edge.active()
                    && edge.at() >= press.from() - 6 * MS // a press is dated from the start of its search
                    && edge.at() <= press.from() + 16 * MS);
            assertThat(of.stream().filter(edge -> edge.at() <= press.to() + 18 * MS).toList().getLast().active())
                    .as("open again: %s", press).isFalse();
        }
        int writes = each.writes;
        each.world.run(each.thread, each.after(60_000));
        assertThat(each.writes).as("searches at rest").isEqualTo(writes);
    }

    /** Opens and closes an even number of times, and stays. */
    private static void bounce(Rig rig, Random random, int key, long at, boolean closed) {
        long when = at;
        for (int i = 2 * random.nextInt(4); i >= 0; i--) {
            boolean level = (i % 2 == 0) == closed;
            rig.world.at(when, () -> rig.key(key / 4, key % 4, level));
            when += random.nextLong(MS);
        }
    }
}
