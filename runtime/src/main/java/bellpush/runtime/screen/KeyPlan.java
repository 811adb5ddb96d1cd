package bellpush.runtime.screen;

import bellpush.config.model.Knob;
import bellpush.config.model.Panel;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * Which key stands for which control. Buttons and switches get letters in the panel's order, then digits; the capital letter of a
 * button holds. A digit has no capital on every keyboard, so a button beyond the letters is held by selecting it. Knobs get pairs
 * of signs, and the signs above them on many keyboards turn a knob while it is pushed.
 */
final class KeyPlan {
    /** Without q, which leaves. */
    private static final String BUTTON_KEYS = "abcdefghijklmnoprstuvwxyz1234567890";
    private static final List<String> KNOB_KEYS = List.of("[]", ",.", ";'");
    private static final List<String> PUSHED_KEYS = List.of("{}", "<>", ":\"");

    private final Map<Integer, String> buttons = new HashMap<>();
    private final Map<String, String> keys = new HashMap<>();
    private final Map<Integer, String> switches = new HashMap<>();
    private final Map<Integer, Turn> turns = new HashMap<>();

    /** @param pushed while its push switch is held */
    record Turn(String knob, int detents, boolean pushed) {}

    KeyPlan(Panel panel, List<String> order) {
        int button = 0;
        int knob = 0;
        for (String name : order) {
            if (panel.buttons().containsKey(name) && button < BUTTON_KEYS.length()) {
                char key = BUTTON_KEYS.charAt(button++);
                buttons.put((int) key, name);
                keys.put(name, String.valueOf(key));
            } else if (panel.switches().containsKey(name) && button < BUTTON_KEYS.length()) {
                char key = BUTTON_KEYS.charAt(button++);
                switches.put((int) key, name);
                keys.put(name, String.valueOf(key));
            } else if (panel.knobs().containsKey(name) && knob < KNOB_KEYS.size()) {
                add(KNOB_KEYS.get(knob), name, false);
                if (panel.knobs().get(name).push().flatMap(Knob.Push::turns).isPresent()) {
                    add(PUSHED_KEYS.get(knob), name, true);
                }
                keys.put(name, KNOB_KEYS.get(knob++));
            }
        }
    }

    private void add(String pair, String knob, boolean pushed) {
        turns.put((int) pair.charAt(0), new Turn(knob, -1, pushed));
        turns.put((int) pair.charAt(1), new Turn(knob, 1, pushed));
    }

    /** The key of a button or switch, or both keys of a knob; empty text for none. */
    String keysOf(String control) {
        return keys.getOrDefault(control, "");
    }

    /** The capital letter that holds a button; empty text for none. */
    String holdKeyOf(String button) {
        String key = keysOf(button);
        return key.isEmpty() || !Character.isLetter(key.charAt(0)) ? "" : key.toUpperCase(java.util.Locale.ROOT);
    }

    Optional<String> pressedBy(int point) {
        return Optional.ofNullable(buttons.get(point));
    }

    Optional<String> toggledBy(int point) {
        return Optional.ofNullable(switches.get(point));
    }

    Optional<String> heldBy(int point) {
        return point >= 'A' && point <= 'Z' ? pressedBy(point - 'A' + 'a') : Optional.empty();
    }

    Optional<Turn> turnedBy(int point) {
        return Optional.ofNullable(turns.get(point));
    }
}
