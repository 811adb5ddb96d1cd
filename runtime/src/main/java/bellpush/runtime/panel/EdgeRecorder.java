package bellpush.runtime.panel;

import java.io.BufferedWriter;
import java.io.IOException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.HashMap;
import java.util.Map;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;

/**
 * Writes an edge trace of whatever a panel reads, so that an admin can show what a switch really did. Contacts without a pin
 * are left out. The file is written by the thread {@code edges}; the panel's own threads never wait for it.
 */
public final class EdgeRecorder extends PanelOver {
    private static final int WAITING_MAX = 100_000;
    private static final long CLOSE_WAIT_MS = 2_000;

    private record Edge(long nanos, int pin, boolean high) {}

    /** Ends the writer. */
    private static final Edge END = new Edge(0, -1, false);

    private final Path file;
    private final BufferedWriter out;
    private final Map<String, Wiring.HeaderContact> contacts = new HashMap<>();
    private final ArrayBlockingQueue<Edge> waiting = new ArrayBlockingQueue<>(WAITING_MAX + 1);
    private final AtomicLong lost = new AtomicLong();
    private final Thread thread = new Thread(this::write, "edges");
    private PanelListener listener;
    /** What comes before the panel is open stands in the trace at time 0: so it was found. */
    private volatile long start = Long.MAX_VALUE;

    /**
     * @param file  a new file; one that exists is left alone
     * @param under closed with this one
     * @throws PanelException if the file cannot be made
     */
    public static EdgeRecorder to(Path file, bellpush.config.model.Panel layout, Panel under) {
        try {
            return new EdgeRecorder(file, Files.newBufferedWriter(file, StandardOpenOption.CREATE_NEW), layout, under);
        } catch (FileAlreadyExistsException e) {
            throw new PanelException(file + " exists already and is left as it is; name another file.", e);
        } catch (IOException e) {
            throw new PanelException("The edge trace " + file + " cannot be written (" + e.getClass().getSimpleName()
                    + "). Check that its folder exists and that you may write there.", e);
        }
    }

    private EdgeRecorder(Path file, BufferedWriter out, bellpush.config.model.Panel layout, Panel under) {
        super(under);
        this.file = file;
        this.out = out;
        Wiring.of(layout).onHeader().forEach(contact -> contacts.put(contact.name(), contact));
        thread.setDaemon(true);
    }

    @Override
    public String describe() {
        return under.describe() + ", recorded to " + file;
    }

    @Override
    public void open(PanelListener to) {
        listener = to;
        thread.start();
        under.open(new PanelListener() {
            @Override
            public void contact(long atNanos, String contact, boolean closed) {
                to.contact(atNanos, contact, closed);
                keep(atNanos, contact, closed);
            }

            @Override
            public void found(long atNanos, String contact, boolean closed) {
                to.found(atNanos, contact, closed);
                keep(atNanos, contact, closed);
            }

            @Override
            public void turned(long atNanos, String knob, int detents) {
                to.turned(atNanos, knob, detents);
            }

            /** A trace holds edges; what a converter reads is passed on and not in it. */
            @Override
            public void moved(long atNanos, String input, double share) {
                to.moved(atNanos, input, share);
            }

            @Override
            public void lost(long atNanos, String input, String why) {
                to.lost(atNanos, input, why);
            }

            @Override
            public void noted(String text) {
                to.noted(text);
            }
        });
        start = System.nanoTime();
    }

    private void keep(long at, String name, boolean closed) {
        Wiring.HeaderContact contact = contacts.get(name);
        if (contact == null) {
            return;
        }
        if (waiting.size() >= WAITING_MAX
                || !waiting.offer(new Edge(start == Long.MAX_VALUE ? 0 : Math.max(0, at - start), contact.pin(),
                        closed == contact.activeHigh()))) {
            lost.incrementAndGet();
        }
    }

    private void write() {
        try (out) {
            out.write("# time in ms, pin (BCM), level\n");
            long last = 0;
            for (Edge edge = waiting.take(); edge != END; edge = waiting.take()) {
                // Each input has its own thread, so edges of two pins can arrive out of order by a little.
                last = Math.max(last, edge.nanos());
                out.write(EdgeTrace.line(last, edge.pin(), edge.high()));
                out.write('\n');
                if (waiting.isEmpty()) {
                    out.flush();
                }
            }
            if (lost.get() > 0) {
                out.write("# " + lost.get() + " edges are missing: they came faster than they could be written\n");
            }
        } catch (IOException e) {
            listener.noted("The edge trace " + file + " cannot be written any further: " + e.getMessage());
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }

    @Override
    public void close() {
        under.close();
        try {
            if (thread.getState() == Thread.State.NEW) {
                out.close(); // never opened
                return;
            }
            if (waiting.offer(END, CLOSE_WAIT_MS, TimeUnit.MILLISECONDS)) {
                thread.join(CLOSE_WAIT_MS);
            }
        } catch (IOException e) {
            // Nothing was recorded, so nothing is lost.
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }
}
