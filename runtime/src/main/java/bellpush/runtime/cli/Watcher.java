package bellpush.runtime.cli;

import bellpush.runtime.core.Event;
import bellpush.runtime.screen.DrawnPanel;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.Optional;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.function.Consumer;

/**
 * Says what happens on the standard output, for a terminal or the system's journal. Printing may block, so it is done by a
 * thread of its own, {@code watcher}, and what finds its queue full is not said: the event log has it. While the panel is
 * drawn in the terminal, what there is to say goes there, and again to the output once the terminal is given back.
 */
final class Watcher implements Consumer<Event> {
    private static final int WAITING_MAX = 1_000;
    private static final int KEPT_MAX = 50;

    private final Console console;
    private final Optional<DrawnPanel> screen;
    private final ArrayBlockingQueue<Optional<String>> waiting = new ArrayBlockingQueue<>(WAITING_MAX);
    private final Deque<String> kept = new ArrayDeque<>();
    private final Thread thread = new Thread(this::print, "watcher");

    /** @param screen the drawn panel, if the terminal is taken by it */
    Watcher(Console console, Optional<DrawnPanel> screen) {
        this.console = console;
        this.screen = screen;
        thread.setDaemon(true);
        thread.start();
    }

    @Override
    public void accept(Event event) {
        EventWords.of(event).ifPresent(this::say);
    }

    /** From any thread; never waits. */
    void say(String text) {
        waiting.offer(Optional.of(text));
    }

    void trace(Throwable error, boolean wanted) {
        if (wanted) {
            StringWriter trace = new StringWriter();
            error.printStackTrace(new PrintWriter(trace));
            say(trace.toString());
        }
    }

    private void print() {
        try {
            for (Optional<String> text = waiting.take(); text.isPresent(); text = waiting.take()) {
                if (screen.isPresent()) {
                    screen.get().line(text.get());
                    kept.add(text.get());
                    if (kept.size() > KEPT_MAX) {
                        kept.removeFirst();
                    }
                } else {
                    console.out().println(text.get());
                    console.out().flush();
                }
            }
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
        kept.forEach(console.out()::println);
        console.out().flush();
    }

    /** Says what is left and ends. */
    void end() {
        try {
            waiting.put(Optional.empty());
            thread.join(2_000);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }
}
