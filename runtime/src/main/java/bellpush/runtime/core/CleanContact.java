package bellpush.runtime.core;

import java.time.Duration;

/**
 * One electrical contact, and what of its edges counts. A level that differs from the one acted on counts as soon as it has
 * lasted for {@code steadyFor} and the lock-out of the edge before is over; with the usual {@code steadyFor} of 0 the first
 * edge of a press counts at once, so that bounce costs no time. Edges are judged by the time at which they happened, so one
 * that arrives late changes nothing.
 *
 * <p>A contact of which more edges count than any finger can make has a bad joint. It is deaf from then on until it has been
 * quiet, so that it cannot set off a storm of macros.
 */
final class CleanContact {
    /** More edges than this within {@link #CHATTER_NANOS} are no finger: ten presses a second are twenty (common practice, no source). */
    static final int EDGES_MAX = 50;

    static final long CHATTER_NANOS = 1_000_000_000L;
    /** A contact that chattered is listened to again after this long without any edge. */
    static final long QUIET_NANOS = 1_000_000_000L;

    /** So late the thread that reads the pins may be on a busy board without bounce being taken for a tap. */
    private static final long LATE_NANOS = 20_000_000L;

    /** What comes of the contact. */
    interface Edges {
        /** @param at when it counted, which may be before now */
        void acted(long at, boolean closed);

        void chatters();

        /** It has been quiet for a while after chattering, and was found so. */
        void quiet(boolean closed);
    }

    private final Turn turn;
    private final String name;
    private final long lockoutNanos;
    private final long steadyNanos;
    private final Edges edges;
    private boolean closed; // as acted on
    private boolean raw; // as last seen
    private long rawSince;
    private long lockedUntil = Long.MIN_VALUE;
    /** 0: nobody waits for what has been seen to count. */
    private long timer;
    /** When the last edges counted, the oldest at {@code oldest}. */
    private final long[] acted = new long[EDGES_MAX];
    private int oldest;
    private int known;
    private boolean chattering;
    private long lastHeard;

    CleanContact(Turn turn, String name, Duration lockout, Duration steadyFor, Edges edges) {
        this.turn = turn;
        this.name = name;
        this.lockoutNanos = lockout.toNanos();
        this.steadyNanos = steadyFor.toNanos();
        this.edges = edges;
    }

    /** A state and no edge: what was held before is not pressed now. */
    void found(boolean nowClosed) {
        turn.stop(timer);
        timer = 0;
        closed = nowClosed;
        raw = nowClosed;
        chattering = false;
    }

    void edge(long at, boolean nowClosed) {
        lastHeard = turn.now();
        if (chattering) {
            raw = nowClosed;
            return;
        }
        if (raw != closed && at >= countsAt() && !bounced(at)) {
            act(countsAt()); // its timer is late: by now it has lasted
        }
        if (raw != nowClosed) {
            raw = nowClosed;
            rawSince = at;
        }
        if (chattering || raw == closed) {
            turn.stop(timer);
            timer = 0;
        } else if (at >= countsAt()) {
            act(at);
        } else if (timer == 0) {
            // An edge that comes late is followed by others that are as late, so they are given the same time to arrive.
            // One within the lock-out is bounce, or the end of a short tap, which may well be told a little later.
            long late = lockedUntil > rawSince + steadyNanos ? LATE_NANOS : 0;
            timer = turn.start(turn.now() + countsAt() - at + late, new Wake.ContactSettled(name));
        }
    }

    /**
     * Whether a level that is over now was bounce: it began within the lock-out and did not outlast it by much. A reader that has
     * not the kernel's time tells the last edge of a burst only after the lock-out at times, and no finger lets go that early and
     * presses again that soon.
     */
    private boolean bounced(long at) {
        return rawSince < lockedUntil && at < lockedUntil + Math.min(LATE_NANOS, lockoutNanos);
    }

    private long countsAt() {
        return Math.max(lockedUntil, rawSince + steadyNanos);
    }

    void settled() {
        timer = 0;
        if (!chattering && raw != closed) {
            act(countsAt());
        }
    }

    private void act(long at) {
        turn.stop(timer);
        timer = 0;
        closed = raw;
        lockedUntil = at + lockoutNanos;
        boolean tooMany = known == EDGES_MAX && at - acted[oldest] < CHATTER_NANOS;
        acted[oldest] = at;
        oldest = (oldest + 1) % EDGES_MAX;
        known = Math.min(known + 1, EDGES_MAX);
        if (tooMany) {
            chattering = true;
            known = 0;
            oldest = 0;
            turn.start(turn.now() + QUIET_NANOS, new Wake.ContactQuiet(name));
            edges.chatters();
        } else {
            edges.acted(at, closed);
        }
    }

    /** Somebody looks whether a chattering contact has been quiet. */
    void quiet() {
        if (!chattering) {
            return;
        }
        long quietAt = lastHeard + QUIET_NANOS;
        if (turn.now() < quietAt) {
            turn.start(quietAt, new Wake.ContactQuiet(name));
            return;
        }
        found(raw);
        lockedUntil = Long.MIN_VALUE;
        edges.quiet(closed);
    }
}
