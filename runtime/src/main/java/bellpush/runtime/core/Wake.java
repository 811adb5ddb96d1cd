package bellpush.runtime.core;

/** What a timer is for. */
sealed interface Wake {
    /** About a contact, or the button of that name. */
    sealed interface OfContact extends Wake {
        String contact();
    }

    /** A level that was seen may count now. */
    record ContactSettled(String contact) implements OfContact {}

    /** A contact that chattered may have been quiet. */
    record ContactQuiet(String contact) implements OfContact {}

    record SecondPressOver(String contact) implements OfContact {}

    record HoldStep(String contact) implements OfContact {}

    record HoldReached(String contact) implements OfContact {}

    record ReachedShown(String contact) implements OfContact {}

    record ButtonStuck(String contact) implements OfContact {}

    /** What a strand of a run waits for is due, or over. */
    record StrandDue(long run, int strand) implements Wake {}

    /** A macro of the run has taken all of its time. */
    record MacroOver(long run) implements Wake {}

    record PromiseOver(long run) implements Wake {}

    record OutboxDue(String device) implements Wake {}

    record AskAgain(String device) implements Wake {}

    /**
     * A single property is asked for after the device has had its time to arrive, unless it has told by itself since
     * {@code sentAt}.
     */
    record AskOnce(String device, String property, long sentAt) implements Wake {}

    /** A rocker's contact that has opened has been quiet for long enough to count when it closes again. */
    record RockerQuiet(String axis) implements Wake {}

    /** A standstill that was refused or lost is asked for once more. */
    record StopAgain(String axis) implements Wake {}

    /** A standstill that has left as a datagram is sent once more. */
    record StopOnceMore(String axis) implements Wake {}

    record FailureShown(String family) implements Wake {}

    /** The next value of a glide, or its end. */
    record GlideDue(long axis) implements Wake {}
}
