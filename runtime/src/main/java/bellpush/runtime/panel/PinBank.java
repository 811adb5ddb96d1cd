package bellpush.runtime.panel;

import java.util.List;
import java.util.Map;

/** Pins of one chip, read and written together: the header's (by the kernel's lines, or Pi4J), an expander's, a matrix's. */
public interface PinBank extends AutoCloseable {
    String describe();

    /**
     * Opens the pins; tells what was found before it returns, then edges, from the bank's own thread. Outputs start inactive.
     *
     * @throws PanelException if the pins cannot be had
     */
    void open(List<In> inputs, List<Out> outputs, PinListener listener);

    /** Sets outputs, all of them in one go where the chip can. true = active. */
    void write(Map<Integer, Boolean> levels);

    /** The inputs' levels now; true = active. */
    Map<Integer, Boolean> read();

    /** Outputs inactive, pins given back. */
    @Override
    void close();

    enum Pull {
        UP, DOWN, NONE
    }

    record In(int pin, Pull pull, boolean activeLow) {}

    record Out(int pin, boolean activeLow) {}
}
