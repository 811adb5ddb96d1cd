package bellpush.runtime.screen;

import bellpush.config.model.LinkState;
import bellpush.config.model.Look;
import bellpush.runtime.screen.Scene.Dialogue;
import bellpush.runtime.screen.Scene.LampSeen;
import bellpush.runtime.screen.Scene.LinkSeen;
import bellpush.runtime.screen.Scene.Touch;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/**
 * What there is to show, gathered from all threads. Each call takes a lock that is never held while the terminal is written to, so
 * that a slow terminal slows nobody down.
 */
final class Board {
    /** Older lines of the log are dropped; no screen is higher than this. */
    static final int MOST_LINES = 300;

    private final Map<String, LampSeen> lamps = new HashMap<>();
    private final Map<String, String> values = new HashMap<>();
    private final Map<String, Double> ways = new HashMap<>();
    private final Map<String, LinkSeen> links = new HashMap<>();
    private final Deque<String> lines = new ArrayDeque<>();
    private final Map<String, String> whys = new HashMap<>();
    private final String mode;
    private Optional<Set<String>> off = Optional.empty();
    private List<String> running = List.of();
    private Map<String, Touch> touched = Map.of();
    private String selected = "";
    private Dialogue dialogue = Dialogue.NONE;
    private boolean changed = true;

    Board(String mode) {
        this.mode = mode;
    }

    synchronized void light(String lamp, double level, Optional<String> colour) {
        lamps.compute(lamp, (name, seen) -> new LampSeen(level, colour,
                Optional.ofNullable(seen).flatMap(LampSeen::meaning)));
        change();
    }

    synchronized void meaning(String lamp, Look look) {
        LampSeen seen = lamps.getOrDefault(lamp, LampSeen.DARK);
        lamps.put(lamp, new LampSeen(seen.level(), seen.colour(), Optional.of(look)));
        change();
    }

    synchronized void why(String lamp, String text) {
        whys.put(lamp, PlainText.of(text));
        change();
    }

    /** Which devices are switched off for practice. */
    synchronized void off(Set<String> devices) {
        if (!off.equals(Optional.of(devices))) {
            off = Optional.of(Set.copyOf(devices));
            change();
        }
    }

    synchronized void value(String knob, String text) {
        values.put(knob, PlainText.of(text));
        change();
    }

    synchronized void way(String fader, double way) {
        ways.put(fader, way);
        change();
    }

    synchronized void link(String device, LinkState state, String why) {
        links.put(device, new LinkSeen(state, PlainText.of(why)));
        change();
    }

    synchronized void running(List<String> labels) {
        running = List.copyOf(labels);
        change();
    }

    synchronized void line(String text) {
        lines.addLast(PlainText.of(text));
        if (lines.size() > MOST_LINES) {
            lines.removeFirst();
        }
        change();
    }

    synchronized void hands(Map<String, Touch> nowTouched, String nowSelected, Dialogue nowDialogue) {
        if (!touched.equals(nowTouched) || !selected.equals(nowSelected) || dialogue != nowDialogue) {
            touched = nowTouched;
            selected = nowSelected;
            dialogue = nowDialogue;
            change();
        }
    }

    /** The next frame is due although nothing here changed. */
    synchronized void change() {
        changed = true;
        notifyAll();
    }

    /** Waits until something changes, at most this long. */
    synchronized void awaitChange(long timeoutMs) throws InterruptedException {
        long end = System.nanoTime() + timeoutMs * 1_000_000;
        while (!changed && end - System.nanoTime() > 0) {
            wait(Math.max(1, (end - System.nanoTime()) / 1_000_000));
        }
    }

    synchronized Scene scene() {
        changed = false;
        return new Scene(mode, Map.copyOf(lamps), Map.copyOf(values), Map.copyOf(links), running, List.copyOf(lines),
                touched, selected, dialogue, Map.copyOf(whys), off,
                Map.copyOf(ways));
    }
}
