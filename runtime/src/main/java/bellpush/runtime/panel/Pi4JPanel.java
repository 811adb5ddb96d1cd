package bellpush.runtime.panel;

import com.pi4j.Pi4J;
import com.pi4j.boardinfo.definition.BoardModel;
import com.pi4j.boardinfo.util.BoardInfoHelper;
import com.pi4j.context.Context;
import com.pi4j.io.gpio.digital.DigitalInput;
import com.pi4j.io.gpio.digital.DigitalOutput;
import com.pi4j.io.gpio.digital.DigitalState;
import com.pi4j.io.gpio.digital.DigitalStateChangeListener;
import com.pi4j.io.gpio.digital.PullResistance;
import com.pi4j.plugin.gpiod.provider.gpio.digital.GpioDDigitalInputProvider;
import com.pi4j.plugin.gpiod.provider.gpio.digital.GpioDDigitalOutputProvider;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicBoolean;

/**
 * The panel on the pins of a board, through Pi4J. Debounce is ours: Pi4J's would make every press late and lose short taps.
 * Pi4J reads each input on a thread of its own and calls us there; we pass the edge on with the time and return, since a slow
 * listener makes the kernel drop edges.
 */
public final class Pi4JPanel implements Panel {
    private static final double LIT = 0.5;

    private final Wiring wiring;
    private final Context pi4j;
    private final String board;
    private final Map<String, Output> outputs = new LinkedHashMap<>();

    private record Output(DigitalOutput pin, boolean activeHigh) {
        void light(boolean lit) {
            pin.state(lit == activeHigh ? DigitalState.HIGH : DigitalState.LOW);
        }
    }

    /** The name of the board this program runs on, if Pi4J recognises it. Takes some tens of milliseconds. */
    public static Optional<String> recognise() {
        BoardModel model = BoardInfoHelper.current().getBoardModel();
        return model == BoardModel.UNKNOWN ? Optional.empty() : Optional.of(model.getLabel());
    }

    /**
     * The panel on this board's own pins. Only one may be open in one program.
     *
     * @throws PanelException if this is no board that Pi4J knows, or its pins may not be used
     */
    public static Pi4JPanel onThisBoard(bellpush.config.model.Panel layout) {
        String board = recognise().orElseThrow(() -> new PanelException(
                "This computer is no board whose pins can be used. Try --panel screen, or run this on the board.",
                null));
        try {
            Context context = Pi4J.newContextBuilder().noAutoDetect().disableShutdownHook()
                    .add(GpioDDigitalInputProvider.newInstance(), GpioDDigitalOutputProvider.newInstance()).build();
            return new Pi4JPanel(layout, context, board);
        } catch (RuntimeException | LinkageError e) {
            throw unusable(board, e);
        }
    }

    /**
     * @param context closed with this panel; must offer digital inputs and outputs
     * @param board   its name for people
     */
    Pi4JPanel(bellpush.config.model.Panel layout, Context context, String board) {
        this.wiring = Wiring.of(layout);
        this.pi4j = context;
        this.board = board;
    }

    @Override
    public String describe() {
        return "the pins of this " + board + ": " + wiring.contacts().size() + " contacts, " + wiring.lamps().size()
                + " lamps";
    }

    @Override
    public void open(PanelListener listener) {
        try {
            wiring.lamps().forEach(this::openLamp); // first, so that no lamp glows while the inputs open
            wiring.contacts().forEach(contact -> openContact(contact, listener));
        } catch (RuntimeException | LinkageError e) {
            throw unusable(board, e);
        }
    }

    private void openLamp(Wiring.Lamp lamp) {
        DigitalState dark = lamp.activeHigh() ? DigitalState.LOW : DigitalState.HIGH;
        DigitalOutput pin = pi4j.create(DigitalOutput.newConfigBuilder(pi4j).id("lamp-" + lamp.name())
                .name(lamp.name()).address(lamp.pin()).initial(dark).shutdown(dark).build());
        Output output = new Output(pin, lamp.activeHigh());
        output.light(false); // not every provider sets the initial state by itself
        outputs.put(lamp.name(), output);
    }

    private void openContact(Wiring.Contact contact, PanelListener listener) {
        DigitalState closed = contact.activeHigh() ? DigitalState.HIGH : DigitalState.LOW;
        PullResistance pull = contact.activeHigh() ? PullResistance.PULL_DOWN : PullResistance.PULL_UP;
        DigitalInput pin = pi4j.create(DigitalInput.newConfigBuilder(pi4j).id("contact-" + contact.name())
                .name(contact.name()).address(contact.pin()).pull(pull).debounce(0L).build());
        AtomicBoolean spoken = new AtomicBoolean();
        DigitalStateChangeListener onEdge = edge -> {
            long at = System.nanoTime(); // the kernel's own time does not come through
            synchronized (spoken) {
                spoken.set(true);
                listener.contact(at, contact.name(), edge.state() == closed);
            }
        };
        pin.addListener(onEdge);
        // A contact that is closed already gives no edge. One that has given one in between has said what is newer.
        synchronized (spoken) {
            if (!spoken.get() && pin.state() == closed) {
                listener.found(System.nanoTime(), contact.name(), true);
            }
        }
    }

    @Override
    public void light(String lamp, double level, Optional<String> colour) {
        Output output = outputs.get(lamp);
        if (output != null) {
            output.light(level >= LIT);
        }
    }

    @Override
    public void close() {
        for (Output output : outputs.values()) {
            try {
                output.light(false);
            } catch (RuntimeException e) {
                // Its chip may be gone; the other lamps are to go dark all the same, and the pins are to be given back.
            }
        }
        outputs.clear();
        pi4j.shutdown();
    }

    private static PanelException unusable(String board, Throwable cause) {
        return new PanelException("The pins of this " + board + " cannot be used (" + innermost(cause) + "). "
                + "Check three things: you may use the pins (sudo usermod -aG gpio $USER, then log in again), "
                + "no other program holds them, and programs may run from the folder for temporary files (/tmp).",
                cause);
    }

    private static String innermost(Throwable cause) {
        Throwable inner = cause;
        while (inner.getCause() != null && inner.getCause() != inner) {
            inner = inner.getCause();
        }
        return inner.getMessage() == null ? inner.getClass().getSimpleName() : inner.getMessage();
    }
}
