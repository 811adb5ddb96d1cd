package bellpush.runtime.panel;

import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;

/** What a bank has told, as lines. */
public final class PinsTold implements PinListener {
    private final List<String> lines = new CopyOnWriteArrayList<>();
    private final List<Long> times = new CopyOnWriteArrayList<>();

    public List<String> lines() {
        return lines;
    }

    /** Of the edges. */
    public List<Long> times() {
        return times;
    }

    public void clear() {
        lines.clear();
        times.clear();
    }

    @Override
    public void found(long atNanos, int pin, boolean active) {
        lines.add("found " + pin + (active ? " active" : " inactive"));
    }

    @Override
    public void edge(long atNanos, int pin, boolean active) {
        times.add(atNanos);
        lines.add("edge " + pin + (active ? " active" : " inactive"));
    }

    @Override
    public void lost(String why) {
        lines.add("lost " + why);
    }

    @Override
    public void back() {
        lines.add("back");
    }

    @Override
    public void noted(String text) {
        lines.add("noted " + text);
    }
}
