package bellpush.runtime.screen;

import bellpush.config.model.LinkState;
import bellpush.config.model.Look;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/**
 * Everything that one frame shows, beside the site itself.
 *
 * @param lamps    by name; one that is missing is dark
 * @param values   last known value of a knob's property, by knob
 * @param links    by device; one that is missing has not been heard of
 * @param running  labels of macros
 * @param lines    of the log, oldest first
 * @param touched  controls under a finger
 * @param selected name of a control, or empty text
 * @param whys     why a lamp shows what it shows, by lamp
 * @param ways     where a fader's value is on its way, 0 to 1, by fader
 * @param off      devices that are switched off for practice; empty where there is nothing to practise on
 */
record Scene(String mode, Map<String, LampSeen> lamps, Map<String, String> values, Map<String, LinkSeen> links,
        List<String> running, List<String> lines, Map<String, Touch> touched, String selected, Dialogue dialogue,
        Map<String, String> whys, Optional<Set<String>> off, Map<String, Double> ways) {

    /** Without faders. */
    Scene(String mode, Map<String, LampSeen> lamps, Map<String, String> values, Map<String, LinkSeen> links,
            List<String> running, List<String> lines, Map<String, Touch> touched, String selected, Dialogue dialogue,
            Map<String, String> whys, Optional<Set<String>> off) {
        this(mode, lamps, values, links, running, lines, touched, selected, dialogue, whys, off, Map.of());
    }

    /** @param level 0 to 1, as the lamps thread last said; {@code meaning} is empty if nobody said what it stands for */
    record LampSeen(double level, Optional<String> colour, Optional<Look> meaning) {
        static final LampSeen DARK = new LampSeen(0, Optional.empty(), Optional.empty());

        /** The state in one word. */
        String word() {
            return meaning.map(look -> look.pattern().word()).orElse(level > 0 ? "lit" : "off");
        }
    }

    record LinkSeen(LinkState state, String why) {}

    enum Touch {
        DOWN, HELD;

        String word() {
            return name().toLowerCase(java.util.Locale.ROOT);
        }
    }

    /** What lies over the panel. */
    enum Dialogue {
        NONE, HELP, LEAVE, TROUBLE
    }

    static Scene empty(String mode) {
        return new Scene(mode, Map.of(), Map.of(), Map.of(), List.of(), List.of(), Map.of(), "", Dialogue.NONE,
                Map.of(), Optional.empty());
    }
}
