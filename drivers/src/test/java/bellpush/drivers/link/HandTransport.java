package bellpush.drivers.link;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;

/** Keeps what is written; writes are done at once, later, or fail, as the test likes. */
final class HandTransport implements Transport {
    final List<String> sent = new ArrayList<>();
    final List<Written> undone = new ArrayList<>();
    boolean writable = true;
    boolean doneAtOnce = true;
    String dropped;

    @Override
    public boolean writable() {
        return writable;
    }

    @Override
    public void write(byte[] message, Written written) {
        sent.add(new String(message, StandardCharsets.ISO_8859_1));
        if (doneAtOnce) {
            written.done(null);
        } else {
            undone.add(written);
        }
    }

    @Override
    public void drop(String why) {
        dropped = why;
    }
}
