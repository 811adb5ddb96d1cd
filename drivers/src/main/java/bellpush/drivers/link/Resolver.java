package bellpush.drivers.link;

import io.netty.channel.EventLoop;
import io.netty.util.NetUtil;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.UnknownHostException;
import java.util.List;
import java.util.concurrent.RejectedExecutionException;
import java.util.function.BiConsumer;

/**
 * Finds the address of a name without holding up the event loop: asking a name server may take many seconds, so a virtual
 * thread waits for it and comes back to the loop. An address in digits needs no asking and comes back at once.
 */
final class Resolver {
    private final EventLoop loop;
    private final String name;
    private final int port;

    Resolver(EventLoop loop, String name, int port) {
        this.loop = loop;
        this.name = name;
        this.port = port;
    }

    /** Whether the address may change behind the name. */
    boolean asks() {
        return NetUtil.createByteArrayFromIpAddressString(name) == null;
    }

    /** Calls {@code found} on the loop, with at least one address, or with an empty list and the trouble. */
    void resolve(BiConsumer<List<InetSocketAddress>, Throwable> found) {
        byte[] digits = NetUtil.createByteArrayFromIpAddressString(name);
        if (digits != null) {
            found.accept(List.of(at(digits)), null);
            return;
        }
        Thread.ofVirtual().name("name of " + name).start(() -> {
            try {
                var addresses = List.of(InetAddress.getAllByName(name));
                onLoop(() -> found.accept(addresses.stream().map(a -> new InetSocketAddress(a, port)).toList(), null));
            } catch (UnknownHostException | SecurityException e) {
                onLoop(() -> found.accept(List.of(), e));
            }
        });
    }

    private InetSocketAddress at(byte[] digits) {
        try {
            return new InetSocketAddress(InetAddress.getByAddress(digits), port);
        } catch (UnknownHostException e) {
            throw new AssertionError("4 or 16 bytes are always an address", e);
        }
    }

    private void onLoop(Runnable task) {
        try {
            loop.execute(task);
        } catch (RejectedExecutionException _) {
            // The loop has ended while the name was looked up: nobody is left to be told.
        }
    }
}
