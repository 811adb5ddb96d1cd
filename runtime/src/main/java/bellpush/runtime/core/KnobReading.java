package bellpush.runtime.core;

import bellpush.config.model.Button;
import bellpush.config.model.Knob;

/**
 * One knob: its two channels, how fast it is spun, and its push switch. Where turning while pushed moves something of its
 * own, a push is meant by itself only if it is let go without having turned; else it counts at once, as a button does.
 */
final class KnobReading implements ButtonGestures.Meaning {
    /** What turning leads to. */
    interface Turned {
        /**
         * @param detents clicks of the knob, negative the other way
         * @param steps   what they are worth in steps: more of them where the knob is spun
         * @param pushed  whether they move what turning while pushed moves
         */
        void turned(Knob knob, int detents, int steps, boolean pushed);
    }

    /** A detent this long after the one before, or longer, is worth one step. Chosen by hand; common practice, no source. */
    static final long SLOW_NANOS = 60_000_000;
    /** A detent this short after the one before, or shorter, is worth all that {@code faster} says. */
    static final long FAST_NANOS = 10_000_000;

    /** More transitions that cannot be than this within a second are the wiring and no finger (common practice, no source). */
    static final int JUMPS_MAX = 20;

    private static final long JUMPS_NANOS = 1_000_000_000L;

    private final Turn turn;
    private final Knob knob;
    private final Quadrature quadrature;
    private final ButtonGestures.Meaning ofPush;
    private final Turned turned;
    private long lastDetentAt;
    private int lastDirection;
    private long jumpsSince;
    private long lastJumpAt;
    private int jumps;
    private boolean jumpsNoted;
    private boolean pushed;
    private boolean turnedWhilePushed;

    KnobReading(Turn turn, Knob knob, ButtonGestures.Meaning ofPush, Turned turned) {
        this.turn = turn;
        this.knob = knob;
        this.quadrature = new Quadrature(knob.perDetent());
        this.ofPush = ofPush;
        this.turned = turned;
    }

    void found(boolean a, boolean closed) {
        quadrature.found(a, closed);
    }

    /** An edge of channel A, or else B. Whether it has moved something while pushed. */
    boolean edge(long at, boolean a, boolean closed) {
        long wrong = quadrature.invalid();
        int detent = quadrature.edge(a, closed);
        if (quadrature.invalid() != wrong) {
            jumped(at);
        }
        if (detent == 0) {
            return false;
        }
        int steps = detent == lastDirection ? detent * worth(knob.faster(), at - lastDetentAt) : detent;
        lastDetentAt = at;
        lastDirection = detent;
        return moved(detent, steps);
    }

    /** Whole detents of a knob that has no channels; each is worth one step. Whether that moved something while pushed. */
    boolean turned(int detents) {
        return moved(detents, detents);
    }

    private boolean moved(int detents, int steps) {
        turnedWhilePushed |= pushed;
        turned.turned(knob, detents, steps, pushed);
        return pushed;
    }

    /**
     * Steps for one detent: 1 where the knob is turned slowly, {@code faster} where it is spun, and evenly more from one to the
     * other. Always whole, so that a value stays among those that turning slowly would come to.
     *
     * @param sinceNanos since the detent before, in the same direction
     */
    static int worth(double faster, long sinceNanos) {
        double share = (SLOW_NANOS - sinceNanos) / (double) (SLOW_NANOS - FAST_NANOS);
        return (int) (1 + (faster - 1) * Math.clamp(share, 0, 1));
    }

    /** Says once that something is wrong, until a second has passed without. */
    private void jumped(long at) {
        if (at - lastJumpAt > JUMPS_NANOS) {
            jumpsNoted = false;
        }
        lastJumpAt = at;
        if (jumps == 0 || at - jumpsSince > JUMPS_NANOS) {
            jumpsSince = at;
            jumps = 0;
        }
        jumps++;
        if (jumps > JUMPS_MAX && !jumpsNoted) {
            jumpsNoted = true;
            turn.record("note", "control", knob.name(), "text", "jumps: edges of its channels were missing more than "
                    + JUMPS_MAX
                    + " times in a second, so it counts wrongly. Look at its wires, its ground first, and at"
                    + " \"pins\" in panel.json");
        }
    }

    private boolean turnsWhilePushed() {
        return knob.push().flatMap(Knob.Push::turns).isPresent();
    }

    @Override
    public void touched(Button button) {
        if (turnsWhilePushed()) {
            pushed = true;
            turnedWhilePushed = false;
        } else {
            ofPush.touched(button);
        }
    }

    @Override
    public void pressed(Button button) {
        if (!turnsWhilePushed()) {
            ofPush.pressed(button);
        }
    }

    @Override
    public void released(Button button) {
        boolean meant = pushed && !turnedWhilePushed;
        pushed = false;
        if (meant) {
            ofPush.touched(button);
            ofPush.pressed(button);
        }
        if (meant || !turnsWhilePushed()) {
            ofPush.released(button);
        }
    }

    @Override
    public void givenUp(Button button) {
        pushed = false;
        if (!turnsWhilePushed()) {
            ofPush.givenUp(button);
        }
    }

    @Override
    public void pressedTwice(Button button) {
        ofPush.pressedTwice(button);
    }

    @Override
    public void heldLongEnough(Button button) {
        ofPush.heldLongEnough(button);
    }
}
