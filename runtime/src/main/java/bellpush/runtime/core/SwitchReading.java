package bellpush.runtime.core;

import bellpush.config.model.Switch;
import java.util.Optional;
import java.util.function.BiConsumer;

/** Where one latching switch stands. Being found somewhere is a state; only being moved is an event. */
final class SwitchReading implements CleanContact.Edges {
    private final Turn turn;
    private final Switch control;
    private final BiConsumer<Switch, Boolean> moved;
    /** Empty until it has been found, and while it cannot be trusted. */
    private Optional<Boolean> on;

    SwitchReading(Turn turn, Switch control, BiConsumer<Switch, Boolean> moved) {
        this.turn = turn;
        this.control = control;
        this.moved = moved;
        on = control.pin().isEmpty() ? Optional.of(false) : Optional.empty();
    }

    Optional<Boolean> on() {
        return on;
    }

    void found(boolean closed) {
        if (!on.equals(Optional.of(closed))) {
            note("stands " + word(closed) + "; that runs nothing");
        }
        on = Optional.of(closed);
    }

    @Override
    public void acted(long at, boolean closed) {
        on = Optional.of(closed);
        moved.accept(control, closed);
    }

    @Override
    public void chatters() {
        on = Optional.empty();
        note(Contacts.CHATTERS);
    }

    @Override
    public void quiet(boolean closed) {
        on = Optional.of(closed);
        note("is quiet again and stands " + word(closed) + "; that runs nothing");
    }

    static String word(boolean on) {
        return on ? "on" : "off";
    }

    private void note(String text) {
        turn.record("note", "control", control.name(), "text", text);
    }
}
