package bellpush.runtime.screen;

import bellpush.config.model.Button;
import bellpush.config.model.LinkState;
import bellpush.config.model.Look;
import bellpush.config.model.Site;
import bellpush.runtime.panel.AnalogueHand;
import bellpush.runtime.panel.Panel;
import bellpush.runtime.panel.PanelListener;
import bellpush.runtime.screen.Scene.Touch;
import java.io.IOException;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Consumer;
import java.util.stream.Collectors;
import java.util.stream.LongStream;

/**
 * The panel drawn in a terminal: its buttons, knobs, faders, sticks and lamps, the gear and the end of the log.
 *
 * <p>
 * Threads: {@code screen} draws, at most 20 times a second and only what changed; {@code keys} reads and calls the listener and
 * {@code onLeave}. Every other method may be called from any thread; none waits for the terminal but {@link #open} and
 * {@link #close}. The terminal is given back on {@code close}, when the user leaves, when drawing fails, and by a shutdown hook.
 */
public final class DrawnPanel implements Panel {
    private static final long FRAME_MS = 50;
    /** A terminal that does not tell its new size is asked this often. */
    private static final long SIZE_CHECK_MS = 1_000;
    /** A lone escape byte was the Escape key if nothing follows for this long. */
    private static final long ESCAPE_MS = 60;
    private static final long IDLE_READ_MS = 500;
    private static final long JOIN_MS = 2_000;

    private final Site site;
    private final Screen screen;
    private final Runnable onLeave;
    private final Board board;
    private final KeyPlan keys;
    private final PanelPainter painter;
    private final Thread drawing = Thread.ofPlatform().name("screen").daemon().unstarted(this::draw);
    private final Thread reading = Thread.ofPlatform().name("keys").daemon().unstarted(this::read);
    /** Switches that stand on. */
    private final Set<String> switchedOn = ConcurrentHashMap.newKeySet();
    private final Map<String, Double> ways = new ConcurrentHashMap<>();
    private volatile List<Area> areas = List.of();
    private volatile boolean redraw;
    private volatile boolean closing;
    private volatile PanelListener listener;
    private Optional<Practice> practice = Optional.empty();
    private boolean left;

    DrawnPanel(Site site, String mode, Screen screen, Runnable onLeave) {
        this.site = site;
        this.screen = screen;
        this.onLeave = onLeave;
        board = new Board(mode);
        keys = new KeyPlan(site.panel(), PanelLayout.rows(site.panel()).stream().flatMap(List::stream).toList());
        painter = new PanelPainter(site, keys, screen.unicode() ? Marks.UNICODE : Marks.ASCII);
    }

    /**
     * A panel in the terminal of this process; nothing is drawn before {@link #open}.
     *
     * @param mode    for the title line: what kind of gear the controls act on, such as "Rehearsal: simulated gear"
     * @param onLeave called once, on the thread {@code keys}, when the user leaves or the terminal goes away; the terminal has
     *                been given back by then. It may call {@link #close}
     * @param whyNot  told why there is no panel, one sentence for people, if the result is empty
     */
    public static Optional<DrawnPanel> onTerminal(Site site, String mode, Runnable onLeave, Consumer<String> whyNot) {
        return TerminalScreen.find(System::getenv, whyNot).map(screen -> new DrawnPanel(site, mode, screen, onLeave));
    }

    /** Lets the person make trouble for the gear. Only before {@link #open}, and only for simulated gear. */
    public void practise(Practice toAsk) {
        practice = Optional.of(toAsk);
        board.off(Set.of());
    }

    @Override
    public String describe() {
        return "a panel drawn in this terminal (" + screen.describe() + ")";
    }

    @Override
    public void open(PanelListener toTell) {
        listener = toTell;
        for (String control : site.panel().switches().keySet()) {
            switched(control, Optional.of(false));
            listener.found(System.nanoTime(), control, false);
        }
        screen.enter(this::drawAnew);
        drawing.start();
        reading.start();
    }

    @Override
    public void light(String lamp, double level, Optional<String> colour) {
        board.light(lamp, level, colour);
    }

    @Override
    public void meaning(String lamp, Look look) {
        board.meaning(lamp, look);
    }

    /** Says why a lamp shows what it shows; seen when it is selected. */
    public void why(String lamp, String text) {
        board.why(lamp, text);
    }

    /** Shows the last known value of what a knob turns. */
    public void knobValue(String knob, String text) {
        board.value(knob, text);
    }

    /**
     * Shows the last known value of what a fader moves.
     *
     * @param way where that is on the fader's way, 0 to 1
     */
    public void faderValue(String fader, String text, double way) {
        ways.put(fader, way);
        board.way(fader, way);
        board.value(fader, text);
    }

    /** Shows the last known speed of what a joystick's axis drives. */
    public void axisValue(String axis, String text) {
        board.value(axis, text);
    }

    /** @param why why it is not up, or empty text */
    public void link(String device, LinkState state, String why) {
        board.link(device, state, why);
    }

    /** @param labels of the macros that run now; replaces what was said before */
    public void running(List<String> labels) {
        board.running(labels);
    }

    /** Adds a line to the log on the screen. Old lines are dropped. */
    public void line(String text) {
        board.line(text);
    }

