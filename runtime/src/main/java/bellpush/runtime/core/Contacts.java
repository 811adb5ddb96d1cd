package bellpush.runtime.core;

import bellpush.config.model.Button;
import bellpush.config.model.Knob;
import bellpush.config.model.Panel;
import java.util.HashMap;
import java.util.Map;

/**
 * Turns the edges of contacts into gestures. A button acts on the first edge and is then deaf for its lock-out, so that
 * contact bounce costs no time; what the contact has come to is looked at when the lock-out ends. A knob's two contacts
 * are read as quadrature, which bounce cannot fool.
 */
final class Contacts {
    /** What gestures lead to. */
    interface Gestures {
        void pressed(Button button);

        void released(Button button);

        void heldLongEnough(Button button);

        void turned(Knob knob, int detents);
    }

    private static final class ButtonState {
        final Button button;
        boolean closed; // as acted on
        boolean raw; // as last seen
        long lockedUntil = Long.MIN_VALUE;
        long lookTimer; // 0: nobody will look at what the contact has come to
        long holdTimer;
        boolean holding;

        ButtonState(Button button) {
            this.button = button;
        }
    }

    private record Channel(Quadrature quadrature, Knob knob, boolean a) {}

    private final Turn turn;
    private final Gestures gestures;
    private final Map<String, ButtonState> buttons = new HashMap<>();
    private final Map<String, Channel> channels = new HashMap<>();

    Contacts(Turn turn, Panel panel, Gestures gestures) {
        this.turn = turn;
        this.gestures = gestures;
        panel.buttons().values().forEach(b -> buttons.put(b.name(), new ButtonState(b)));
        panel.knobs().values().forEach(k -> {
            Quadrature quadrature = new Quadrature(k.perDetent());
            channels.put(k.name() + ".a", new Channel(quadrature, k, true));
            channels.put(k.name() + ".b", new Channel(quadrature, k, false));
        });
    }

    boolean holding(String button) {
        ButtonState state = buttons.get(button);
        return state != null && state.holding;
    }

    /** A contact as it was when the panel was opened: a state, not an event. */
    void found(String contact, boolean closed) {
        ButtonState state = buttons.get(contact);
        if (state != null) {
            state.raw = closed;
            state.closed = closed;
            if (closed) {
                turn.record("note", "control", contact,
                        "text", "is pressed already at the start; that is not taken as a press");
            }
        } else if (channels.get(contact) instanceof Channel(var quadrature, _, boolean a)) {
            quadrature.found(a, closed);
        }
    }

    /** @param at when it happened, which may be well before it got here: what was bounce then is bounce still */
    void edge(long at, String contact, boolean closed) {
        ButtonState state = buttons.get(contact);
        if (state != null) {
            state.raw = closed;
            if (at < state.lockedUntil) {
                if (state.lookTimer == 0) {
                    lookAt(turn.now() + state.button.lockout().toNanos(), state);
                }
            } else if (closed != state.closed) {
                act(state, at);
            }
        } else if (channels.get(contact) instanceof Channel(var quadrature, var knob, boolean a)) {
            int detents = quadrature.edge(a, closed);
            if (detents != 0) {
                gestures.turned(knob, detents);
            }
        }
    }

    void lockoutOver(String contact) {
        ButtonState state = buttons.get(contact);
        state.lookTimer = 0;
        if (state.raw != state.closed) {
            act(state, turn.now());
        }
    }

    private void lookAt(long due, ButtonState state) {
        turn.stop(state.lookTimer);
        state.lookTimer = turn.start(due, new Wake.LockoutOver(state.button.name()));
    }

    private void act(ButtonState state, long at) {
        Button button = state.button;
        state.closed = state.raw;
        state.lockedUntil = at + button.lockout().toNanos();
        if (state.closed) {
            button.hold().ifPresent(hold -> {
                state.holding = true;
                state.holdTimer = turn.start(turn.now() + hold.time().toNanos(), new Wake.HoldReached(button.name()));
            });
            gestures.pressed(button);
        } else {
            state.holding = false;
            turn.stop(state.holdTimer);
            gestures.released(button);
        }
        lookAt(state.lockedUntil, state);
    }

    void holdReached(String button) {
        ButtonState state = buttons.get(button);
        if (state.holding) {
            state.holding = false;
            gestures.heldLongEnough(state.button);
        }
    }
}
