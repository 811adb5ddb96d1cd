package bellpush.drivers.spi;

import bellpush.config.model.LinkState;
import bellpush.config.model.Value;
import io.netty.channel.EventLoop;
import java.util.Map;

/**
 * What a link tells the core. A link calls these on {@link #loop()} only. They may call back into the link
 * ({@link Link#send}) after they return, never during the call.
 */
public interface LinkHost {
    /** The core's event loop: sockets are registered on it, timers run on it. Nothing on it may block. */
    EventLoop loop();

    /** The link's state has changed. A link starts DOWN without saying so. {@code why} is for people. */
    void link(LinkState state, String why);

    /**
     * The device has told values, each accepted by its property's type.
     *
     * @param request the request that this answers, or 0 when the device spoke by itself
     */
    void reported(Map<String, Value> values, long request);

    void outcome(long request, Outcome outcome);

    /**
     * A message has left or arrived; for the log. Called after the write, so that it costs the press nothing.
     *
     * @param shown printable, without control characters, shortened to 400 characters
     * @param request the request it belongs to, or 0
     */
    void packet(boolean sent, String shown, long request);

    /** Something worth a log line: malformed packets counted, a burst dropped. Rate-limited by the link. */
    void noted(String text);
}
