package bellpush.runtime.show;

import bellpush.config.model.Look;
import bellpush.runtime.panel.Panel;
import bellpush.runtime.panel.PanelListener;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.CopyOnWriteArrayList;

/** A panel that can be looked at, and whose fingers are the test's. */
class RecordingPanel implements Panel {
    final List<String> calls = new CopyOnWriteArrayList<>();
    final Map<String, Double> levels = new ConcurrentHashMap<>();
    /** As {@code levels} was when it was last written out. */
    final Map<String, Double> shown = new ConcurrentHashMap<>();
    final Map<String, Look> meanings = new ConcurrentHashMap<>();
    volatile PanelListener listener;
    volatile boolean broken;
    volatile boolean brokenBus;
    volatile boolean lampTest;
    volatile boolean closed;

    @Override
    public String describe() {
        return "a panel for tests";
    }

    @Override
    public void open(PanelListener to) {
        listener = to;
    }

    @Override
    public void light(String lamp, double level, Optional<String> colour) {
        if (broken) {
            throw new IllegalStateException("the expander does not answer");
        }
        calls.add(lamp + " " + level + colour.map(c -> " " + c).orElse(""));
        levels.put(lamp, level);
    }

    @Override
    public void show() {
        if (brokenBus) {
            throw new IllegalStateException("the bus does not answer");
        }
        shown.putAll(levels);
    }

    @Override
    public boolean wantsLampTest() {
        return lampTest;
    }

    @Override
    public void meaning(String lamp, Look look) {
        meanings.put(lamp, look);
    }

    @Override
    public void close() {
        closed = true;
    }
}
