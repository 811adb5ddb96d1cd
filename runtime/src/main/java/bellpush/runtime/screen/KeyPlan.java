package bellpush.runtime.screen;

import bellpush.config.model.Panel;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * Which key stands for which control. Buttons and switches get letters in the panel's order, then digits; the capital letter holds. A digit
 * has no capital on every keyboard, so a button beyond the letters is held by selecting it. Knobs get pairs of signs.
 */
final class KeyPlan {
    /** Without q, which leaves. */
    private static final String BUTTON_KEYS = "abcdefghijklmnoprstuvwxyz1234567890";
    private static final List<String> KNOB_KEYS = List.of("[]", ",.", ";'");

    private final Map<Integer, String> buttons = new HashMap<>();
    private final Map<String, String> keys = new HashMap<>();
    private final Map<Integer, Turn> turns = new HashMap<>();

    record Turn(String knob, int detents) {}

    KeyPlan(Panel panel, List<String> order) {
        int button = 0;
        int knob = 0;
        for (String name : order) {
            boolean pressed = panel.buttons().containsKey(name) || panel.switches().containsKey(name);
            if (pressed && button < BUTTON_KEYS.length()) {
                char key = BUTTON_KEYS.charAt(button++);
                buttons.put((int) key, name);
                keys.put(name, String.valueOf(key));
            } else if (panel.knobs().containsKey(name) && knob < KNOB_KEYS.size()) {
                String pair = KNOB_KEYS.get(knob++);
                turns.put((int) pair.charAt(0), new Turn(name, -1));
                turns.put((int) pair.charAt(1), new Turn(name, 1));
                keys.put(name, pair);
            }
        }
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

    Optional<String> heldBy(int point) {
        return point >= 'A' && point <= 'Z' ? pressedBy(point - 'A' + 'a') : Optional.empty();
    }

    Optional<Turn> turnedBy(int point) {
        return Optional.ofNullable(turns.get(point));
    }
}
