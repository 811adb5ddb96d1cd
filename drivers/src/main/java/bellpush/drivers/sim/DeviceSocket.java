package bellpush.drivers.sim;

import java.net.InetSocketAddress;

/** Where a simulated device listens. All calls on its event loop, except {@link #address}. */
interface DeviceSocket {
    /** The same for its whole life; may be called from any thread. */
    InetSocketAddress address();

    /** Listens, now or as soon as the port can be had; does nothing where it listens already. */
    void open();

    /** Ends all connections and listens no more; what is sent here is refused by the operating system. */
    void shut();

    /** Without reading, what peers send piles up at their end (a stream) or is lost (datagrams). */
    void reading(boolean on);

    /** Shuts for good and gives the port back. */
    void close();

    /** What the socket tells the device, on the device's event loop. */
    interface Ear {
        /** A new peer; {@code stream}: it has connected and can be greeted. */
        void came(Peer<byte[]> peer, boolean stream);

        /** One frame or datagram, without what told it from the next. */
        void heard(byte[] frame, Peer<byte[]> peer);

        /** Bytes were thrown away because no message could be made of them. {@code why} is for people. */
        void garbled(String why);

        void left(Peer<byte[]> peer);
    }
}