    @Override
    public void close() {
        closing = true;
        board.change();
        join(drawing);
        join(reading);
        screen.close();
    }

    private static void join(Thread thread) {
        if (thread == Thread.currentThread()) {
            return;
        }
        try {
            thread.join(JOIN_MS);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }

    /** Everything a finger can press, push switches of knobs as well. */
    private Map<String, Button> buttons() {
        Map<String, Button> all = new LinkedHashMap<>(site.panel().buttons());
        site.panel().knobs().values().forEach(
                knob -> knob.push().ifPresent(push -> all.put(push.button().name(), push.button())));
        return all;
    }

    /** Shows where a switch stands, whoever put it there; empty if that cannot be told. */
    public void switched(String control, Optional<Boolean> on) {
        if (on.orElse(false)) {
            switchedOn.add(control);
        } else {
            switchedOn.remove(control);
        }
        board.value(control, on.map(is -> is ? "ON" : "OFF").orElse("?"));
    }

    private void drawAnew() {
        redraw = true;
        board.change();
    }

    private void draw() {
        try {
            FrameWriter frames = new FrameWriter(screen.colours());
            int width = -1;
            int height = -1;
            while (!closing) {
                if (redraw || screen.width() != width || screen.height() != height) {
                    redraw = false;
                    width = screen.width();
                    height = screen.height();
                    frames.forget();
                }
                PanelLayout layout = PanelLayout.of(site.panel(), site.devices().size(), width, height);
                areas = layout.areas();
                String frame = frames.frame(painter.paint(board.scene(), layout, width, height));
                if (!frame.isEmpty()) {
                    screen.send(frame);
                }
                Thread.sleep(FRAME_MS);
                board.awaitChange(SIZE_CHECK_MS);
            }
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        } catch (RuntimeException e) {
            broken("drawing the panel failed: " + e);
        }
    }

    private void read() {
        Fingers fingers = new Fingers(buttons(),
                (at, button, closed) -> listener.contact(at, button, closed));
        Sticks sticks = new Sticks(new AnalogueHand(site.panel(), listener));
        List<String> gear = practice.isPresent() ? List.copyOf(site.devices().keySet()) : List.of();
        Hands hands = new Hands(keys, fingers, () -> areas, gear, new Hands.Wishes() {
            @Override
            public void turned(long at, String control, int detents) {
                switch (PanelLayout.role(site.panel(), control)) {
                    case FADER -> sticks.step(at, control, detents, ways.getOrDefault(control, 0.0));
                    case AXIS -> sticks.nudge(at, control, detents);
                    case BUTTON, KNOB, LAMP -> listener.turned(at, control, detents);
                }
            }

            @Override
            public void letGo(long at) {
                sticks.letGoOfAll(at);
            }

            @Override
            public void toggled(long at, String control) {
                boolean on = !switchedOn.contains(control);
                switched(control, Optional.of(on));
                listener.contact(at, control, on);
            }

            @Override
            public void leave() {
                DrawnPanel.this.leave();
            }

            @Override
            public void redraw() {
                drawAnew();
            }

            @Override
            public void trouble(String device, boolean touchOnly) {
                practice.ifPresent(it -> {
                    if (touchOnly) {
                        it.touch(device);
                    } else {
                        it.power(device);
                    }
                    board.off(gear.stream().filter(it::isOff).collect(Collectors.toSet()));
                });
            }
        });
        KeyDecoder decoder = new KeyDecoder(keystroke -> hands.accept(System.nanoTime(), keystroke));
        try {
            while (!closing) {
                int octet = screen.read(patience(fingers, sticks, decoder));
                if (octet == Screen.END) {
                    break;
                } else if (octet == Screen.NOTHING_YET) {
                    decoder.pause();
                } else {
                    decoder.accept(octet);
                }
                fingers.tick(System.nanoTime());
                sticks.tick(System.nanoTime());
                Map<String, Touch> touched = new HashMap<>(fingers.touched());
                sticks.pushed().forEach(axis -> touched.put(axis, Touch.DOWN));
                board.hands(Map.copyOf(touched), hands.selected(), hands.dialogue());
            }
        } catch (IOException e) {
            // The terminal is gone, which is told by leaving.
        } catch (RuntimeException e) {
            broken("reading the keys failed: " + e);
        } finally {
            fingers.letGoOfAll(System.nanoTime());
            sticks.letGoOfAll(System.nanoTime());
        }
        if (!closing) {
            leave();
        }
    }

    /** How long to wait for a byte: until a finger is due to come up, or an escape byte to be taken for the key. */
    private static long patience(Fingers fingers, Sticks sticks, KeyDecoder decoder) {
        long most = decoder.unfinished() ? ESCAPE_MS : IDLE_READ_MS;
        long now = System.nanoTime();
        return LongStream.concat(fingers.due().stream(), sticks.due().stream()).map(due -> (due - now) / 1_000_000 + 1)
                .map(ms -> Math.clamp(ms, 1, most)).min().orElse(most);
    }

    /** Gives the terminal back at once, so that a second Ctrl-C ends the process even if leaving takes long. */
    private void leave() {
        synchronized (this) {
            if (left) {
                return;
            }
            left = true;
        }
        screen.restore();
        onLeave.run();
    }

    private void broken(String what) {
        screen.restore();
        listener.noted(what);
    }
}
