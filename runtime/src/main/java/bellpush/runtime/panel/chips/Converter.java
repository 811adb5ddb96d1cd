package bellpush.runtime.panel.chips;

import bellpush.runtime.panel.bus.BusException;
import java.util.OptionalDouble;

/** A chip that measures voltages, one input at a time. */
public interface Converter {
    /** Starts measuring an input. @return how long that takes, in nanoseconds; 0: it happens in {@link #share} */
    long start(int input) throws BusException;

    /** What was measured, as a share of full scale, 0 to 1; empty: not ready yet. */
    OptionalDouble share(int input) throws BusException;

    void close();
}
