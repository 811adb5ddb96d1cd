package bellpush.runtime.show;

import bellpush.runtime.core.Input;
import bellpush.runtime.panel.PanelListener;
import io.netty.channel.EventLoop;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.RejectedExecutionException;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.Consumer;

/**
 * The way from the panel's threads to the core's. A broken switch can chatter faster than anything can follow, so no more
 * than {@value #WAITING_MAX} edges may wait. Beyond that edges are dropped, but each contact's last state is kept and told once
 * there is room: a button must never be left stuck. So is the
 * newest reading of each fader and joystick axis.
 */
final class PanelInbox implements PanelListener {
    static final int WAITING_MAX = 10_000;

    private final EventLoop loop;
    private final Consumer<Input> feed;
    private final Consumer<String> noted;
    private final AtomicInteger waiting = new AtomicInteger();
    private final AtomicInteger dropped = new AtomicInteger();
    private final Map<String, Input.Contact> lastDropped = new ConcurrentHashMap<>();

    private final Map<String, Input.Moved> lastMoved = new ConcurrentHashMap<>();

    /**
     * @param feed  takes each input on the loop
     * @param noted told on the loop what was dropped
     */
    PanelInbox(EventLoop loop, Consumer<Input> feed, Consumer<String> noted) {
        this.loop = loop;
        this.feed = feed;
        this.noted = noted;
    }

    @Override
    public void contact(long atNanos, String contact, boolean closed) {
        Input.Contact input = new Input.Contact(atNanos, contact, closed);
        if (post(input)) {
            return;
        }
        lastDropped.put(contact, input);
        dropped();
    }

    @Override
    public void found(long atNanos, String contact, boolean closed) {
        post(new Input.Found(atNanos, contact, closed)); // each contact once, long before the inbox can be full
    }

    @Override
    public void turned(long atNanos, String knob, int detents) {
        if (!post(new Input.Turned(atNanos, knob, detents))) {
            dropped();
        }
    }

    @Override
    public void moved(long atNanos, String input, double share) {
        Input.Moved moved = new Input.Moved(atNanos, input, share);
        if (!post(moved)) {
            lastMoved.put(input, moved);
            settleIfIdle();
        }
    }

    @Override
    public void lost(long atNanos, String input, String why) {
        // What the input drives must stop, so this is never dropped; a reading from before it says nothing any more.
        lastMoved.remove(input);
        execute(() -> feed.accept(new Input.Lost(atNanos, input, why)));
    }

    @Override
    public void noted(String text) {
        execute(() -> noted.accept(text));
    }

    /** False if there is no room. */
    private boolean post(Input input) {
        if (loop.inEventLoop()) {
            feed.accept(input);
            return true;
        }
        if (waiting.incrementAndGet() > WAITING_MAX) {
            waiting.decrementAndGet();
            return false;
        }
        if (input instanceof Input.Contact edge && !lastDropped.isEmpty()) {
            lastDropped.remove(edge.contact()); // this edge is newer
        }
        if (input instanceof Input.Moved moved && !lastMoved.isEmpty()) {
            lastMoved.remove(moved.input());
        }
        execute(() -> take(input));
        return true;
    }

    private void take(Input input) {
        feed.accept(input);
        if (waiting.decrementAndGet() == 0) {
            settle();
        }
    }

    private void dropped() {
        dropped.incrementAndGet();
        settleIfIdle();
    }

    private void settleIfIdle() {
        if (waiting.get() == 0) {
            execute(this::settle); // the last of those that waited is through already and has not seen this one
        }
    }

    private void settle() {
        for (String input : lastMoved.keySet()) {
            Input.Moved last = lastMoved.remove(input);
            if (last != null) {
                feed.accept(last);
            }
        }
        if (dropped.get() == 0) {
            return;
        }
        noted.accept(dropped.getAndSet(0) + " edges came faster than they could be followed and were dropped;"
                + " a switch or its wiring is faulty.");
        for (String contact : lastDropped.keySet()) {
            Input.Contact last = lastDropped.remove(contact);
            if (last != null) {
                feed.accept(last);
            }
        }
    }

    private void execute(Runnable task) {
        try {
            loop.execute(task);
        } catch (RejectedExecutionException e) {
            // The show is over; nobody is left to tell.
        }
    }
}
