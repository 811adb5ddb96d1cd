package bellpush.drivers.link;

import static java.nio.charset.StandardCharsets.US_ASCII;
import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Limits;
import bellpush.config.model.Template;
import bellpush.config.model.Value;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.Test;

/** Messages for a later time, as OSC bundles have them: here the frame's first byte is that time, in seconds. */
class HeldBackMessagesTest {
    private static final class Later implements MessageCodec<byte[]> {
        private final WireCodec wire = new WireCodec(TestKind.udp().kind());

        @Override
        public byte[] encode(Template template, Map<String, Value> fields) {
            return wire.encode(template, fields);
        }

        @Override
        public Optional<Map<String, Value>> match(Template template, byte[] message) {
            return wire.match(template, message);
        }

        @Override
        public byte[] format(byte[] message) {
            return message;
        }

        @Override
        public List<Arrival<byte[]>> parse(byte[] frame) {
            byte[] message = java.util.Arrays.copyOfRange(frame, 1, frame.length);
            return List.of(new Arrival<>(message, frame[0] * 1_000_000_000L));
        }

        @Override
        public String show(byte[] message) {
            return wire.show(message);
        }
    }

    private final HandTimers timers = new HandTimers();
    private final Notebook host = new Notebook(null);
    private final Conversation<byte[]> conversation = new Conversation<>(
            TestKind.udp().level("iris", false).at("127.0.0.1", 1), Limits.DEFAULT, new Later(), host, timers,
            new HandTransport(), true);

    private void hears(int seconds, String message) {
        conversation.received(((char) seconds + message).getBytes(US_ASCII));
    }

    @Test
    void aMessageIsHeardWhenItsTimeHasCome() {
        conversation.opened("open");
        hears(3, "iris 3");
        hears(1, "iris 1");
        hears(0, "iris 0");
        assertThat(host.beliefs).containsEntry("iris", Value.of(0));
        timers.advanceMs(1_000);
        assertThat(host.beliefs).containsEntry("iris", Value.of(1));
        timers.advanceMs(2_000);
        assertThat(host.beliefs).containsEntry("iris", Value.of(3));
    }

    @Test
    void aFloodOfLaterMessagesIsBoundedAndToldOnce() {
        conversation.opened("open");
        for (int i = 0; i < 100_000; i++) {
            hears(50, "iris 1");
        }
        assertThat(timers.pending()).isLessThanOrEqualTo(Conversation.HELD_MESSAGES_MAX + 1);
        assertThat(host.notes).hasSize(1);
        hears(100, "iris 2");
        timers.advanceMs(100_000);
        assertThat(host.beliefs).containsEntry("iris", Value.of(1));
        assertThat(host.reports).hasSize(Conversation.HELD_MESSAGES_MAX);
    }

    @Test
    void whatWasHeldBackIsForgottenWithTheLink() {
        conversation.opened("open");
        hears(3, "iris 3");
        conversation.lost("gone");
        assertThat(timers.pending()).isZero();
        conversation.opened("open");
        timers.advanceMs(10_000);
        assertThat(host.beliefs).isEmpty();
    }
}
