package bellpush.runtime.core;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Device;
import bellpush.config.model.Kind;
import bellpush.config.model.LinkState;
import bellpush.config.model.Value;
import bellpush.drivers.spi.Request;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

/** What leaves for one device, and in which order. */
class OutboxTest {
    private static final long PACE_NANOS = 20_000_000L;

    private final Turn turn = new Turn();
    private final List<String> left = new ArrayList<>();
    private final Outbox outbox = new Outbox(turn, paced(), 16,
            parcel -> left.add(((Request.SetProperty) parcel.request()).property()), (_, _) -> {});
    private long requests;

    private static Device paced() {
        Device camera = new TestSite().site().devices().get("camera");
        Kind k = camera.kind();
        return new Device(camera.name(), camera.label(),
                new Kind(k.name(), k.about(), k.driver(), k.stream(), k.port(), k.framing(), k.envelope(),
                        k.properties(), k.commands(), k.reports(), k.greeting(), k.asks(), k.askEvery(), k.heartbeat(),
                        Duration.ofNanos(PACE_NANOS), k.answers(), k.settings(), k.at()),
                camera.address(), camera.port(), camera.settings(), camera.at());
    }

    private void at(long nanos, Runnable happens) {
        turn.begin(nanos, _ -> {});
        happens.run();
        turn.end();
    }

    private void stop(String property) {
        outbox.send(new Outbox.Parcel("camera", new Request.SetProperty(++requests, property, Value.of(0), true), "", 0,
                false, ""), LinkState.UP);
    }

    /** A button whose contact chatters, or a frightened hand. */
    @Test
    void stopsThatAreToldAgainAndAgainAllLeave() {
        List<String> axes = List.of("turn", "rise", "speed");
        for (int i = 0; i < 12; i++) {
            if (i % 2 == 0) {
                at(i * PACE_NANOS - 1, () -> axes.forEach(this::stop));
            }
            at(i * PACE_NANOS, outbox::pump);
        }
        assertThat(left.subList(0, 3)).as("the first of each has left before any leaves again")
                .containsExactlyElementsOf(axes);
    }

    @Test
    void aStopThatWaitsIsSentOnce() {
        at(0, () -> List.of("turn", "rise", "speed", "rise").forEach(this::stop));
        for (int i = 1; i < 5; i++) {
            at(i * PACE_NANOS, outbox::pump);
        }
        assertThat(left).containsExactly("turn", "rise", "speed");
    }
}
