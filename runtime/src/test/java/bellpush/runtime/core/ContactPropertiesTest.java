package bellpush.runtime.core;

import static bellpush.runtime.core.TestSite.act;
import static bellpush.runtime.core.TestSite.pause;
import static bellpush.runtime.core.TestSite.set;
import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Macro;
import bellpush.config.model.Site;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Random;
import java.util.stream.LongStream;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import net.jqwik.api.constraints.LongRange;
import net.jqwik.api.constraints.Size;

/**
 * What must hold for every contact that bounces while the core is busy with other things, and for every knob that is turned.
 * What must hold if the thread that reads the pins is late is in {@link BouncePropertiesTest}.
 */
class ContactPropertiesTest {
    private static final long MS = 1_000_000;

    /** An edge at the time at which it happens, from when the evening began. */
    private record Edge(long at, String contact, boolean closed) {}

    private static Site site() {
        TestSite site = new TestSite();
        site.macro("go", act("mixer.swap"), pause(20)).again(Macro.Again.QUEUE).end();
        site.macro("other", set("mixer.fill", "slides"), pause(7), set("mixer.left", 5))
                .again(Macro.Again.RESTART).end();
        return site.knob("left", "mixer.left", 3, 1, 4, null).site();
    }

    /**
     * Plays edges, each at its own time, but where the core is kept busy: what happens until it is free again reaches it then,
     * all together and in order, and what waits for a time comes after that.
     */
    private static Stage play(List<Edge> edges, List<long[]> busy) {
        Stage stage = new Stage(site()).ready();
        long start = stage.nowNanos();
        for (Edge edge : edges) {
            long free = busy.stream().filter(b -> b[0] <= edge.at && edge.at < b[1]).mapToLong(b -> b[1]).max()
                    .orElse(edge.at);
            long waits = start + free - stage.nowNanos();
            if (waits > 0) {
                // Nothing fires while the core is busy; what was due before, has.
                long until = busy.stream().filter(b -> b[1] == free && b[0] <= edge.at).mapToLong(b -> b[0]).min()
                        .orElse(free);
                long first = Math.max(0, start + until - stage.nowNanos());
                stage.passNanos(first);
                stage.skipNanos(start + free - stage.nowNanos());
            }
            stage.put(new Input.Contact(start + edge.at, edge.contact, edge.closed));
        }
        stage.pass(2_000);
        return stage;
    }

    /** A press or a release that bounces: the first edge, then an even number of others within so long. */
    private static void bouncing(List<Edge> into, Random random, String contact, boolean closed, long at, long within) {
        into.add(new Edge(at, contact, closed));
        int more = random.nextInt(8) * 2;
        LongStream times = random.longs(more, at + 1, at + within).sorted();
        boolean level = closed;
        for (long time : times.toArray()) {
            level = !level;
            into.add(new Edge(time, contact, level));
        }
    }

    @Property(tries = 300)
    void onePressInIsOnePressOutHoweverTheContactBouncesWithinTheLockout(@ForAll long seed,
            @ForAll @IntRange(min = 1, max = 12) int presses,
            @ForAll @Size(max = 4) List<@LongRange(min = 0, max = 900) Long> stalls) {
        Random random = new Random(seed);
        List<Edge> edges = new ArrayList<>();
        long at = 20 * MS;
        for (int i = 0; i < presses; i++) {
            bouncing(edges, random, "go", true, at, 10 * MS);
            at += (30 + random.nextInt(80)) * MS;
            bouncing(edges, random, "go", false, at, 10 * MS);
            at += (30 + random.nextInt(80)) * MS;
        }
        for (long time = 0; time < at; time += (10 + random.nextInt(50)) * MS) {
            edges.add(new Edge(time, "other", random.nextBoolean()));
        }
        edges.sort(Comparator.comparingLong(Edge::at));
        List<long[]> busy = stalls.stream().map(s -> new long[]{s * MS, (s + 1 + random.nextInt(200)) * MS}).toList();
        Stage stage = play(edges, apart(busy));
        assertThat(of(stage, "press", "go")).isEqualTo(presses);
        assertThat(of(stage, "release", "go")).isEqualTo(presses);
    }

    /** Times at which the core is busy, none within another. */
    private static List<long[]> apart(List<long[]> busy) {
        List<long[]> sorted = new ArrayList<>(busy);
        sorted.sort(Comparator.comparingLong(b -> b[0]));
        List<long[]> apart = new ArrayList<>();
        for (long[] each : sorted) {
            if (apart.isEmpty() || each[0] > apart.getLast()[1]) {
                apart.add(each);
            }
        }
        return apart;
    }

    private static long of(Stage stage, String what, String control) {
        return stage.events(what).stream().filter(e -> e.contains("control=" + control)).count();
    }

    // --- knobs

    @Property(tries = 100)
    void withoutAccelerationTheValueIsWhereTheDetentsHavePutIt(@ForAll @Size(min = 1, max = 80) List<Boolean> ups,
            @ForAll @IntRange(min = 0, max = 40) int everyMs) {
        Stage stage = new Stage(site()).ready();
        int position = 0;
        for (boolean up : ups) {
            stage.detent("left", up);
            stage.pass(everyMs);
            position += up ? 1 : -1;
        }
        stage.pass(1_000);
        int value = stage.sent.isEmpty() ? 0 : Integer.parseInt(stage.sent.getLast().replace("mixer left=", ""));
        assertThat(value).isEqualTo(position * 3);
    }

    @Property(tries = 100)
    void accelerationNeverLosesADetentAndNeverTurnsRound(
            @ForAll @Size(min = 1, max = 80) List<@IntRange(min = 0, max = 90) Integer> pausesMs,
            @ForAll @IntRange(min = 1, max = 20) int faster) {
        Stage stage = new Stage(new TestSite().knob("left", "mixer.left", 1, faster, 4, null).site()).ready();
        int least = 0;
        for (int pause : pausesMs) {
            stage.detent("left", true);
            stage.pass(pause);
            least++;
        }
        stage.pass(1_000);
        List<Integer> values = stage.sent.stream().map(s -> Integer.parseInt(s.replace("mixer left=", ""))).toList();
        assertThat(values).isSorted();
        assertThat(values.getLast()).isBetween(least, Math.min(1000, least * faster));
    }
}
