package bellpush.runtime.core;

/** How a button stands towards whoever presses it; its lamp shows that before anything else. */
sealed interface Finger {
    /** Nothing that the lamp need show. */
    record None() implements Finger {}

    /** Pressed once; a second press may follow. */
    record Awaited() implements Finger {}

    /** @param share of the hold time that has passed, above 0 and below 1 */
    record Holding(double share) implements Finger {}

    /** Held for long enough a moment ago: the finger may let go. */
    record Reached() implements Finger {}

    /** The contact cannot be trusted, and nothing runs from it. @param why in words for the log */
    record Faulty(String why) implements Finger {}

    Finger NONE = new None();
}
