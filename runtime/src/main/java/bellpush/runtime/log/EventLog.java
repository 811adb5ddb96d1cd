package bellpush.runtime.log;

import bellpush.runtime.core.Event;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.FileSystemException;
import java.nio.file.Path;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import java.util.concurrent.locks.LockSupport;
import java.util.function.Consumer;

/**
 * The event log of one evening: JSON Lines in a file of its own, {@code evening-<UTC start>.jsonl}, written by the thread
 * {@code log}. A name is never used twice, so a line that a power cut has torn stays the last of its file.
 *
 * <p>{@link #record} never waits. While there is something going on the thread looks at the queue every 50 ms by itself and
 * need not be woken; after two quiet seconds it sleeps until the next event. The file is synced at most once a second, and on close. When the disk is full or gone, the show goes on: lines wait in the queue, those
 * that find it full are counted, and the log says how many are missing as soon as it can be written again.
 */
public final class EventLog implements Consumer<Event>, AutoCloseable {
    private static final long LOOK_NANOS = TimeUnit.MILLISECONDS.toNanos(50);
    private static final long QUIET_NANOS = TimeUnit.SECONDS.toNanos(2);
    private static final long SYNC_NANOS = TimeUnit.SECONDS.toNanos(1);
    private static final long RETRY_NANOS = TimeUnit.SECONDS.toNanos(1);
    private static final long CLOSE_WAIT_MS = 5_000;
    private static final int BATCH_LINES = 256;
    private static final int NAMES_MAX = 1_000;
    private static final DateTimeFormatter START = DateTimeFormatter.ofPattern("uuuuMMdd'T'HHmmss'Z'")
            .withZone(ZoneOffset.UTC);

    private final Path folder;
    private final String name;
    private final LogFile.Opener opener;
    private final Consumer<String> said;
    private final ArrayBlockingQueue<Event> queue;
    private final AtomicLong lost = new AtomicLong();
    private final Thread thread = new Thread(this::run, "log");
    private final EventLine line = new EventLine();
    private volatile boolean closing;
    private volatile boolean asleep;
    private volatile Path path;

    // The log thread's own.
    private LogFile file;
    private long seq;
    private byte[] waiting = {};
    private int waitingLines;
    private long waitingMissing;
    private int unsyncedLines;
    private long wroteAt;
    private long syncAt;
    private long retryAt;
    private boolean inTrouble;

    /**
     * Opens a log. Does not fail: a folder that cannot be written is tried again every second.
     *
     * @param folder   made if it is missing
     * @param queueMax lines that may wait for the disk
     * @param said     told, on the log thread, when the log cannot be written and when it can again; one sentence
     */
    public static EventLog open(Path folder, int queueMax, Consumer<String> said) {
        EventLog log = new EventLog(folder, Instant.now(), queueMax, LogFile::create, said);
        TornLine.in(folder).ifPresent(torn -> log.own("The log before this one, " + torn
                + ", ends in a torn line: the computer lost power or was stopped hard. It is left as it is."));
        log.thread.start();
        return log;
    }

    EventLog(Path folder, Instant start, int queueMax, LogFile.Opener opener, Consumer<String> said) {
        this.folder = folder;
        this.name = "evening-" + START.format(start);
        this.opener = opener;
        this.said = said;
        this.queue = new ArrayBlockingQueue<>(queueMax);
        long now = System.nanoTime();
        this.wroteAt = now;
        this.syncAt = now;
        this.retryAt = now;
        thread.setDaemon(true); // a disk that hangs must not keep the program from ending
    }

    void start() {
        thread.start();
    }

    /** Adds an event. From any thread; never waits. */
    public void record(Event event) {
        if (!queue.offer(event)) {
            lost.incrementAndGet();
        }
        if (asleep) {
            LockSupport.unpark(thread);
        }
    }

    @Override
    public void accept(Event event) {
        record(event);
    }

    /** The file that is being written, or null if none could be opened yet. */
    public Path path() {
        return path;
    }

    /** Lines that were lost and that the log has not been able to say so yet. */
    public long lost() {
        return lost.get();
    }

    private void own(String text) {
        record(new Event(System.nanoTime(), "log", "", Map.of("text", text)));
    }

    private void run() {
        boolean last;
        do {
            last = closing;
            do {
                write();
            } while (!inTrouble && !queue.isEmpty());
            sync(last);
            if (!last) {
                rest();
            }
        } while (!last);
        end();
    }

    /** A look now and then costs the core nothing; only when nothing has come for a while does it have to wake this thread. */
    private void rest() {
        long now = System.nanoTime();
        boolean busy = inTrouble || unsyncedLines > 0 || waiting.length > 0 || now - wroteAt < QUIET_NANOS;
        if (busy) {
            LockSupport.parkNanos(this, LOOK_NANOS);
            return;
        }
        asleep = true;
        if (queue.isEmpty() && lost.get() == 0 && !closing) {
            LockSupport.park(this);
        }
        asleep = false;
    }

