package bellpush.runtime.core;

import bellpush.config.model.PropertyRef;
import java.time.Duration;
import java.util.Optional;

/**
 * What a core is told of the world when it first asks, instead of being told by gear that reports. With this, whoever tries
 * macros out need not decide how all the gear stands before it is known what the macros look at. Called inside
 * {@link Core#accept} and {@link Core#judge}, on the same thread; must not call {@link Core#accept}.
 */
public interface Elsewhere {
    /** Nothing but what inputs tell. */
    Elsewhere NOTHING = new Elsewhere() {};

    /** What is held about a property of which the core holds nothing; asked each time until there is an answer. */
    default Optional<Belief> heard(PropertyRef property) {
        return Optional.empty();
    }

    /** Whether links that come up have been up before: nothing has to be stopped, and nothing asked, because of it. */
    default boolean settled() {
        return false;
    }

    /** The least time between two values of a glide, where that is more than gear needs: who asks only for the end needs few. */
    default Duration glideStep() {
        return Duration.ZERO;
    }

    /** Whether a macro of which this core runs nothing is running all the same. */
    default boolean running(String macro) {
        return false;
    }

    /** Whether the sign that a macro has failed is still out from before. */
    default boolean failed(String macro) {
        return false;
    }

    /** Where a switch stands that this core's panel has not found. */
    default Optional<Boolean> on(String control) {
        return Optional.empty();
    }
}
