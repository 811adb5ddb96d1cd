package bellpush.drivers.link;

import io.netty.channel.ConnectTimeoutException;
import java.net.ConnectException;
import java.net.NoRouteToHostException;
import java.net.PortUnreachableException;
import java.net.UnknownHostException;
import java.nio.channels.ClosedChannelException;

/** What went wrong with a socket, in words for people. */
final class SocketTrouble {
    private SocketTrouble() {}

    static String words(Throwable trouble) {
        return switch (trouble) {
            case ConnectTimeoutException _ -> "no answer to the connection within " + TcpLink.CONNECT_WITHIN.toSeconds()
                    + " s; is the device switched on and in this network?";
            case NoRouteToHostException _ -> "there is no way to that address; is the network cable in?";
            case ConnectException _ -> "the connection was refused: nothing listens at that port";
            case PortUnreachableException _ -> "nothing listens at that port";
            case UnknownHostException _ -> "nobody in this network knows that name";
            case ClosedChannelException _ -> "the connection is closed";
            case OutOfMemoryError _ -> "memory is short";
            default -> trouble.getMessage() == null ? "an unexpected trouble" : Printable.text(trouble.getMessage());
        };
    }
}
