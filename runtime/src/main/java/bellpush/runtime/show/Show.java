package bellpush.runtime.show;

import bellpush.config.model.Device;
import bellpush.config.model.LinkState;
import bellpush.config.model.Site;
import bellpush.config.model.Value;
import bellpush.drivers.spi.Driver;
import bellpush.drivers.spi.Link;
import bellpush.drivers.spi.LinkHost;
import bellpush.drivers.spi.Outcome;
import bellpush.drivers.spi.Request;
import bellpush.runtime.core.Core;
import bellpush.runtime.core.Effect;
import bellpush.runtime.core.Event;
import bellpush.runtime.core.Input;
import bellpush.runtime.panel.Panel;
import bellpush.runtime.panel.PanelListener;
import io.netty.channel.EventLoop;
import io.netty.channel.MultiThreadIoEventLoopGroup;
import io.netty.channel.nio.NioIoHandler;
import io.netty.util.concurrent.FastThreadLocalThread;
import io.netty.util.concurrent.Future;
import java.util.ArrayDeque;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.RejectedExecutionException;
import java.util.concurrent.ThreadFactory;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import java.util.function.Consumer;
import java.util.function.Function;

/**
 * A site that is running: the shell around the core. The thread {@code core} is one event loop that owns the core, its timers
 * and every socket, so that from a press that has arrived there to the packet that leaves there is no hop between threads.
 *
 * <p>Public methods may be called from any thread. Nothing that goes wrong inside the core, a link or the panel ends the
 * show: it becomes an event of the kind {@code error}, in words.
 */
public final class Show implements AutoCloseable {
    /** Inputs handled in one turn of the loop before sockets and timers get theirs. */
    private static final int INPUTS_PER_TURN = 1_000;

    private static final long CLOSE_WAIT_MS = 3_000;
    /** So long the links stay open at the end, for standstills to leave and to be confirmed. */
    private static final long STANDSTILL_WAIT_MS = 500;

    private final Site site;
    private final Panel panel;
    private final Consumer<Throwable> debug;
    private final MultiThreadIoEventLoopGroup group = new MultiThreadIoEventLoopGroup(1,
            (ThreadFactory) task -> new FastThreadLocalThread(task, "core"), NioIoHandler.newFactory());
    private final EventLoop loop = group.next();
    private final Lamps lamps;
    private final PanelInbox inbox;
    private final List<Consumer<Event>> taps = new CopyOnWriteArrayList<>();

    // The core thread's own.
    private final Core core;
    private final Map<String, Link> links = new LinkedHashMap<>();
    private final Map<Long, Future<?>> timers = new HashMap<>();
    private final ArrayDeque<Input> inputs = new ArrayDeque<>();
    private boolean draining;
    private final CompletableFuture<Void> atRest = new CompletableFuture<>();
    private boolean ending;
    private boolean closed;
    private long now = System.nanoTime();

    /**
     * Makes a show that has not started.
     *
     * @param site  a site that was checked; its devices are connected to where it says
     * @param panel opened by {@link #start}, closed by {@link #close}
     * @param debug told the whole of each unexpected error, on the core thread; must return at once
     */
    public Show(Site site, Panel panel, Consumer<Throwable> debug) {
        this.site = site;
        this.panel = panel;
        this.debug = debug;
        this.core = new Core(site);
        this.lamps = new Lamps(panel, site.panel().lamps().keySet(), text -> recordLater("error", text));
        this.inbox = new PanelInbox(loop, this::feed, text -> record("panel", text));
    }

    /** Adds a listener that gets each event on the core thread, in order; it must return at once. */
    public void tap(Consumer<Event> listener) {
        taps.add(listener);
    }

    /**
     * Begins: the core first, then the links, then the panel, whose contacts may be closed already. Returns once all of them
     * were told to start, not once the devices are connected.
     *
     * @param drivers finds a driver by the name that the site's kinds use
     * @throws RuntimeException if the panel cannot be opened; the show must then be closed
     */
    public void start(Function<String, Driver> drivers) {
        lamps.start();
        ask(ignored -> {
            feed(new Input.Started(System.nanoTime()));
            site.devices().values().forEach(device -> open(device, drivers));
            return null;
        }).join();
        panel.open(inbox);
    }

