package bellpush.runtime.core;

import bellpush.config.model.Button;
import java.time.Duration;

/**
 * What a finger means by pressing one button: a press, two in a row, a hold, and letting go.
 *
 * <p>Without {@code double} a press counts at once; a hold comes on top of it. With {@code double} the three exclude each
 * other: two presses in time are a double press; a button that is still down when that time is over and has a hold is decided
 * by letting go early (a single press) or not (the hold alone); anything else is a single press as soon as the time is over.
 * The second press of a double is never a hold.
 *
 * <p>Every press that counted is followed by exactly one {@code released} or {@code givenUp}. A contact that is taken to be stuck, or chatters,
 * counts as let go at that moment, so that what was meant to last only as long as a finger does not go on for ever; what it
 * does until it has opened, or been quiet, is ignored, that opening included.
 */
final class ButtonGestures implements CleanContact.Edges {
    /** What gestures lead to. {@code touched} comes first, at once; what it means follows. */
    interface Meaning {
        void touched(Button button);

        void pressed(Button button);

        void pressedTwice(Button button);

        void released(Button button);

        /** It counts as let go, since its contact cannot be trusted any more. */
        void givenUp(Button button);

        void heldLongEnough(Button button);
    }

    /** A lamp that can be dimmed rises in so many steps while its button is held. */
    static final int HOLD_STEPS = 8;
    /** For so long it says that the hold is reached (common practice, no source). */
    static final long REACHED_NANOS = 500_000_000L;

    private final Turn turn;
    private final Button button;
    private final Meaning meaning;
    /** Whether somebody looks at how far the hold has come. */
    private final boolean inSteps;

    /** Down by a press that counted and has not been let go. */
    private boolean down;
    private long pressedAt;
    /** The press may still become a double press, or a hold. */
    private boolean awaited;
    /** It was let go while that was open. */
    private boolean letGo;
    private boolean holding;
    private int holdStep;
    private boolean reached;
    private boolean stuck;
    private boolean chattering;
    private long secondTimer;
    private long holdTimer;
    private long stepTimer;
    private long reachedTimer;
    private long stuckTimer;

    ButtonGestures(Turn turn, Button button, boolean inSteps, Meaning meaning) {
        this.turn = turn;
        this.button = button;
        this.inSteps = inSteps;
        this.meaning = meaning;
    }

    Finger finger() {
        if (stuck) {
            return new Finger.Faulty("stuck: pressed for longer than " + words(button.stuckAfter()));
        }
        if (chattering) {
            return new Finger.Faulty("its contact chatters");
        }
        if (reached) {
            return new Finger.Reached();
        }
        if (holding) {
            return new Finger.Holding((holdStep + 1.0) / (HOLD_STEPS + 1));
        }
        return awaited ? new Finger.Awaited() : Finger.NONE;
    }

    void found(boolean closed) {
        giveUp();
        stuck = false;
        chattering = false;
        turn.stop(stuckTimer);
        if (closed) {
            note("is pressed already at the start; that is not taken as a press");
            watch();
        }
    }

    @Override
    public void acted(long at, boolean closed) {
        if (closed) {
            closed(at);
        } else {
            opened(at);
        }
    }

    private void closed(long at) {
        watch();
        if (awaited && at - pressedAt <= button.twice().orElseThrow().within().toNanos()) {
            decided();
            down = true;
            meaning.pressedTwice(button);
            return;
        }
        if (awaited) {
            single(); // the timer is late: that press was one of its own
        }
        pressedAt = at;
        down = true;
        meaning.touched(button);
        button.hold().ifPresent(hold -> {
            holding = true;
            holdStep = 0;
            holdTimer = turn.start(turn.now() + hold.time().toNanos(), new Wake.HoldReached(button.name()));
            if (inSteps) {
                nextStep(hold);
            }
        });
        if (button.twice().isPresent()) {
            awaited = true;
            letGo = false;
            secondTimer = turn.start(turn.now() + button.twice().get().within().toNanos(),
                    new Wake.SecondPressOver(button.name()));
        } else {
            meaning.pressed(button);
        }
    }

    private void opened(long at) {
        turn.stop(stuckTimer);
        if (stuck) {
            stuck = false;
            note("has opened and works again; that was not taken as a release");
            return;
        }
        if (!down) {
            return; // it was held before anybody looked
        }
        if (holding && at - pressedAt >= button.hold().orElseThrow().time().toNanos()) {
            holdReached(); // its timer is late
        }
        if (holding && button.press().isEmpty() && button.twice().isEmpty()) {
            note("was let go after " + words(Duration.ofNanos(at - pressedAt)) + "; it runs "
                    + button.hold().get().run()
                    + " only when held for " + words(button.hold().get().time()));
        }
        stopHold();
        down = false;
        if (awaited && at - pressedAt <= button.twice().orElseThrow().within().toNanos()) {
            letGo = true;
        } else {
            if (awaited) {
                single();
            }
            meaning.released(button);
        }
    }

    void secondPressOver() {
        // A hold that goes on is still undecided: letting go early makes it a press.
        if (awaited && !holding) {
            single();
        }
    }

    private void single() {
        boolean alsoLetGo = letGo;
        decided();
        meaning.pressed(button);
        if (alsoLetGo) {
            meaning.released(button);
        }
    }

    private void decided() {
        awaited = false;
        letGo = false;
        turn.stop(secondTimer);
    }

    private void nextStep(Button.Hold hold) {
        stepTimer = turn.start(turn.now() + hold.time().toNanos() / HOLD_STEPS, new Wake.HoldStep(button.name()));
    }

    void holdStep() {
        if (holding && holdStep < HOLD_STEPS - 1) {
            holdStep++;
            nextStep(button.hold().orElseThrow());
        }
    }

    void holdReached() {
        if (!holding) {
            return;
        }
        stopHold();
        decided();
        reached = true;
        turn.stop(reachedTimer);
        reachedTimer = turn.start(turn.now() + REACHED_NANOS, new Wake.ReachedShown(button.name()));
        meaning.heldLongEnough(button);
    }

    void reachedShown() {
        reached = false;
    }

    private void stopHold() {
        holding = false;
        turn.stop(holdTimer);
        turn.stop(stepTimer);
    }

    /** In use: nobody calls it stuck before its time begins anew. */
    void watch() {
        turn.stop(stuckTimer);
        stuckTimer = turn.start(turn.now() + button.stuckAfter().toNanos(), new Wake.ButtonStuck(button.name()));
    }

    void isStuck() {
        giveUp();
        stuck = true;
        note("has been pressed for " + words(button.stuckAfter())
                + " without a break, so it is taken to be stuck and runs"
                + " nothing until it opens. Look whether the button jams, something lies on it, or its wire touches another");
    }

    @Override
    public void chatters() {
        turn.stop(stuckTimer);
        giveUp();
        stuck = false;
        chattering = true;
        note(Contacts.CHATTERS);
    }

    @Override
    public void quiet(boolean closed) {
        chattering = false;
        note(closed
                ? "is quiet again; it is pressed, which is not taken as a press"
                : "is quiet again and works");
        if (closed) {
            watch();
        }
    }

    private void giveUp() {
        boolean counted = down && !awaited;
        stopHold();
        decided();
        reached = false;
        turn.stop(reachedTimer);
        down = false;
        if (counted) {
            meaning.givenUp(button);
        }
    }

    private void note(String text) {
        turn.record("note", "control", button.name(), "text", text);
    }

    static String words(Duration time) {
        return time.toMillis() % 1000 == 0 ? time.toSeconds() + " s" : time.toMillis() + " ms";
    }
}
