package bellpush.config.model;

import java.time.Duration;

/**
 * The limits of a running site, each settable in site.json.
 *
 * @param runs          macros running or waiting at the same time; one more is refused, and its button shows failure
 * @param runDepth      macros inside macros; deeper is refused when the site is checked
 * @param stepsPerPress steps one press may run in all; beyond it the macro fails
 * @param waitingSends  messages waiting for one device's pace; beyond it a command fails and says so
 * @param logQueue      event log lines waiting for the disk; beyond it lines are counted as lost and the show goes on
 * @param messageBytes  longest message taken from a device; longer ones are dropped and counted
 * @param macro         how long the steps of a macro may take that does not say so itself; beyond it the macro fails
 */
public record Limits(int runs, int runDepth, int stepsPerPress, int waitingSends, int logQueue, int messageBytes,
        Duration macro) {
    public static final Limits DEFAULT = new Limits(32, 8, 1_000, 64, 10_000, 65_536);

    /** With the usual time for a macro, one minute. */
    public Limits(int runs, int runDepth, int stepsPerPress, int waitingSends, int logQueue, int messageBytes) {
        this(runs, runDepth, stepsPerPress, waitingSends, logQueue, messageBytes, Duration.ofSeconds(60));
    }
}