    private void open(Device device, Function<String, Driver> drivers) {
        try {
            Driver driver = drivers.apply(device.kind().driver());
            links.put(device.name(), driver.open(device, site.limits(), new Host(device.name())));
        } catch (RuntimeException e) {
            failed("The link to \"" + device.name() + "\" could not be opened", e);
        }
    }

    /** Runs a macro by name, as an operator asks for it. */
    public void run(String macro) {
        post(() -> feed(new Input.Asked(System.nanoTime(), macro)));
    }

    /** Presses, releases and turns from somewhere else than the panel: a script, a screen. */
    public PanelListener hand() {
        return inbox;
    }

    /** Asks the core something on its own thread. Fails with {@link RejectedExecutionException} once the show is closed. */
    public <T> CompletableFuture<T> ask(Function<Core, T> question) {
        CompletableFuture<T> answer = new CompletableFuture<>();
        Runnable asking = () -> {
            try {
                answer.complete(question.apply(core));
            } catch (RuntimeException e) {
                answer.completeExceptionally(e);
            }
        };
        try {
            if (loop.inEventLoop()) {
                asking.run();
            } else {
                loop.execute(asking);
            }
        } catch (RejectedExecutionException e) {
            answer.completeExceptionally(e);
        }
        return answer;
    }

    /** Has something looked at once the core has finished what it is doing; for taps, which hear of it in the middle. */
    public void afterwards(Consumer<Core> look) {
        post(() -> look.accept(core));
    }

    /** Puts a line of the shell's own into the event log. */
    public void recordLater(String what, String text) {
        post(() -> record(what, text));
    }

    private void post(Runnable task) {
        try {
            loop.execute(task);
        } catch (RejectedExecutionException e) {
            // The show is over; nobody is left to tell.
        }
    }

    // ---- on the core thread ----

    /**
     * Gives the core an input, then those that came up meanwhile. An effect may make a link call back at once; the core is not
     * to be entered again from inside, so such an input waits its turn here.
     */
    private void feed(Input input) {
        if (closed) {
            return;
        }
        inputs.add(input);
        if (!draining) {
            drain();
        }
    }

    private void drain() {
        draining = true;
        try {
            for (int left = INPUTS_PER_TURN; left > 0 && !inputs.isEmpty(); left--) {
                accept(inputs.poll());
            }
        } finally {
            draining = false;
        }
        if (!inputs.isEmpty()) {
            post(this::drain);
        }
    }

    private void accept(Input input) {
        if (input instanceof Input.Due due && timers.remove(due.timer()) == null) {
            return; // stopped while it was waiting its turn
        }
        try {
            now = input.at() - now > 0 ? input.at() : now;
            core.accept(Inputs.notBefore(now, input), this::carryOut);
            if (ending && core.atRest()) {
                atRest.complete(null);
            }
        } catch (RuntimeException | StackOverflowError | AssertionError e) {
            failed("The core could not handle " + Inputs.name(input), e);
        }
    }

    private void carryOut(Effect effect) {
        switch (effect) {
            case Effect.Send send -> send(send.device(), send.request());
            case Effect.ShowLamp lamp -> lamps.show(lamp.lamp(), lamp.look());
            case Effect.StartTimer timer -> startTimer(timer.timer(), timer.dueAt());
            case Effect.StopTimer timer -> stopTimer(timer.timer());
            case Effect.Record line -> record(line.event());
        }
    }

    private void send(String device, Request request) {
        Link link = links.get(device);
        String why = "its link could not be opened";
        if (link != null) {
            try {
                link.send(request);
                return;
            } catch (RuntimeException e) {
                failed("The link to \"" + device + "\" could not send", e);
                why = ErrorWords.of(e);
            }
        }
        inputs.add(new Input.Finished(System.nanoTime(), device, request.id(), new Outcome.Failed(why)));
    }

