package bellpush.tests.board;

import java.io.IOException;
import java.net.DatagramPacket;
import java.net.DatagramSocket;
import java.net.InetAddress;
import java.nio.charset.StandardCharsets;
import java.util.concurrent.atomic.AtomicInteger;

/** The foyer's clock: counts the datagrams that tell it to write the time down. */
final class Clock implements AutoCloseable {
    static final int PORT = 9902;

    private final DatagramSocket socket = new DatagramSocket(PORT, InetAddress.getLoopbackAddress());
    private final AtomicInteger marks = new AtomicInteger();
    private final Thread thread;

    Clock() throws IOException {
        thread = Thread.ofPlatform().name("clock").daemon().start(this::listen);
    }

    private void listen() {
        DatagramPacket packet = new DatagramPacket(new byte[1500], 1500);
        while (!socket.isClosed()) {
            try {
                packet.setLength(1500);
                socket.receive(packet);
                String text = new String(packet.getData(), 0, packet.getLength(), StandardCharsets.US_ASCII);
                if (text.equals("MARK")) {
                    marks.incrementAndGet();
                }
            } catch (IOException closed) {
                return;
            }
        }
    }

    int marks() {
        return marks.get();
    }

    @Override
    public void close() {
        socket.close();
        ended(thread);
    }

    /** Waits for a thread whose socket was closed. */
    static void ended(Thread thread) {
        try {
            thread.join(5_000);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }
}
