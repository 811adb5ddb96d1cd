package bellpush.runtime.core;

/** What a timer is for. */
sealed interface Wake {
    record LockoutOver(String contact) implements Wake {}

    record HoldReached(String button) implements Wake {}

    record RunDue(long run) implements Wake {}

    record OutboxDue(String device) implements Wake {}

    record AskAgain(String device) implements Wake {}

    /**
     * A single property is asked for after the device has had its time to arrive, unless it has told by itself since
     * {@code sentAt}.
     */
    record AskOnce(String device, String property, long sentAt) implements Wake {}

    record FailureShown(String macro) implements Wake {}
}
