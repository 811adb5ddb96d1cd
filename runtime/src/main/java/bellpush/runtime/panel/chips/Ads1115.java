package bellpush.runtime.panel.chips;

import bellpush.runtime.panel.bus.BusException;
import bellpush.runtime.panel.bus.I2cDevice;
import java.util.OptionalDouble;

/**
 * Four inputs of sixteen bits against ground, each measurement asked for by itself ("single shot"). The supply of the fader is
 * full scale. Source: TI SBAS444E, configuration register.
 */
public final class Ads1115 implements Converter {
    private static final int CONVERSION = 0;
    private static final int CONFIG = 1;
    private static final int START = 0x8000;
    private static final int READY = 0x8000;
    private static final int INPUT_0_AGAINST_GROUND = 4;
    private static final int SINGLE_SHOT = 0x0100;
    private static final int COMPARATOR_OFF = 0x0003;
    private static final int CODE_MAX = 32767;
    /** Full scale in volts for PGA 000 to 101. */
    private static final double[] RANGES = {6.144, 4.096, 2.048, 1.024, 0.512, 0.256};
    /** Samples a second for DR 000 to 111. */
    private static final int[] RATES = {8, 16, 32, 64, 128, 250, 475, 860};
    /** The chip's clock may be 10 % slow (from memory), and it wakes up first: 25 µs (from memory). */
    private static final double SLOWEST = 1.1;
    private static final long WAKE_UP_NANOS = 25_000;
    /** For the transfers of one input, at 100 kHz: about 150 bits, and some for others on the bus. */
    private static final long TRANSFERS_NANOS = 2_000_000;
    private static final int NOT_READY_MAX = 20;

    private final String name;
    private final I2cDevice device;
    private final double volts;
    private final int range;
    private final int rate;
    private int notReady;
    private int config;

    /**
     * @param volts      what the fader gives at its upper end
     * @param inputs     how many inputs are used
     * @param everyNanos all of them are to be measured in this time, where the chip is fast enough
     */
    public Ads1115(String name, I2cDevice device, double volts, int inputs, long everyNanos) {
        this.name = name;
        this.device = device;
        this.volts = volts;
        int narrowest = 0;
        while (narrowest + 1 < RANGES.length && RANGES[narrowest + 1] >= volts) {
            narrowest++;
        }
        range = narrowest;
        int slowest = 0;
        while (slowest + 1 < RATES.length && inputs * (nanos(slowest) + TRANSFERS_NANOS) > everyNanos) {
            slowest++; // slower is less noisy: the chip averages
        }
        rate = slowest;
    }

    private static long nanos(int rate) {
        return Math.round(SLOWEST * 1e9 / RATES[rate]) + WAKE_UP_NANOS;
    }

    @Override
    public long start(int input) throws BusException {
        config = (INPUT_0_AGAINST_GROUND + input) << 12 | range << 9 | SINGLE_SHOT | rate << 5 | COMPARATOR_OFF;
        int word = START | config;
        device.write((byte) CONFIG, (byte) (word >> 8), (byte) word);
        notReady = 0;
        return nanos(rate);
    }

    @Override
    public OptionalDouble share(int input) throws BusException {
        int state = word(CONFIG);
        if ((state & ~READY & 0xffff) != config) {
            throw new BusException("The converter " + name
                    + " does not keep its settings: look after its supply and its wires, with the power off.");
        }
        if ((state & READY) == 0) {
            if (++notReady > NOT_READY_MAX) {
                throw new BusException("The converter " + name + " does not come to an end with a measurement.");
            }
            return OptionalDouble.empty();
        }
        int code = (short) word(CONVERSION); // two's complement: a grounded input may read a little below 0
        double measured = code * RANGES[range] / (CODE_MAX + 1);
        return OptionalDouble.of(code == CODE_MAX ? 1 : Math.clamp(measured / volts, 0, 1));
    }

    private int word(int register) throws BusException {
        byte[] answer = device.writeRead(new byte[]{(byte) register}, 2);
        return (answer[0] & 0xff) << 8 | answer[1] & 0xff;
    }

    @Override
    public void close() {
        device.close();
    }
}
