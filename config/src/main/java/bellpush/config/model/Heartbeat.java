package bellpush.config.model;

import java.time.Duration;
import java.util.Optional;

/**
 * How a silent link is told from a dead one: every {@code every} without anything received, {@code send} goes out, and
 * something must come in (anything, or what fits {@code reply} where given) within {@code within}. Two misses in a row:
 * tcp drops the connection and connects again, udp and osc over udp call the link stale.
 */
public record Heartbeat(Template send, Optional<Template> reply, Duration every, Duration within) {}
