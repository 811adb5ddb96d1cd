package bellpush.runtime.panel;

import com.pi4j.Pi4J;
import com.pi4j.boardinfo.definition.BoardModel;
import com.pi4j.boardinfo.util.BoardInfoHelper;
import com.pi4j.context.Context;
import com.pi4j.io.gpio.digital.DigitalInput;
import com.pi4j.io.gpio.digital.DigitalOutput;
import com.pi4j.io.gpio.digital.DigitalState;
import com.pi4j.io.gpio.digital.PullResistance;
import com.pi4j.plugin.gpiod.provider.gpio.digital.GpioDDigitalInputProvider;
import com.pi4j.plugin.gpiod.provider.gpio.digital.GpioDDigitalOutputProvider;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * The pins of a board, through Pi4J. Debounce is ours: Pi4J's would make every press late and lose short taps. Pi4J reads each
 * input on a thread of its own and calls us there; we pass the edge on with the time and return, since a slow listener makes
 * the kernel drop edges. Pi4J does not tell when its chip goes away, so this bank is never lost.
 */
public final class Pi4JBank implements PinBank {
    private final Context pi4j;
    private final String board;
    private final Map<Integer, Input> inputs = new LinkedHashMap<>();
    private final Map<Integer, Output> outputs = new LinkedHashMap<>();

    private record Input(DigitalInput pin, DigitalState active) {
        boolean isActive() {
            return pin.state() == active;
        }
    }

    private record Output(DigitalOutput pin, boolean activeLow) {
        void set(boolean active) {
            pin.state(active == activeLow ? DigitalState.LOW : DigitalState.HIGH);
        }
    }

    /** The name of the board this program runs on, if Pi4J recognises it. Takes some tens of milliseconds. */
    public static Optional<String> recognise() {
        BoardModel model = BoardInfoHelper.current().getBoardModel();
        return model == BoardModel.UNKNOWN ? Optional.empty() : Optional.of(model.getLabel());
    }

    /**
     * This board's own pins. Only one may be open in one program.
     *
     * @throws PanelException if this is no board that Pi4J knows, or its pins may not be used
     */
    public static Pi4JBank ofThisBoard() {
        String board = recognise().orElseThrow(() -> new PanelException(
                "This computer is no board whose pins can be used. Try --panel screen, or run this on the board.",
                null));
        try {
            return new Pi4JBank(Pi4J.newContextBuilder().noAutoDetect().disableShutdownHook()
                    .add(GpioDDigitalInputProvider.newInstance(), GpioDDigitalOutputProvider.newInstance()).build(),
                    board);
        } catch (RuntimeException | LinkageError e) {
            throw unusable(board, e);
        }
    }

    /**
     * @param context closed with this bank; must offer digital inputs and outputs
     * @param board   its name for people
     */
    Pi4JBank(Context context, String board) {
        this.pi4j = context;
        this.board = board;
    }

    @Override
    public String describe() {
        return "the pins of this " + board + ", through Pi4J";
    }

    @Override
    public void open(List<In> ins, List<Out> outs, PinListener listener) {
        try {
            outs.forEach(this::openOutput);
            ins.forEach(in -> openInput(in, listener));
        } catch (RuntimeException | LinkageError e) {
            throw unusable(board, e);
        }
    }

    private void openOutput(Out out) {
        DigitalState inactive = out.activeLow() ? DigitalState.HIGH : DigitalState.LOW;
        DigitalOutput pin = pi4j.create(DigitalOutput.newConfigBuilder(pi4j).id("out-" + out.pin())
                .address(out.pin()).initial(inactive).shutdown(inactive).build());
        Output output = new Output(pin, out.activeLow());
        output.set(false); // not every provider sets the initial state by itself
        outputs.put(out.pin(), output);
    }

    private void openInput(In in, PinListener listener) {
        DigitalState active = in.activeLow() ? DigitalState.LOW : DigitalState.HIGH;
        DigitalInput pin = pi4j.create(DigitalInput.newConfigBuilder(pi4j).id("in-" + in.pin())
                .address(in.pin()).pull(pull(in.pull())).debounce(0L).build());
        Input input = new Input(pin, active);
        inputs.put(in.pin(), input);
        Teller teller = new Teller(in.pin(), input, listener);
        pin.addListener(edge -> teller.edge(edge.state() == active));
        teller.opened(); // a contact that is closed already gives no edge
    }

    /**
     * Tells what an input is. Pi4J gives an edge without the kernel's time and, on a busy board, milliseconds after it; the kernel
     * keeps 16 edges of a line for it and drops the newest. So an edge is taken as a sign to look: a bounce that is told when the
     * contact has long been steady is none, and the last level is never missed.
     */
    private static final class Teller {
        private final int pin;
        private final Input input;
        private final PinListener listener;
        private boolean found;
        private boolean told;

        Teller(int pin, Input input, PinListener listener) {
            this.pin = pin;
            this.input = input;
            this.listener = listener;
        }

        synchronized void opened() {
            if (!found) {
                found(input.isActive());
            }
        }

        private void found(boolean active) {
            found = true;
            told = active;
            listener.found(System.nanoTime(), pin, active);
        }

        synchronized void edge(boolean active) {
            long at = System.nanoTime();
            boolean now = input.isActive();
            if (!found) {
                found(!active); // the edge came while it was being opened
            }
            if (now != told) {
                told = now;
                listener.edge(at, pin, now);
            }
        }
    }

    private static PullResistance pull(Pull pull) {
        return switch (pull) {
            case UP -> PullResistance.PULL_UP;
            case DOWN -> PullResistance.PULL_DOWN;
            case NONE -> PullResistance.OFF;
        };
    }

    @Override
    public void write(Map<Integer, Boolean> levels) {
        levels.forEach((pin, active) -> {
            Output output = outputs.get(pin);
            if (output != null) {
                output.set(active);
            }
        });
    }

    @Override
    public Map<Integer, Boolean> read() {
        Map<Integer, Boolean> levels = new LinkedHashMap<>();
        inputs.forEach((pin, input) -> levels.put(pin, input.isActive()));
        return levels;
    }

    @Override
    public void close() {
        for (Output output : outputs.values()) {
            try {
                output.set(false);
            } catch (RuntimeException e) {
                // Its chip may be gone; the other lamps are to go dark all the same, and the pins are to be given back.
            }
        }
        outputs.clear();
        inputs.clear();
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
