package bellpush.runtime.panel;

import java.io.IOException;
import java.nio.charset.MalformedInputException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.locks.LockSupport;

/**
 * Plays an edge trace from a file, in real time, in place of fingers: to show what a bad switch did, or to try a panel that is
 * not built yet. Plays from a thread named {@code gpio}. Lamps go to the panel it lies on.
 */
public final class EdgeTracePanel extends PanelOver {
    private static final long BYTES_MAX = 64L << 20;
    private static final long CLOSE_WAIT_MS = 2_000;

    private final Path file;
    private final List<EdgeTrace.Edge> edges;
    private final Map<Integer, Wiring.HeaderContact> contacts;
    private final CompletableFuture<Void> played = new CompletableFuture<>();
    private volatile boolean closing;
    private Thread thread;

    /**
     * Reads the whole trace.
     *
     * @param under shows the lamps and may be pressed as well; closed with this one
     * @throws PanelException if the file cannot be read or has mistakes; the message names every line
     */
    public static EdgeTracePanel read(Path file, bellpush.config.model.Panel layout, Panel under) {
        Map<Integer, Wiring.HeaderContact> contacts = new HashMap<>();
        Wiring.of(layout).onHeader().forEach(contact -> contacts.put(contact.pin(), contact));
        EdgeTrace.Reading reading = EdgeTrace.read(file.toString(), lines(file));
        List<String> problems = new java.util.ArrayList<>(reading.problems());
        reading.trace().edges().stream().filter(edge -> !contacts.containsKey(edge.pin())).limit(20)
                .forEach(edge -> problems.add(file + ":" + edge.line() + ": no control of panel.json is on pin "
                        + edge.pin() + "."));
        if (!problems.isEmpty()) {
            throw new PanelException(String.join("\n", problems), null);
        }
        return new EdgeTracePanel(file, reading.trace().edges(), contacts, under);
    }

    private static List<String> lines(Path file) {
        try {
            if (Files.size(file) > BYTES_MAX) {
                throw new PanelException(file + " is larger than 64 MiB; split it.", null);
            }
            return Files.readAllLines(file);
        } catch (MalformedInputException e) {
            throw new PanelException(file + " is not a text file in UTF-8.", e);
        } catch (IOException e) {
            throw new PanelException("The edge trace " + file + " cannot be read (" + e.getClass().getSimpleName()
                    + "). Check its name and whether you may read it.", e);
        }
    }

    private EdgeTracePanel(Path file, List<EdgeTrace.Edge> edges, Map<Integer, Wiring.HeaderContact> contacts,
            Panel under) {
        super(under);
        this.file = file;
        this.edges = edges;
        this.contacts = contacts;
    }

    /** Completes when the last edge was told. */
    public CompletableFuture<Void> played() {
        return played;
    }

    @Override
    public String describe() {
        return "the edge trace " + file + " (" + edges.size() + " edges) over " + under.describe();
    }

    @Override
    public void open(PanelListener listener) {
        under.open(listener);
        long now = System.nanoTime();
        edges.stream().takeWhile(edge -> edge.nanos() == 0).forEach(edge -> {
            Wiring.HeaderContact contact = contacts.get(edge.pin());
            listener.found(now, contact.name(), edge.high() == contact.activeHigh());
        });
        thread = new Thread(() -> play(listener), "gpio");
        thread.setDaemon(true);
        thread.start();
    }

    private void play(PanelListener listener) {
        long start = System.nanoTime();
        for (EdgeTrace.Edge edge : edges.stream().dropWhile(edge -> edge.nanos() == 0).toList()) {
            long at = start + edge.nanos();
            for (long left = at - System.nanoTime(); left > 0; left = at - System.nanoTime()) {
                if (closing) {
                    return;
                }
                LockSupport.parkNanos(this, left);
            }
            Wiring.HeaderContact contact = contacts.get(edge.pin());
            listener.contact(at, contact.name(), edge.high() == contact.activeHigh());
        }
        listener.noted("The edge trace " + file + " has ended after " + edges.size() + " edges.");
        played.complete(null);
    }

    @Override
    public void close() {
        closing = true;
        if (thread != null) {
            LockSupport.unpark(thread);
            try {
                thread.join(CLOSE_WAIT_MS);
            } catch (InterruptedException e) {
                Thread.currentThread().interrupt();
            }
        }
        under.close();
    }
}
