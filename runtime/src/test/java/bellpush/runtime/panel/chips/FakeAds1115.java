package bellpush.runtime.panel.chips;

import bellpush.runtime.panel.bus.BusException;
import bellpush.runtime.panel.bus.I2cDevice;

/** An ADS1115. Source: TI SBAS444E, pointer, conversion and config registers; rates between the ends from memory. */
final class FakeAds1115 implements I2cDevice {
    private static final double[] RANGES = {6.144, 4.096, 2.048, 1.024, 0.512, 0.256, 0.256, 0.256};
    private static final int[] RATES = {8, 16, 32, 64, 128, 250, 475, 860};

    private final World world;
    private final double slowness;
    private final double[] volts = new double[4];
    private int pointer;
    private int config = 0x8583;
    private int conversion;
    private long readyAt;
    private boolean converting;
    private boolean present = true;
    int conversions;

    /** @param slowness how much longer a conversion takes than its rate says; 1 to 1.1 */
    FakeAds1115(World world, double slowness) {
        this.world = world;
        this.slowness = slowness;
    }

    void set(int input, double value) {
        volts[input] = value;
    }

    void connected(boolean yes) {
        present = yes;
    }

    void brownOut() {
        config = 0x8583;
        converting = false;
    }

    int config() {
        return config;
    }

    private void settle() {
        if (converting && world.nanos() >= readyAt) {
            converting = false;
            int mux = config >> 12 & 7;
            double measured = switch (mux) {
                case 0 -> volts[0] - volts[1];
                case 1 -> volts[0] - volts[3];
                case 2 -> volts[1] - volts[3];
                case 3 -> volts[2] - volts[3];
                default -> volts[mux - 4];
            };
            double lsb = RANGES[config >> 9 & 7] / 32768;
            conversion = Math.clamp(Math.round(measured / lsb), -32768, 32767) & 0xffff;
            conversions++;
        }
    }

    private void begin() throws BusException {
        world.pass(World.I2C_BYTE_NANOS);
        if (!present) {
            throw new BusException("No answer.");
        }
    }

    @Override
    public void write(byte... bytes) throws BusException {
        begin();
        world.pass(bytes.length * World.I2C_BYTE_NANOS);
        settle();
        pointer = bytes[0] & 3;
        if (bytes.length == 3 && pointer == 1) {
            int word = (bytes[1] & 0xff) << 8 | bytes[2] & 0xff;
            boolean singleShot = (word & 0x0100) != 0;
            config = word & 0x7fff;
            if (singleShot && (word & 0x8000) != 0 && !converting) {
                converting = true;
                readyAt = world.nanos() + 25_000 + Math.round(slowness * 1e9 / RATES[word >> 5 & 7]);
            }
        }
    }

    @Override
    public byte[] read(int count) throws BusException {
        begin();
        settle();
        int word = switch (pointer) {
            case 0 -> conversion;
            case 1 -> config & 0x7fff | (converting ? 0 : 0x8000);
            case 2 -> 0x8000;
            default -> 0x7fff;
        };
        world.pass(count * World.I2C_BYTE_NANOS);
        byte[] answer = new byte[count];
        for (int i = 0; i < count; i++) {
            answer[i] = (byte) (word >> 8 * (1 - i % 2));
        }
        return answer;
    }

    @Override
    public byte[] writeRead(byte[] bytes, int count) throws BusException {
        write(bytes);
        return read(count);
    }

    @Override
    public void close() {}
}
