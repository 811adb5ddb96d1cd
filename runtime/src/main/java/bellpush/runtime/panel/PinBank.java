package bellpush.runtime.panel;

import java.util.List;
import java.util.Map;

/**
 * Pins of one chip, read and written together: the header's (by the kernel's lines, or Pi4J), an expander's, a matrix's.
 * Opened once. {@link #write} and {@link #read} may be called from any thread between {@link #open} and {@link #close}.
 */
public interface PinBank extends AutoCloseable {
    /** What this bank is and how it is read, one phrase for people that can follow "on". */
    String describe();

    /**
     * Opens the pins, outputs first, so that no lamp glows while the inputs open. Tells how every input was found before it
     * returns, then edges, from the bank's own thread. Outputs start inactive.
     *
     * @throws PanelException if the pins may not be used, in words with the cure; close the bank all the same
     */
    void open(List<In> inputs, List<Out> outputs, PinListener listener);

    /**
     * Sets outputs, all of them in one go where the chip can. Pins that are not open as outputs are passed over. While the
     * chip is lost, levels are kept and written when it is back.
     *
     * @param levels by pin; true = active
     */
    void write(Map<Integer, Boolean> levels);

    /** The inputs' levels now, by pin; true = active. Empty while the chip is lost. */
    Map<Integer, Boolean> read();

    /** Sets outputs inactive and gives the pins back. May be called more than once. */
    @Override
    void close();

    /** What draws an input that nothing else draws. */
    enum Pull {
        UP, DOWN, NONE
    }

    /** @param activeLow whether a low level is active */
    record In(int pin, Pull pull, boolean activeLow) {}

    /** @param activeLow whether a low level is active */
    record Out(int pin, boolean activeLow) {}
}
