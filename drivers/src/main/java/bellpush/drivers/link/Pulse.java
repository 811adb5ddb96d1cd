package bellpush.drivers.link;

import bellpush.config.model.Heartbeat;

/**
 * When to send heartbeats, and when to call them missed. Sending is the conversation's business, because a beat may have
 * to wait for its turn.
 */
final class Pulse {
    interface Heart {
        /** A beat is due: call {@link Pulse#sent} when it is out, or {@link Pulse#heard} if that is not needed any more. */
        void beat();

        void missed(int inARow);
    }

    private final Heartbeat heartbeat;
    private final Timers timers;
    private final Heart heart;
    private long quietSince;
    private Timers.Alarm alarm;
    private boolean awaiting;
    private int misses;

    Pulse(Heartbeat heartbeat, Timers timers, Heart heart) {
        this.heartbeat = heartbeat;
        this.timers = timers;
        this.heart = heart;
    }

    /** @param atOnce whether the first beat is due now */
    void start(boolean atOnce) {
        stop();
        misses = 0;
        quietSince = timers.nanoTime();
        alarm = timers.after(atOnce ? 0 : heartbeat.every().toNanos(), atOnce ? heart::beat : this::quiet);
    }

    void stop() {
        if (alarm != null) {
            alarm.cancel();
            alarm = null;
        }
        awaiting = false;
    }

    /** A beat is out and wants a reply. */
    boolean awaiting() {
        return awaiting;
    }

    /** Something came in. */
    void heard() {
        quietSince = timers.nanoTime();
    }

    void sent() {
        quietSince = timers.nanoTime();
        awaiting = true;
        rearm(heartbeat.within().toNanos(), this::unanswered);
    }

    /** The beat that was due is not needed: the device has spoken by itself. */
    void skipped() {
        rearm(heartbeat.every().toNanos(), this::quiet);
    }

    /** What came in is what a beat wanted. */
    void answered() {
        awaiting = false;
        misses = 0;
        rearm(heartbeat.every().toNanos(), this::quiet);
    }

    private void quiet() {
        long left = heartbeat.every().toNanos() - (timers.nanoTime() - quietSince);
        if (left > 0) {
            rearm(left, this::quiet);
        } else {
            heart.beat();
        }
    }

    private void unanswered() {
        awaiting = false;
        misses++;
        rearm(heartbeat.every().minus(heartbeat.within()).toNanos(), this::quiet);
        heart.missed(misses);
    }

    private void rearm(long delayNanos, Runnable task) {
        if (alarm != null) {
            alarm.cancel();
        }
        alarm = timers.after(delayNanos, task);
    }
}
