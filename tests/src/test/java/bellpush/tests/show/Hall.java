package bellpush.tests.show;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.load.Loaded;
import bellpush.config.load.SiteLoader;
import bellpush.config.model.LinkState;
import bellpush.config.model.Look;
import bellpush.config.model.Rehearsal;
import bellpush.config.model.Site;
import bellpush.drivers.Drivers;
import bellpush.runtime.core.Core;
import bellpush.runtime.core.Event;
import bellpush.runtime.panel.NoPanel;
import bellpush.runtime.rehearse.RehearsalGear;
import bellpush.runtime.show.Show;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.function.Predicate;

/** The demo site, running against simulated gear on loopback. */
final class Hall implements AutoCloseable {
    static final Drivers DRIVERS = Drivers.installed();
    private static final long PATIENCE_NANOS = 20_000_000_000L;

    final Site site;
    final List<Rehearsal> rehearsals;
    final RehearsalGear gear;
    final Show show;
    final List<Event> events = new CopyOnWriteArrayList<>();
    final List<Throwable> unexpected = new CopyOnWriteArrayList<>();

    private Hall(String name, long seed) {
        Path folder = Path.of(System.getProperty("bellpush.house"), "config", "sites", name);
        Loaded loaded = SiteLoader.load(folder, DRIVERS.names());
        assertThat(loaded.problems()).isEmpty();
        site = loaded.site().orElseThrow();
        rehearsals = loaded.rehearsals();
        gear = RehearsalGear.start(site, d -> DRIVERS.named(d).orElseThrow(), seed);
        show = new Show(gear.site(), new NoPanel("a test"), unexpected::add);
        show.tap(events::add);
        show.start(d -> DRIVERS.named(d).orElseThrow());
    }

    static Hall open(String name) {
        Hall hall = new Hall(name, 1);
        hall.await("all links up", core -> hall.site.devices().keySet().stream()
                .allMatch(device -> core.link(device) == LinkState.UP));
        return hall;
    }

    void press(String button) {
        show.hand().contact(System.nanoTime(), button, true);
        pause(60);
        show.hand().contact(System.nanoTime(), button, false);
        pause(30);
    }

    /** A finger takes its time; nothing is asserted about it. */
    static void pause(long ms) {
        try {
            Thread.sleep(ms);
        } catch (InterruptedException e) {
            throw new AssertionError(e);
        }
    }

    Look.Pattern lamp(String name) {
        return show.ask(core -> core.look(name)).join().pattern();
    }

    void await(String what, Predicate<Core> holds) {
        long end = System.nanoTime() + PATIENCE_NANOS;
        while (!show.ask(holds::test).join()) {
            assertThat(System.nanoTime()).as("waiting for: " + what + "; events: " + last()).isLessThan(end);
            pause(5);
        }
    }

    private String last() {
        List<Event> copy = List.copyOf(events);
        return copy.subList(Math.max(0, copy.size() - 20), copy.size()).toString();
    }

    @Override
    public void close() {
        show.close();
        gear.close();
        assertThat(unexpected).isEmpty();
    }
}
