package bellpush.runtime.core;

import bellpush.config.model.Button;
import bellpush.config.model.Chip;
import bellpush.config.model.Lamp;
import bellpush.config.model.Panel;
import bellpush.config.model.Pin;
import bellpush.config.model.Switch;
import java.util.HashMap;
import java.util.Map;
import java.util.Optional;

/**
 * Brings the edges of contacts to those who make gestures of them. Contacts of buttons, switches and push switches are
 * {@link CleanContact}s; a knob's two channels are read as quadrature, which bounce cannot fool.
 */
final class Contacts {
    static final String CHATTERS = "chatters: its contact has closed and opened more than " + CleanContact.EDGES_MAX
            + " times in a second, which no finger does. It is ignored until it has been quiet for a second. Look at its"
            + " wires and plugs, then change it for a new one";

    /** What gestures lead to. */
    interface Gestures extends ButtonGestures.Meaning, KnobReading.Turned {
        void switched(Switch control, boolean on);
    }

    private record Channel(KnobReading knob, String push, boolean a) {}

    private final Map<String, CleanContact> contacts = new HashMap<>();
    private final Map<String, ButtonGestures> buttons = new HashMap<>();
    private final Map<String, SwitchReading> switches = new HashMap<>();
    private final Map<String, KnobReading> knobs = new HashMap<>();
    private final Map<String, Channel> channels = new HashMap<>();

    Contacts(Turn turn, Panel panel, Gestures gestures) {
        panel.buttons().values().forEach(button -> add(turn, button, panel, gestures));
        panel.switches().values().forEach(control -> {
            SwitchReading reading = new SwitchReading(turn, control, gestures::switched);
            switches.put(control.name(), reading);
            contacts.put(control.name(),
                    new CleanContact(turn, control.name(), control.lockout(), control.steadyFor(), reading));
        });
        panel.knobs().values().forEach(knob -> {
            KnobReading reading = new KnobReading(turn, knob, gestures, gestures);
            String push = knob.push().map(p -> p.button().name()).orElse("");
            knobs.put(knob.name(), reading);
            channels.put(knob.name() + ".a", new Channel(reading, push, true));
            channels.put(knob.name() + ".b", new Channel(reading, push, false));
            knob.push().ifPresent(p -> add(turn, p.button(), panel, reading));
        });
    }

    private void add(Turn turn, Button button, Panel panel, ButtonGestures.Meaning meaning) {
        boolean inSteps = Optional.ofNullable(panel.lamps().get(button.name()))
                .filter(lamp -> rises(lamp, panel)).isPresent();
        ButtonGestures reading = new ButtonGestures(turn, button, inSteps, meaning);
        buttons.put(button.name(), reading);
        contacts.put(button.name(),
                new CleanContact(turn, button.name(), button.lockout(), button.steadyFor(), reading));
    }

    /** Whether a lamp can be dimmed, so that it can rise while its button is held. */
    static boolean rises(Lamp lamp, Panel panel) {
        return lamp.dims() || lamp.pins().stream().anyMatch(
                pin -> pin instanceof Pin.OfChip of && panel.chips().get(of.chip()) instanceof Chip.Strip);
    }

    /** How the button of that name stands towards a finger. */
    Finger finger(String button) {
        ButtonGestures reading = buttons.get(button);
        return reading == null ? Finger.NONE : reading.finger();
    }

    /** Whether the switch is on; empty as long as that is not known. */
    Optional<Boolean> on(String control) {
        SwitchReading reading = switches.get(control);
        return reading == null ? Optional.empty() : reading.on();
    }

    /** A contact as it was when the panel was opened: a state, not an event. */
    void found(String contact, boolean closed) {
        if (contacts.get(contact) instanceof CleanContact clean) {
            clean.found(closed);
        }
        if (buttons.get(contact) instanceof ButtonGestures button) {
            button.found(closed);
        } else if (switches.get(contact) instanceof SwitchReading control) {
            control.found(closed);
        } else if (channels.get(contact) instanceof Channel(var knob, _, boolean a)) {
            knob.found(a, closed);
        }
    }

    /** @param at when it happened, which may be well before it got here: what was bounce then is bounce still */
    void edge(long at, String contact, boolean closed) {
        if (contacts.get(contact) instanceof CleanContact clean) {
            clean.edge(at, closed);
        } else if (channels.get(contact) instanceof Channel(var knob, String push, boolean a)
                && knob.edge(at, a, closed)) {
            inUse(push);
        }
    }

    /** A knob without channels was turned by whole detents. */
    void turned(String knob, int detents) {
        if (knobs.get(knob) instanceof KnobReading reading && reading.turned(detents)) {
            inUse(knob + ".push");
        }
    }

    /** A push switch that is held to turn is not stuck, however long that takes. */
    private void inUse(String push) {
        buttons.get(push).watch();
    }

    void woken(Wake.OfContact wake) {
        switch (wake) {
            case Wake.ContactSettled(String contact) -> contacts.get(contact).settled();
            case Wake.ContactQuiet(String contact) -> contacts.get(contact).quiet();
            case Wake.SecondPressOver(String button) -> buttons.get(button).secondPressOver();
            case Wake.HoldStep(String button) -> buttons.get(button).holdStep();
            case Wake.HoldReached(String button) -> buttons.get(button).holdReached();
            case Wake.ReachedShown(String button) -> buttons.get(button).reachedShown();
            case Wake.ButtonStuck(String button) -> buttons.get(button).isStuck();
        }
    }
}
