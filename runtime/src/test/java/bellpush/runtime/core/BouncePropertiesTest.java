package bellpush.runtime.core;

import static bellpush.runtime.core.TestSite.say;
import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Button;
import bellpush.config.model.Source;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import net.jqwik.api.constraints.Size;
import org.junit.jupiter.api.Test;

/**
 * Whatever contacts do within the lock-out, one press in is one press out; whatever a knob's contacts do on a legal path, its
 * position is that of an ideal decoder. Bounce: J. Ganssle, <i>A Guide to Debouncing</i> (1557 µs on average, 6200 µs at
 * most). Decoder: Linux kernel documentation, {@code input/devices/rotary-encoder}.
 */
class BouncePropertiesTest {
    private static final long MS = 1_000_000;
    private static final long LOCKOUT = 10 * MS;

    private record Edge(long at, boolean closed) {}

    /** Edges that end on {@code closed}: a first one, then an even number of further ones within {@code within}. */
    private static List<Edge> bouncing(Random random, long at, boolean closed, long within) {
        List<Edge> edges = new ArrayList<>(List.of(new Edge(at, closed)));
        int pairs = random.nextInt(0, 12);
        long[] times = random.longs(2L * pairs, at + 1, at + within).sorted().toArray();
        for (int i = 0; i < times.length; i++) {
            edges.add(new Edge(times[i], i % 2 == 1 == closed));
        }
        return edges;
    }

    private static Stage stage() {
        TestSite site = new TestSite();
        site.macro("go", say("go"), TestSite.pause(70), say("went")).end();
        return new Stage(site.site()).ready();
    }

    /** Edges come at once, or, while the thread that reads them is kept from it, all together when it is let on. */
    private static void play(Stage stage, List<Edge> edges, Random random, long busyMax) {
        long busyUntil = 0;
        for (Edge edge : edges) {
            if (busyMax > 0 && edge.at > busyUntil && random.nextInt(4) == 0) {
                busyUntil = edge.at + random.nextLong(busyMax);
            }
            stage.passTo(Math.max(edge.at, busyUntil));
            stage.put(new Input.Contact(edge.at, "go", edge.closed));
        }
        stage.pass(300);
    }

    @Property(tries = 600)
    void onePressInIsOnePressOut(@ForAll Random random, @ForAll @IntRange(min = 1, max = 15) int presses,
            @ForAll @IntRange(min = 0, max = 19) int busyMs) {
        Stage stage = stage();
        List<Edge> edges = new ArrayList<>();
        long at = stage.nowNanos();
        for (int i = 0; i < presses; i++) {
            at += random.nextLong(30 * MS, 400 * MS);
            edges.addAll(bouncing(random, at, true, LOCKOUT));
            at += random.nextLong(30 * MS, 400 * MS);
            edges.addAll(bouncing(random, at, false, LOCKOUT));
        }
        play(stage, edges, random, busyMs * MS);
        assertThat(stage.events("press")).hasSize(presses);
        assertThat(stage.events("release")).hasSize(presses);
    }

    /** A reader that has not the kernel's time gets to an edge late, looks what the contact is by then, and gives that time. */
    @Property(tries = 600)
    void onePressInIsOnePressOutAlsoWithoutTheKernelsTime(@ForAll Random random,
            @ForAll @IntRange(min = 1, max = 15) int presses, @ForAll @IntRange(min = 0, max = 9) int lateMs) {
        long worst = 6_200_000;
        Stage stage = stage();
        List<Edge> edges = new ArrayList<>();
        long at = stage.nowNanos();
        for (int i = 0; i < presses; i++) {
            for (boolean closed : new boolean[]{true, false}) {
                at += random.nextLong(40 * MS, 400 * MS);
                edges.addAll(bouncing(random, at, closed, worst));
            }
        }
        boolean told = false;
        long looked = 0;
        for (Edge edge : edges) {
            looked = Math.max(looked, edge.at + random.nextLong(lateMs * MS + 1));
            boolean now = false;
            for (Edge other : edges) {
                now = other.at <= looked ? other.closed : now;
            }
            if (now != told) {
                told = now;
                stage.passTo(looked);
                stage.put(new Input.Contact(looked, "go", now));
            }
        }
        stage.pass(300);
        assertThat(stage.events("press")).hasSize(presses);
        assertThat(stage.events("release")).hasSize(presses);
    }

