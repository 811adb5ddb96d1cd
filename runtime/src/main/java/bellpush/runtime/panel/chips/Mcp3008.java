package bellpush.runtime.panel.chips;

import bellpush.runtime.panel.bus.BusException;
import bellpush.runtime.panel.bus.SpiDevice;
import java.util.OptionalDouble;

/**
 * Eight inputs of ten bits, measured against the chip's own reference pin. Source: Microchip DS21295D (2008), §5.0 and Figure 5-1;
 * three bytes, so that the value ends with the last bit.
 */
public record Mcp3008(String name, SpiDevice device) implements Converter {
    /** 18 clocks a sample, 75 000 samples a second at 2.7 V: 1.35 MHz; at 3.3 V there is some room above. */
    public static final int HERTZ = 1_350_000;
    private static final int CODE_MAX = 1023;
    private static final int NULL_BIT = 4;

    @Override
    public long start(int input) {
        return 0;
    }

    @Override
    public OptionalDouble share(int input) throws BusException {
        byte[] answer = device.transfer((byte) 1, (byte) (8 + input << 4), (byte) 0);
        if ((answer[1] & NULL_BIT) != 0) {
            // The chip always sends a 0 before the value; a line that nobody drives mostly does not.
            throw new BusException("No answer from the converter " + name
                    + ": check its supply and its wires, and its select line. Switch the board off before you touch a wire.");
        }
        int code = (answer[1] & 3) << 8 | answer[2] & 0xff;
        return OptionalDouble.of((double) code / CODE_MAX);
    }

    @Override
    public void close() {
        device.close();
    }
}
