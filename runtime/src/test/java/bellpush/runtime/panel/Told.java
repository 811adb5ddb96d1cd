package bellpush.runtime.panel;

import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;

/** What a panel has told, as lines. */
public final class Told implements PanelListener {
    public final List<String> lines = new CopyOnWriteArrayList<>();
    public final List<Long> times = new CopyOnWriteArrayList<>();

    @Override
    public void contact(long atNanos, String contact, boolean closed) {
        times.add(atNanos);
        lines.add("contact " + contact + (closed ? " closed" : " open"));
    }

    @Override
    public void found(long atNanos, String contact, boolean closed) {
        lines.add("found " + contact + (closed ? " closed" : " open"));
    }

    @Override
    public void turned(long atNanos, String knob, int detents) {
        lines.add("turned " + knob + " " + detents);
    }

    @Override
    public void moved(long atNanos, String name, double share) {
        lines.add("moved " + name + " " + String.format(java.util.Locale.ROOT, "%.3f", share));
    }

    @Override
    public void lost(long atNanos, String name, String why) {
        lines.add("lost " + name);
    }

    @Override
    public void noted(String text) {
        lines.add("noted " + text);
    }
}
