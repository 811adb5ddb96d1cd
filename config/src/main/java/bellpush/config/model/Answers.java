package bellpush.config.model;

import java.time.Duration;
import java.util.List;

/**
 * How the device acknowledges what it is sent. With any {@code ok} template, each set and each command waits for its
 * answer before the next message leaves; without, it counts as done when written.
 *
 * @param ok      any of these: done as asked
 * @param refused any of these: the device says no, with the words for people
 * @param within  how long to wait for an answer to a set, a command or an ask
 * @param again   how often the same message is sent again when no answer came; only datagrams are ever sent again
 */
public record Answers(List<Template> ok, List<Refusal> refused, Duration within, int again) {
    public record Refusal(Template message, String means) {}

    public static final Answers NONE = new Answers(List.of(), List.of(), Duration.ofSeconds(1), 0);
}
