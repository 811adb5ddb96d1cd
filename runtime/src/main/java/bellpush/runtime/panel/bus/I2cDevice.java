package bellpush.runtime.panel.bus;

/** One chip at one address of an I2C bus. Any thread may call; each call is one transfer and waits for its end. */
public interface I2cDevice extends AutoCloseable {
    void write(byte... bytes) throws BusException;

    byte[] read(int count) throws BusException;

    /** Writes and then reads without letting go of the bus in between (repeated start). */
    byte[] writeRead(byte[] bytes, int count) throws BusException;

    @Override
    void close();
}
