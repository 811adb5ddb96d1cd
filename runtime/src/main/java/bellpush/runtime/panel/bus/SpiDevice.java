package bellpush.runtime.panel.bus;

/** Whatever hangs on one chip-select line of an SPI bus. Any thread may call; each call is one transfer and waits for its end. */
public interface SpiDevice extends AutoCloseable {
    /** @return as many bytes as were sent, read at the same time */
    byte[] transfer(byte... bytes) throws BusException;

    @Override
    void close();
}
