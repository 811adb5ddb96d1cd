package bellpush.runtime.panel.chips;

import bellpush.runtime.panel.PinListener;
import java.util.ArrayList;
import java.util.List;
import java.util.TreeMap;

/** Keeps what a bank told. */
final class Told implements PinListener {
    record Edge(long at, int pin, boolean active) {}

    final List<Edge> edges = new ArrayList<>();
    final TreeMap<Integer, Boolean> found = new TreeMap<>();
    final List<String> notes = new ArrayList<>();
    final List<String> losses = new ArrayList<>();
    int backs;

    @Override
    public void found(long atNanos, int pin, boolean active) {
        found.put(pin, active);
    }

    @Override
    public void edge(long atNanos, int pin, boolean active) {
        edges.add(new Edge(atNanos, pin, active));
    }

    @Override
    public void lost(String why) {
        losses.add(why);
    }

    @Override
    public void back() {
        backs++;
    }

    @Override
    public void noted(String text) {
        notes.add(text);
    }

    /** Such as {@code "3+ 3-"}: pin 3 active, pin 3 inactive. */
    String shown() {
        StringBuilder text = new StringBuilder();
        edges.forEach(
                edge -> text.append(text.isEmpty() ? "" : " ").append(edge.pin()).append(edge.active() ? "+" : "-"));
        return text.toString();
    }
}
