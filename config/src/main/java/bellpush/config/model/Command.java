package bellpush.config.model;

import java.time.Duration;
import java.util.Map;

/**
 * A one-shot act of a device. Fields of {@code send} are its arguments, or properties of the kind (their present value).
 *
 * @param effect what it does to properties of the same kind, in the order written
 * @param takes  how long the device needs until the effect is complete; it reports when it is there
 * @param urgent whether it leaves before everything that waits for the device, and without waiting for an answer; for stops
 */
public record Command(String name, String about, Map<String, PropertyType> arguments, Template send,
        Map<String, Effect> effect, Duration takes, Source at, boolean urgent) {

    /** What a command does to one property. */
    public sealed interface Effect {
        record Becomes(Value value) implements Effect {}

        /** The opposite of what the flag was. Unknown stays unknown. Written {@code { "opposite": true }}. */
        record Opposite() implements Effect {}

        /** The value of one of the command's arguments. Written {@code { "argument": "number" }}. */
        record FromArgument(String argument) implements Effect {}

        /** The value that another property of the device had before. Written {@code { "property": "preview" }}. */
        record FromProperty(String property) implements Effect {}

        /** Changed to something that the runtime cannot know. Written {@code { "unknown": true }}. */
        record Unknown() implements Effect {}
    }
}