    private void startTimer(long timer, long dueAt) {
        stopTimer(timer);
        // One that is due already goes through the loop too, behind what waits there: after a stall, a finger that came up in
        // time must be seen before the end of its hold.
        long delay = Math.max(0, dueAt - System.nanoTime());
        timers.put(timer, loop.schedule(() -> feed(new Input.Due(System.nanoTime(), timer)), delay,
                TimeUnit.NANOSECONDS));
    }

    private void stopTimer(long timer) {
        Future<?> stopped = timers.remove(timer);
        if (stopped != null) {
            stopped.cancel(false);
        }
    }

    private void record(String what, String text) {
        record(new Event(System.nanoTime(), what, "", Map.of("text", text)));
    }

    private void record(Event event) {
        for (Consumer<Event> tap : taps) {
            try {
                tap.accept(event);
            } catch (RuntimeException e) {
                debug.accept(e);
            }
        }
    }

    private void failed(String what, Throwable error) {
        debug.accept(error);
        record("error", what + " (" + ErrorWords.of(error) + "). The show goes on.");
    }

    /** What a link tells, as inputs with the time at which it was told. */
    private final class Host implements LinkHost {
        private final String device;

        Host(String device) {
            this.device = device;
        }

        @Override
        public EventLoop loop() {
            return loop;
        }

        @Override
        public void link(LinkState state, String why) {
            tell(new Input.LinkChanged(System.nanoTime(), device, state, why));
        }

        @Override
        public void reported(Map<String, Value> values, long request) {
            tell(new Input.Reported(System.nanoTime(), device, values, request));
        }

        @Override
        public void outcome(long request, Outcome outcome) {
            tell(new Input.Finished(System.nanoTime(), device, request, outcome));
        }

        @Override
        public void packet(boolean sent, String shown, long request) {
            tell(new Input.Packet(System.nanoTime(), device, sent, shown, request));
        }

        @Override
        public void noted(String text) {
            tell(new Input.Noted(System.nanoTime(), device, text));
        }

        /** A driver from elsewhere may forget which thread to call on; that must not break the core. */
        private void tell(Input input) {
            if (loop.inEventLoop()) {
                feed(input);
            } else {
                post(() -> feed(input));
            }
        }
    }

    /** Has every axis stopped, and waits a bounded time for that to have left. Nothing else is sent from here on. */
    private void bringToRest(String why) {
        ask(ignored -> {
            ending = true;
            feed(new Input.Ending(System.nanoTime(), why));
            return null;
        }).exceptionally(atRest::completeExceptionally);
        try {
            atRest.get(STANDSTILL_WAIT_MS, TimeUnit.MILLISECONDS);
        } catch (TimeoutException e) {
            ask(asked -> {
                if (!asked.notStopped().isEmpty()) {
                    record("error", "It was not confirmed in time that these stand: " + String.join(", ",
                            asked.notStopped()) + ". CAUTION: they may still be moving. Keep clear and use their own "
                            + "emergency stop, or cut their power.");
                }
                return null;
            }).exceptionally(alreadyClosed -> null).join();
        } catch (ExecutionException e) {
            // Closed already: nothing moves by it.
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }

    /**
     * Stops whatever an axis moves, then closes the panel (lamps dark), then every link, then the loop. May be called more than
     * once. Not on the core thread.
     */
    @Override
    public void close() {
        bringToRest("the show is closed");
        lamps.close();
        panel.close();
        ask(ignored -> {
            closed = true;
            links.forEach((device, link) -> {
                try {
                    link.close();
                } catch (RuntimeException e) {
                    failed("The link to \"" + device + "\" could not be closed", e);
                }
            });
            links.clear();
            timers.values().forEach(timer -> timer.cancel(false));
            timers.clear();
            inputs.clear();
            return null;
        }).exceptionally(alreadyClosed -> null).join();
        // Without a quiet period: ending while a thread still sits in the selector costs 300 ms.
        group.shutdownGracefully(0, CLOSE_WAIT_MS, TimeUnit.MILLISECONDS)
                .awaitUninterruptibly(CLOSE_WAIT_MS, TimeUnit.MILLISECONDS);
    }
}
