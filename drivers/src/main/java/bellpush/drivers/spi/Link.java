package bellpush.drivers.spi;

/** The live connection to one device. Made by {@link Driver#open}; all calls on the core's event loop. */
public interface Link extends AutoCloseable {
    /** Sends a request, or fails it through {@link LinkHost#outcome}. Never blocks, never throws, never queues without limit. */
    void send(Request request);

    /** Closes for good. Requests still open fail. Says nothing more to the host after it returns. */
    @Override
    void close();
}
