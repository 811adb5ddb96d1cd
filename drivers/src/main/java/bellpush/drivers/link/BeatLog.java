package bellpush.drivers.link;

import java.time.Duration;
import java.util.function.Consumer;

/**
 * Which heartbeats get a log line of their own. A device that is asked every second whether it lives fills a log with
 * nothing: the first few after each change are shown, the others are counted.
 */
final class BeatLog {
    static final Duration COUNTED_EVERY = Duration.ofMinutes(10);
    static final int SHOWN_AFTER_CHANGE = 3;

    private final Timers timers;
    private final Consumer<String> note;
    private int shownLeft = SHOWN_AFTER_CHANGE;
    private boolean shown;
    private boolean answeredLast;
    private int sent;
    private int answered;
    private Timers.Alarm alarm;

    BeatLog(Timers timers, Consumer<String> note) {
        this.timers = timers;
        this.note = note;
    }

    /** The link is new. */
    void opened() {
        shownLeft = SHOWN_AFTER_CHANGE;
        shown = true;
    }

    /** A beat is out. */
    void sent() {
        shown = shownLeft > 0;
        if (shown) {
            shownLeft--;
            return;
        }
        sent++;
        if (alarm == null) {
            alarm = timers.after(COUNTED_EVERY.toNanos(), this::tellCount);
        }
    }

    /** Whether the messages of the beat that was sent last belong into the log. */
    boolean shown() {
        return shown;
    }

    void answered() {
        if (!shown) {
            answered++;
        }
        changed(true);
    }

    void missed() {
        if (!shown && answeredLast) {
            note.accept("a heartbeat was not answered; the next ones are in the log again");
        }
        changed(false);
    }

    private void changed(boolean well) {
        if (well != answeredLast) {
            answeredLast = well;
            shownLeft = SHOWN_AFTER_CHANGE;
        }
    }

    private void tellCount() {
        alarm = null;
        note.accept(sent + " heartbeats without a log line of their own, " + answered + " of them answered");
        sent = 0;
        answered = 0;
    }

    void close() {
        if (alarm != null) {
            alarm.cancel();
            alarm = null;
        }
    }
}