    /** Takes lines from the queue, unless some are still waiting for the disk, and appends them. */
    private void write() {
        if (waiting.length == 0) {
            take();
        }
        if (waiting.length == 0 || (inTrouble && !closing && System.nanoTime() - retryAt < 0)) {
            return;
        }
        try {
            if (file == null) {
                file = create();
            }
            file.append(waiting);
            unsyncedLines += waitingLines;
            wroteAt = System.nanoTime();
            waiting = new byte[0];
            works();
        } catch (IOException | RuntimeException e) {
            fails(e);
        }
    }

    private void take() {
        List<Event> events = new ArrayList<>(BATCH_LINES);
        queue.drainTo(events, BATCH_LINES);
        // Lines are lost while the queue is full, so those that made it into the queue are older: say it after them.
        long missing = inTrouble || events.size() == BATCH_LINES ? 0 : lost.getAndSet(0);
        if (events.isEmpty() && missing == 0) {
            return;
        }
        ByteArrayOutputStream bytes = new ByteArrayOutputStream();
        for (Event event : events) {
            bytes.writeBytes(bytes(event));
        }
        if (missing > 0) {
            bytes.writeBytes(bytes(missing(missing)));
        }
        waiting = bytes.toByteArray();
        waitingLines = events.size();
        waitingMissing = missing;
    }

    private byte[] bytes(Event event) {
        seq++;
        // Paired at the last moment: a board without a clock of its own is set by the network while it runs.
        Instant wall = Instant.now().minusNanos(System.nanoTime() - event.at());
        try {
            return line.of(seq, wall, event);
        } catch (RuntimeException e) {
            return line.of(seq, wall, new Event(event.at(), "log", "",
                    Map.of("text", "An event could not be written: " + e.getClass().getSimpleName())));
        }
    }

    private static Event missing(long lines) {
        Map<String, Object> details = new LinkedHashMap<>();
        details.put("lost", lines);
        details.put("text", lines + (lines == 1 ? " line is" : " lines are")
                + " missing before this one: they came faster than the disk took them, or the disk was full or gone.");
        return new Event(System.nanoTime(), "log", "", details);
    }

    private LogFile create() throws IOException {
        for (int n = 1; n <= NAMES_MAX; n++) {
            Path candidate = folder.resolve(n == 1 ? name + ".jsonl" : name + "-" + n + ".jsonl");
            try {
                LogFile created = opener.create(candidate);
                path = candidate;
                return created;
            } catch (FileAlreadyExistsException e) {
                // Another start within the same second, or a file of ours that somebody put back: leave it alone.
            }
        }
        throw new IOException("a thousand logs of this second are in the folder already");
    }

    private void works() {
        if (inTrouble) {
            inTrouble = false;
            said.accept("The event log can be written again: " + path);
        }
    }

    private void fails(Exception e) {
        retryAt = System.nanoTime() + RETRY_NANOS;
        if (!inTrouble) {
            inTrouble = true;
            said.accept("The event log in " + folder + " cannot be written: " + reason(e)
                    + ". The show goes on; free some space or put the folder back, and the log goes on too.");
        }
    }

    private static String reason(Exception e) {
        String reason = e instanceof FileSystemException f && f.getReason() != null ? f.getReason() : e.getMessage();
        return e.getClass().getSimpleName() + (reason == null ? "" : ", " + reason);
    }

    private void sync(boolean now) {
        if (file == null || unsyncedLines == 0 || (!now && System.nanoTime() - syncAt < 0)) {
            return;
        }
        syncAt = System.nanoTime() + SYNC_NANOS;
        try {
            if (file.isThere()) {
                file.sync();
                unsyncedLines = 0;
            } else {
                vanished();
            }
        } catch (IOException e) {
            fails(e);
        }
    }

    /** The file was deleted under us. What it took since the last sync is gone with it; go on in a new one. */
    private void vanished() throws IOException {
        lost.addAndGet(unsyncedLines);
        unsyncedLines = 0;
        LogFile gone = file;
        file = null;
        said.accept("The event log " + path + " was deleted while it was being written; it goes on in a new file.");
        gone.close();
        write();
    }

    private void end() {
        long missing = lost.get() + queue.size() + (waiting.length == 0 ? 0 : waitingLines + waitingMissing);
        if (missing > 0) {
            said.accept("The event log is missing its last " + missing + (missing == 1 ? " line." : " lines."));
        }
        if (file != null) {
            try {
                file.close();
            } catch (IOException e) {
                fails(e);
            }
        }
    }

    /** Writes what is waiting, syncs, ends the thread. Waits for a slow disk no longer than five seconds. */
    @Override
    public void close() {
        closing = true;
        LockSupport.unpark(thread);
        try {
            thread.join(CLOSE_WAIT_MS);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }
}
