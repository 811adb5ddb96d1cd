package bellpush.tests.simulation;

import bellpush.config.model.Kind;
import bellpush.config.model.LinkState;
import bellpush.config.model.Site;
import bellpush.drivers.spi.Request;
import bellpush.runtime.core.Effect;
import bellpush.runtime.core.Input;
import java.util.HashMap;
import java.util.Map;

/**
 * Nothing is sent faster than the kind can stand, nor a property set faster than it can, but for what is urgent, which waits for the
 * kind alone. Nothing is sent to a link that is down, and no two messages have the same number.
 */
final class Paced implements Invariant {
    private static final class Pace {
        final Kind kind;
        final Map<String, Long> setAt = new HashMap<>();
        long sentAt;
        boolean sent;
        boolean down = true;

        Pace(Kind kind) {
            this.kind = kind;
        }
    }

    private final Map<String, Pace> paces = new HashMap<>();
    private final Map<Long, Request> open = new HashMap<>();

    Paced(Site site) {
        site.devices().values().forEach(device -> paces.put(device.name(), new Pace(device.kind())));
    }

    @Override
    public void begins(Machine machine) {
        open.clear();
        paces.values().forEach(pace -> {
            pace.sent = false;
            pace.setAt.clear();
            pace.down = true;
        });
    }

    @Override
    public void before(Input input) {
        if (input instanceof Input.LinkChanged change) {
            paces.get(change.device()).down = change.state() == LinkState.DOWN;
        } else if (input instanceof Input.Finished end) {
            open.remove(end.request());
        }
    }

    @Override
    public void effect(Effect effect, long now) {
        if (!(effect instanceof Effect.Send send)) {
            return;
        }
        Pace pace = paces.get(send.device());
        Request request = send.request();
        if (pace.down) {
            throw new Broken("links", "something is sent to " + send.device() + ", whose link is down: " + request);
        }
        if (open.put(request.id(), request) != null) {
            throw new Broken("links", "two messages on their way have the number " + request.id());
        }
        if (pace.sent && now - pace.sentAt < pace.kind.fastest().toNanos()) {
            throw new Broken("pace", send.device() + " is sent " + request + " after " + (now - pace.sentAt) / 1_000
                    + " us");
        }
        pace.sent = true;
        pace.sentAt = now;
        if (request instanceof Request.SetProperty set) {
            Long before = pace.setAt.put(set.property(), now);
            long fastest = pace.kind.properties().get(set.property()).fastest().toNanos();
            if (before != null && !set.urgent() && now - before < fastest) {
                throw new Broken("pace", send.device() + " is sent " + set + " after " + (now - before) / 1_000
                        + " us");
            }
        }
    }
}
