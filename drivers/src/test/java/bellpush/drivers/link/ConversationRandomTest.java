package bellpush.drivers.link;

import static bellpush.drivers.link.TestKind.hex;
import static bellpush.drivers.link.TestKind.text;
import static java.nio.charset.StandardCharsets.ISO_8859_1;
import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Limits;
import bellpush.config.model.LinkState;
import bellpush.config.model.Value;
import bellpush.drivers.spi.Outcome;
import bellpush.drivers.spi.Request;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

/**
 * Whatever happens in whatever order, each request has exactly one outcome, what waits stays within its limit, and after
 * a value was last set and the device reads on, that value is the last one written. Seeded: a failure names its seed.
 */
class ConversationRandomTest {
    private static final int WAITING_MAX = 8;

    private static List<TestKind> kinds() {
        return List.of(TestKind.tcp(), TestKind.tcp().ok(text("OK")).refused(text("ERR"), "no"),
                TestKind.tcp().heartbeat(text("ping"), text("pong"), 200, 100),
                TestKind.tcp().ok(text("OK")).heartbeat(text("ping"), null, 200, 100).greeting(text("HELLO")),
                TestKind.udp().ok(text("OK")).within(100, 2),
                TestKind.udp().heartbeat(text("ping"), text("pong"), 200, 100),
                TestKind.udp().envelope(hex("{sequence:u8} {body}")).ok(text("OK")).within(100, 1).heartbeat(
                        text("ping"),
                        null, 200, 100));
    }

    @Test
    void eachRequestHasExactlyOneOutcome() {
        var seen = new HashMap<Class<?>, Integer>();
        for (long seed = 0; seed < 2_000; seed++) {
            try {
                new Evening(seed).play(seen);
            } catch (AssertionError | RuntimeException e) {
                throw new AssertionError("seed " + seed, e);
            }
        }
        assertThat(seen.keySet()).as("the evenings are lively enough to reach every outcome").containsExactlyInAnyOrder(
                Outcome.Sent.class, Outcome.Done.class, Outcome.Replaced.class, Outcome.Refused.class,
                Outcome.Failed.class);
    }

    private static final class Evening {
        private final SplittableRandom random;
        private final HandTimers timers = new HandTimers();
        private final HandTransport transport = new HandTransport();
        private final Notebook host = new Notebook(null);
        private final Conversation<byte[]> conversation;
        private final boolean datagrams;
        private final boolean enveloped;
        private final boolean acknowledges;
        private final Map<Long, Request> requests = new HashMap<>();
        private final Map<String, Long> lastSet = new HashMap<>();
        private boolean open;
        private long id;

        Evening(long seed) {
            random = new SplittableRandom(seed);
            TestKind kind = kinds().get(random.nextInt(kinds().size()));
            kind.level("iris", random.nextBoolean()).level("zoom", false).onOff("key", random.nextBoolean()).command(
                    "go",
                    text("go"), Map.of());
            var device = kind.at("127.0.0.1", 1);
            datagrams = device.kind().driver().equals("udp");
            enveloped = device.kind().envelope().isPresent();
            acknowledges = !device.kind().answers().ok().isEmpty();
            conversation = new Conversation<>(device, new Limits(1, 1, 1, WAITING_MAX, 1, 1000),
                    new WireCodec(device.kind()), host, timers, transport, datagrams);
            transport.doneAtOnce = random.nextBoolean();
        }

        void play(Map<Class<?>, Integer> seen) {
            for (int step = 0; step < 120; step++) {
                act();
                if (transport.dropped != null) {
                    transport.dropped = null;
                    lose("dropped");
                }
                long open = requests.keySet().stream().filter(r -> host.outcome(r) == null).count();
                assertThat(open).isLessThanOrEqualTo(3 * WAITING_MAX + transport.undone.size());
            }
            lastValueArrives();
            conversation.close();
            flushWrites(null);
            timers.advanceMs(100_000);
            for (long request : requests.keySet()) {
                assertThat(host.outcome(request)).as("outcome of %s", requests.get(request)).isNotNull();
                seen.merge(host.outcome(request).getClass(), 1, Integer::sum);
            }
            assertThat(host.outcomes.keySet()).isEqualTo(requests.keySet());
            assertThat(timers.pending()).isZero();
            Notebook.assertForPeople(host.notes);
        }

