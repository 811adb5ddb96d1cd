package bellpush.drivers.link;

import java.time.Duration;
import java.util.function.Consumer;

/**
 * Trouble of one sort, told without flooding the log: the first of a burst at once and in full, the rest as a count, at
 * most one line every {@link #QUIET}. A burst ends when nothing has come for that long.
 */
final class Burst {
    static final Duration QUIET = Duration.ofSeconds(10);

    private final Timers timers;
    private final Consumer<String> note;
    private final String what;
    private long uncounted;
    private long total;
    private Timers.Alarm alarm;

    /** @param what names the sort in the line with the count: "malformed messages" */
    Burst(Timers timers, Consumer<String> note, String what) {
        this.timers = timers;
        this.note = note;
        this.what = what;
    }

    void add(String details) {
        total++;
        if (alarm == null) {
            alarm = timers.after(QUIET.toNanos(), this::quietOver);
            note.accept(Printable.text(details));
        } else {
            uncounted++;
        }
    }

    private void quietOver() {
        alarm = null;
        if (uncounted > 0) {
            alarm = timers.after(QUIET.toNanos(), this::quietOver);
            tellCount();
        }
    }

    private void tellCount() {
        note.accept(uncounted + " more " + what + " in the last " + QUIET.toSeconds() + " s");
        uncounted = 0;
    }

    /** How many there have been in all. */
    long total() {
        return total;
    }

    void close() {
        if (alarm != null) {
            alarm.cancel();
            alarm = null;
        }
    }
}
