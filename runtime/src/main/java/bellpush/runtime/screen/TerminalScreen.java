package bellpush.runtime.screen;

import java.io.FileDescriptor;
import java.io.FileOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.ReentrantLock;
import java.util.function.Consumer;
import java.util.function.UnaryOperator;
import org.jline.terminal.Attributes;
import org.jline.terminal.Attributes.LocalFlag;
import org.jline.terminal.Size;
import org.jline.terminal.Terminal;
import org.jline.terminal.Terminal.Signal;
import org.jline.terminal.TerminalBuilder;
import org.jline.utils.InfoCmp.Capability;
import org.jline.utils.NonBlockingInputStream;

/**
 * The terminal that this process was started in. Sequences: ECMA-48, and for the private modes the xterm documentation "XTerm
 * Control Sequences": 1049 other screen, 25 cursor, 7 wrap at the edge, 1000 and 1006 mouse, 2004 marks around pasted text.
 */
final class TerminalScreen implements Screen {
    private static final String ENTER = "\u001b[?1049h\u001b[?25l\u001b[?7l\u001b[?1000h\u001b[?1006h\u001b[?2004h"
            + "\u001b[0m\u001b[2J";
    private static final String LEAVE = "\u001b[0m\u001b[?2004l\u001b[?1006l\u001b[?1000l\u001b[?7h\u001b[?25h"
            + "\u001b[?1049l";

    private static final long LOCK_MS = 1_000;

    private final Terminal terminal;
    private final Attributes found;
    private final boolean colours;
    private final boolean unicode;
    /** The library closes its own writer in a shutdown hook that runs beside ours; this stays open. */
    private final OutputStream out = new FileOutputStream(FileDescriptor.out);
    /** Guards every write and what follows. */
    private final ReentrantLock lock = new ReentrantLock();
    private final Thread hook = Thread.ofPlatform().name("screen-restore").unstarted(this::restore);
    private boolean entered;
    private boolean closed;
    private volatile Size size = Size.of(0, 0);

    private TerminalScreen(Terminal terminal, UnaryOperator<String> environment) {
        this.terminal = terminal;
        found = terminal.getAttributes();
        String noColour = environment.apply("NO_COLOR");
        Integer most = terminal.getNumericCapability(Capability.max_colors);
        // NO_COLOR: an informal convention among terminal programs; empty counts as unset.
        colours = most != null && most >= 8 && (noColour == null || noColour.isEmpty());
        // The Linux console's fonts lack most of the shapes.
        unicode = StandardCharsets.UTF_8.equals(terminal.outputEncoding()) && !terminal.getType().startsWith("linux");
    }

    /** Empty, and {@code whyNot} told, if there is no terminal to draw in. */
    static Optional<Screen> find(UnaryOperator<String> environment, Consumer<String> whyNot) {
        if (System.console() == null || !System.console().isTerminal()) {
            whyNot.accept(
                    "input or output is not a terminal (it is a file, a pipe or a service), and a panel can only be "
                            + "drawn in a terminal window");
            return Optional.empty();
        }
        try {
            Terminal terminal = TerminalBuilder.builder().system(true)
                    .systemOutput(TerminalBuilder.SystemOutput.SysOut).dumb(true).nativeSignals(true)
                    .graphemeCluster(false).build();
            if (terminal.getType().startsWith(Terminal.TYPE_DUMB)
                    || terminal.getStringCapability(Capability.cursor_address) == null) {
                whyNot.accept("the terminal of type '" + PlainText.of(terminal.getType())
                        + "' cannot place its cursor; set TERM to what the window really is, such as xterm-256color");
                terminal.close();
                return Optional.empty();
            }
            return Optional.of(new TerminalScreen(terminal, environment));
        } catch (IOException | IllegalStateException | LinkageError e) {
            whyNot.accept("the terminal cannot be opened: " + e.getMessage());
            return Optional.empty();
        }
    }

    @Override
    public String describe() {
        return PlainText.of(terminal.getType()) + ", " + width() + " columns and " + height() + " lines";
    }

    @Override
    public int width() {
        return size().getColumns();
    }

    @Override
    public int height() {
        return size().getRows();
    }

    private Size size() {
        try {
            Size told = terminal.getSize();
            // A serial line knows no size.
            size = told.getColumns() > 0 && told.getRows() > 0 ? told : Size.of(80, 24);
        } catch (IllegalStateException closedMeanwhile) {
            // The process is ending; the last size will do.
        }
        return size;
    }

    @Override
    public boolean unicode() {
        return unicode;
    }

    @Override
    public boolean colours() {
        return colours;
    }

    @Override
    public void enter(Runnable onChange) {
        lock.lock();
        try {
            if (closed || entered) {
                return;
            }
            Runtime.getRuntime().addShutdownHook(hook);
            takeOver();
        } catch (IllegalStateException endingAlready) {
            return; // told to stop meanwhile: the terminal stays as it is
        } finally {
            lock.unlock();
        }
        terminal.handle(Signal.WINCH, signal -> onChange.run());
        // Stopped and continued from outside, the shell has changed the terminal meanwhile.
        terminal.handle(Signal.CONT, signal -> {
            takeOverAgain();
            onChange.run();
        });
    }

    private void takeOverAgain() {
        lock.lock();
        try {
            if (entered) {
                takeOver();
            }
        } finally {
            lock.unlock();
        }
    }

    private void takeOver() {
        entered = true;
        terminal.enterRawMode();
        Attributes raw = terminal.getAttributes();
        // Ctrl-C comes as a byte and leaves in good order; Ctrl-Z and Ctrl-\ would leave a broken screen behind.
        raw.setLocalFlag(LocalFlag.ISIG, false);
        terminal.setAttributes(raw);
        write(ENTER);
    }

    @Override
    public void send(String text) {
        lock.lock();
        try {
            if (entered) {
                write(text);
            }
        } finally {
            lock.unlock();
        }
    }

    private void write(String text) {
        try {
            out.write(text.getBytes(terminal.outputEncoding()));
        } catch (IOException e) {
            // The window is gone; reading finds its end and tells.
        }
    }

    @Override
    public int read(long timeoutMs) throws IOException {
        int octet = ((NonBlockingInputStream) terminal.input()).read(Math.max(1, timeoutMs));
        return octet >= 0 ? octet : octet == NonBlockingInputStream.READ_EXPIRED ? NOTHING_YET : END;
    }

    @Override
    public void restore() {
        if (!lockSoon()) {
            // A terminal that has stopped reading must not keep the process from ending.
            putAttributesBack();
            return;
        }
        try {
            if (entered) {
                entered = false;
                write(LEAVE);
                putAttributesBack();
            }
        } finally {
            lock.unlock();
        }
    }

    private boolean lockSoon() {
        try {
            return lock.tryLock(LOCK_MS, TimeUnit.MILLISECONDS);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            return false;
        }
    }

    private void putAttributesBack() {
        try {
            terminal.setAttributes(found);
        } catch (IllegalStateException alreadyClosed) {
            // Closing it has put them back.
        }
    }

    @Override
    public void close() {
        restore();
        if (!lockSoon()) {
            return;
        }
        try {
            if (closed) {
                return;
            }
            closed = true;
        } finally {
            lock.unlock();
        }
        try {
            Runtime.getRuntime().removeShutdownHook(hook);
        } catch (IllegalStateException alreadyEnding) {
            // The hook is running or has run; it finds nothing to do.
        }
        try {
            terminal.close();
        } catch (IOException e) {
            // The window is gone; there is nothing to give back.
        }
    }
}