        private void act() {
            switch (random.nextInt(14)) {
                case 0, 1, 2, 3, 4 -> send();
                case 5, 6, 7 -> hear();
                case 8 -> timers.advanceMs(random.nextInt(150));
                case 9 -> {
                    transport.writable = !transport.writable;
                    if (transport.writable) {
                        conversation.writableAgain();
                    }
                }
                case 10 -> {
                    if (!open) {
                        open = true;
                        conversation.opened("connected");
                    }
                }
                case 11 -> {
                    if (random.nextInt(4) == 0) {
                        lose("cable");
                    }
                }
                case 12 -> flushWrites(random.nextInt(5) == 0 ? "broken" : null);
                default -> {
                    if (datagrams) {
                        conversation.undeliverable("nothing listens there");
                    }
                }
            }
        }

        private void send() {
            Request request = switch (random.nextInt(5)) {
                case 0 -> new Request.DoCommand(++id, "go", Map.of(), Map.of());
                case 1 -> new Request.AskProperty(++id, List.of("iris", "zoom", "key").get(random.nextInt(3)));
                case 2 -> new Request.SetProperty(++id, "key", Value.of(random.nextBoolean()));
                default -> new Request.SetProperty(++id, random.nextBoolean() ? "iris" : "zoom",
                        Value.of(random.nextInt(101)));
            };
            requests.put(id, request);
            conversation.send(request);
        }

        private void hear() {
            String message = List
                    .of("OK", "OK", "OK", "ERR", "iris=5", "iris 6", "zoom 7", "zoom 700", "key=ON", "key OFF",
                            "pong", "pong", "HELLO", "noise", "")
                    .get(random.nextInt(15));
            byte[] bytes = message.getBytes(ISO_8859_1);
            if (enveloped) {
                var wrapped = new byte[bytes.length + 1];
                wrapped[0] = random.nextInt(3) == 0 || transport.sent.isEmpty()
                        ? (byte) random.nextInt(256)
                        : (byte) transport.sent.getLast().charAt(0);
                System.arraycopy(bytes, 0, wrapped, 1, bytes.length);
                bytes = wrapped;
            }
            conversation.received(bytes);
        }

        private void lose(String why) {
            open = false;
            conversation.lost(why);
            flushWrites("the connection is closed");
        }

        private void flushWrites(String failure) {
            var undone = new ArrayList<>(transport.undone);
            transport.undone.clear();
            undone.forEach(written -> written.done(failure));
        }

        /** A knob's last value, once the device reads and answers again. */
        private void lastValueArrives() {
            flushWrites(null);
            transport.writable = true;
            conversation.writableAgain();
            if (conversation.state() != LinkState.UP) {
                return;
            }
            requests.put(++id, new Request.SetProperty(id, "iris", Value.of(33)));
            conversation.send(requests.get(id));
            long last = id;
            for (int i = 0; i < 4 * WAITING_MAX && host.outcome(last) == null; i++) {
                flushWrites(null);
                timers.advanceMs(1);
                if (acknowledges && !enveloped) {
                    conversation.received("OK".getBytes(ISO_8859_1));
                } else {
                    timers.advanceMs(50);
                    conversation.received("iris=1".getBytes(ISO_8859_1));
                    conversation.received("key=ON".getBytes(ISO_8859_1));
                }
                transport.dropped = null;
            }
            if (host.outcome(last) instanceof Outcome.Done || host.outcome(last) instanceof Outcome.Sent) {
                assertThat(transport.sent.stream().filter(m -> m.contains("iris ")).toList()).last().asString()
                        .endsWith("iris 33");
            } else {
                assertThat(host.outcome(last)).satisfiesAnyOf(o -> assertThat(o).isNull(),
                        o -> assertThat(o).isInstanceOf(Outcome.Failed.class));
            }
        }
    }
}
