package bellpush.runtime.show;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import bellpush.config.model.Device;
import bellpush.config.model.Limits;
import bellpush.config.model.LinkState;
import bellpush.config.model.Look;
import bellpush.config.model.Value;
import bellpush.drivers.spi.Driver;
import bellpush.drivers.spi.Link;
import bellpush.drivers.spi.LinkHost;
import bellpush.drivers.spi.Outcome;
import bellpush.drivers.spi.Request;
import bellpush.runtime.core.Event;
import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.RejectedExecutionException;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;

class ShowTest {
    private final RecordingPanel panel = new RecordingPanel();
    private final List<Event> events = new CopyOnWriteArrayList<>();
    private final List<Throwable> traces = new CopyOnWriteArrayList<>();
    private final DimmerDriver dimmer = new DimmerDriver();
    private Show show;

    @AfterEach
    void close() {
        if (show != null) {
            show.close();
        }
    }

    private void start(Duration wait) {
        show = new Show(TinySite.with("test-dimmer", wait), panel, traces::add);
        show.tap(events::add);
        show.start(name -> dimmer);
    }

    private void press() {
        panel.listener.contact(System.nanoTime(), "lights", true);
    }

    @Test
    void aPressBecomesARequestAndTheReportALamp() {
        start(Duration.ZERO);
        press();
        Eventually.that("the lamp tells what was reported",
                () -> panel.meanings.getOrDefault("lights", Look.OFF).pattern() == Look.Pattern.STEADY);
        assertThat(dimmer.sent).singleElement().isInstanceOfSatisfying(Request.SetProperty.class, set -> {
            assertThat(set.property()).isEqualTo("on");
            assertThat(set.value()).isEqualTo(Value.of(true));
        });
        assertThat(dimmer.threads).containsOnly("core");
        assertThat(events).anyMatch(event -> event.what().equals("press"));
        assertThat(traces).isEmpty();
    }

    @Test
    void aWaitOfAMacroIsATimerOnTheLoopThatIsNotEarly() {
        start(Duration.ofMillis(50));
        long pressed = System.nanoTime();
        panel.listener.contact(pressed, "lights", true);
        Eventually.that("the set was sent", () -> !dimmer.sent.isEmpty());
        assertThat(dimmer.sentAt.getFirst() - pressed).isGreaterThanOrEqualTo(50_000_000L);
    }

    @Test
    void aMacroCanBeAskedForByName() {
        start(Duration.ZERO);
        show.run("lights-up");
        Eventually.that("the set was sent", () -> !dimmer.sent.isEmpty());
    }

    @Test
    void aLinkThatThrowsIsAnEventInWordsAndTheShowGoesOn() {
        dimmer.throwing = new IllegalStateException("a bug\nin a jar");
        start(Duration.ZERO);
        press();
        Eventually.that("the error was recorded", () -> events.stream().anyMatch(e -> e.what().equals("error")));
        assertThat(events.stream().filter(e -> e.what().equals("error")).findFirst().orElseThrow().details())
                .containsEntry("text", "The link to \"dimmer\" could not send (IllegalStateException: a bug in a jar)."
                        + " The show goes on.");
        assertThat(traces).contains(dimmer.throwing);

        dimmer.throwing = null;
        show.run("lights-up");
        Eventually.that("the next one is sent", () -> !dimmer.sent.isEmpty());
    }

    @Test
    void aDriverThatCannotOpenLeavesTheOthersAlone() {
        show = new Show(TinySite.with("test-dimmer", Duration.ZERO), panel, traces::add);
        show.tap(events::add);
        show.start(name -> {
            throw new IllegalArgumentException("no driver is called " + name);
        });
        Eventually.that("it was recorded", () -> events.stream().anyMatch(e -> e.what().equals("error")));
        show.run("lights-up");
        assertThat(show.ask(core -> core.link("dimmer")).join()).isEqualTo(LinkState.DOWN);
    }

    @Test
    void aLinkThatCallsFromAnotherThreadIsPutRight() throws Exception {
        start(Duration.ZERO);
        Thread other = new Thread(() -> dimmer.host.reported(Map.of("on", Value.of(true)), 0));
        other.start();
        other.join();
        Eventually.that("the lamp is lit",
                () -> panel.meanings.getOrDefault("lights", Look.OFF).pattern() == Look.Pattern.STEADY);
    }

    @Test
    void anEdgeThatComesLateDoesNotTurnTheCoresTimeBack() {
        start(Duration.ZERO);
        panel.listener.contact(System.nanoTime() - 5_000_000_000L, "lights", true);
        Eventually.that("the set was sent", () -> !dimmer.sent.isEmpty());
        assertThat(events.stream().map(Event::at).toList()).isSorted();
        assertThat(traces).isEmpty();
    }

    @Test
    void aChatteringSwitchIsBoundedAndLeavesNoButtonStuck() {
        start(Duration.ZERO);
        show.ask(core -> {
            // While the core is busy, far more edges come than may wait; the last one opens the contact.
            Thread chatter = new Thread(() -> {
                for (int i = 0; i < 5 * PanelInbox.WAITING_MAX; i++) {
                    panel.listener.contact(System.nanoTime(), "lights", i % 2 == 0);
                }
            });
            chatter.start();
            try {
                chatter.join();
            } catch (InterruptedException e) {
                Thread.currentThread().interrupt();
            }
            return null;
        }).join();
        Eventually.that("the drop was recorded", () -> events.stream().anyMatch(e -> e.what().equals("panel")));
        assertThat(
                events.stream().filter(e -> e.what().equals("panel")).findFirst().orElseThrow().details().get("text"))
                .asString().startsWith("40000 edges");
        Eventually.that("the button is seen as released", () -> events.stream().filter(e -> e.what().equals("press"))
                .count() == events.stream().filter(e -> e.what().equals("release")).count());
    }

    @Test
    void closingClosesLinksAndPanelAndEndsTheThread() {
        start(Duration.ofMinutes(1));
        press();
        show.close();
        assertThat(dimmer.closed).isTrue();
        assertThat(panel.closed).isTrue();
        Eventually.that("its threads have ended", () -> Thread.getAllStackTraces().keySet().stream().noneMatch(
                thread -> thread.isAlive() && (thread.getName().equals("core") || thread.getName().equals("lamps"))));
        assertThatThrownBy(() -> show.ask(core -> core.running()).join())
                .hasCauseInstanceOf(RejectedExecutionException.class);
        show.close();
    }

    /** Answers at once, from inside send, which is what makes the core's queue for re-entrance necessary. */
    private static final class DimmerDriver implements Driver {
        final List<Request> sent = new CopyOnWriteArrayList<>();
        final List<Long> sentAt = new CopyOnWriteArrayList<>();
        final List<String> threads = new CopyOnWriteArrayList<>();
        volatile RuntimeException throwing;
        volatile boolean closed;
        volatile LinkHost host;

        @Override
        public String name() {
            return "test-dimmer";
        }

        @Override
        public Link open(Device device, Limits limits, LinkHost to) {
            host = to;
            to.link(LinkState.UP, "");
            return new Link() {
                @Override
                public void send(Request request) {
                    if (throwing != null) {
                        throw throwing;
                    }
                    sentAt.add(System.nanoTime());
                    sent.add(request);
                    threads.add(Thread.currentThread().getName());
                    if (request instanceof Request.SetProperty set) {
                        to.outcome(set.id(), new Outcome.Done());
                        to.reported(Map.of(set.property(), set.value()), 0);
                    }
                }

                @Override
                public void close() {
                    closed = true;
                }
            };
        }
    }
}