    /** The longest bounce that was measured is over before the lock-out is, and would not be over in 5 ms. */
    @Test
    void theLongestMeasuredBounceIsOnePressWithTheUsualLockoutAndMoreWithAShorterOne() {
        assertThat(pressesOf(10)).isEqualTo(1);
        assertThat(pressesOf(5)).isGreaterThan(1);
    }

    private static int pressesOf(int lockoutMs) {
        Stage stage = new Stage(new TestSite().macro("go", say("go")).end()
                .button(Button.named("b", "b", Source.NONE).onPress("go")
                        .timed(Duration.ofMillis(lockoutMs), Duration.ZERO,
                                Button.STUCK_AFTER))
                .site()).ready();
        long start = stage.nowNanos() + 10 * MS;
        long[] offsets = {0, 900_000, 1_557_000, 3_100_000, 4_900_000, 5_100_000, 6_200_000};
        for (int i = 0; i < offsets.length; i++) {
            stage.passTo(start + offsets[i]);
            stage.put(new Input.Contact(stage.nowNanos(), "b", i % 2 == 0));
        }
        stage.pass(200);
        return stage.events("press").size();
    }

    /** State A·2 + B by place on the cycle 00, 01, 11, 10. */
    private static final int[] CYCLE = {0b00, 0b01, 0b11, 0b10};

    @Property(tries = 600)
    void aKnobIsWhereAnIdealDecoderSaysWhateverItsContactsDo(@ForAll Random random,
            @ForAll @Size(max = 200) List<Boolean> path, @ForAll @IntRange(min = 0, max = 2) int power) {
        int perDetent = 1 << power;
        Quadrature knob = new Quadrature(perDetent);
        int place = 0; // of the ideal decoder, in transitions
        int detents = 0;
        for (boolean up : path) {
            int before = CYCLE[Math.floorMod(place, 4)];
            place += up ? 1 : -1;
            int after = CYCLE[Math.floorMod(place, 4)];
            boolean a = (before ^ after) == 0b10;
            boolean closed = (after & (a ? 0b10 : 0b01)) != 0;
            detents += knob.edge(a, closed);
            for (int bounces = random.nextInt(0, 4); bounces > 0; bounces--) {
                detents += knob.edge(a, !closed);
                detents += knob.edge(a, closed);
            }
            assertThat(Math.abs(place - detents * perDetent)).isLessThan(perDetent);
        }
        while (place % perDetent != 0) { // let it fall into a detent
            int before = CYCLE[Math.floorMod(place, 4)];
            place++;
            int after = CYCLE[Math.floorMod(place, 4)];
            boolean a = (before ^ after) == 0b10;
            detents += knob.edge(a, (after & (a ? 0b10 : 0b01)) != 0);
        }
        assertThat(detents * perDetent).isEqualTo(place);
        assertThat(knob.invalid()).isZero();
    }

    /** The table of the kernel's documentation for the changes of one channel, old · 4 + new. */
    @Test
    void everyTransitionIsAsPublished() {
        String[] table = "0 +1 -1 x -1 0 x +1 +1 x 0 -1 x -1 +1 0".split(" ");
        for (int old = 0; old < 4; old++) {
            for (boolean a : new boolean[]{true, false}) {
                for (boolean closed : new boolean[]{true, false}) {
                    Quadrature knob = new Quadrature(1);
                    knob.found(true, (old & 2) != 0);
                    knob.found(false, (old & 1) != 0);
                    int bit = a ? 2 : 1;
                    int now = closed ? old | bit : old & ~bit;
                    assertThat(knob.edge(a, closed)).as(old + " to " + now)
                            .isEqualTo(Integer.parseInt(table[old * 4 + now]));
                    assertThat(knob.invalid()).as("an edge to where it was").isEqualTo(old == now ? 1 : 0);
                }
            }
        }
    }
}
