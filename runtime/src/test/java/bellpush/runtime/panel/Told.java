package bellpush.runtime.panel;

import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;

/** What a panel has told, as lines. */
final class Told implements PanelListener {
    final List<String> lines = new CopyOnWriteArrayList<>();
    final List<Long> times = new CopyOnWriteArrayList<>();

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
    public void noted(String text) {
        lines.add("noted " + text);
    }
}
