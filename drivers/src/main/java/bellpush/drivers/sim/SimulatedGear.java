package bellpush.drivers.sim;

import bellpush.config.model.Kind;
import bellpush.config.model.Rehearsal.Fault;
import bellpush.config.model.Value;
import bellpush.drivers.link.MalformedMessageException;
import bellpush.drivers.link.MessageCodec;
import bellpush.drivers.link.Timers;
import bellpush.drivers.link.MessageCodec.Arrival;
import bellpush.drivers.spi.SimulatedDevice;
import io.netty.channel.EventLoop;
import java.io.IOException;
import java.net.InetSocketAddress;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.RejectedExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicBoolean;

/**
 * A simulated device: a behaviour, the line with its faults, and a socket. Everything runs on the device's event loop; the
 * public methods may be called from any thread.
 */
final class SimulatedGear<F> implements SimulatedDevice {
    /** Messages with a time in the future that may wait; one more is lost. */
    private static final int HELD_MAX = 256;
    private static final long HELD_NANOS_MAX = TimeUnit.HOURS.toNanos(1);
    private static final long WAIT_MS_MAX = 5_000;

    private final EventLoop loop;
    private final Kind kind;
    private final MessageCodec<F> codec;
    private final Timers timers;
    private final Behaviour<F> behaviour;
    private final Line<F> line;
    private final DeviceSocket socket;
    private final Map<Peer<byte[]>, Peer<F>> peers = new LinkedHashMap<>();
    private final AtomicBoolean closed = new AtomicBoolean();
    private Timers.Alarm restart = () -> {};
    private boolean on = true;
    private int power;
    private int held;

    /** How a gear gets its socket. */
    interface Plug {
        DeviceSocket into(DeviceSocket.Ear ear) throws IOException;
    }

    /** @throws IOException if the address cannot be had */
    SimulatedGear(Kind kind, MessageCodec<F> codec, EventLoop loop, long seed, Plug plug) throws IOException {
        this.loop = loop;
        this.kind = kind;
        this.codec = codec;
        this.timers = Timers.of(loop);
        this.behaviour = new Behaviour<>(kind, codec, timers, seed, this::everybody);
        this.line = new Line<>(timers, ~seed);
        this.socket = plug.into(new Ear());
    }

    /** Begins to listen, before this returns. Not on the device's own loop. */
    SimulatedGear<F> start() {
        loop.submit(socket::open).awaitUninterruptibly(WAIT_MS_MAX);
        loop.submit(() -> {}).awaitUninterruptibly(WAIT_MS_MAX); // opening puts the binding behind itself in the loop's queue
        return this;
    }

    @Override
    public InetSocketAddress address() {
        return socket.address();
    }

    @Override
    public Map<String, Value> values() {
        return behaviour.values();
    }

    @Override
    public void change(Map<String, Value> values) {
        Behaviour.complaint(kind, values).ifPresent(c -> {
            throw new IllegalArgumentException(c);
        });
        Map<String, Value> changed = new LinkedHashMap<>(values);
        onLoop(() -> behaviour.change(changed));
    }

    @Override
    public void fault(Fault fault) {
        onLoop(() -> begin(fault));
    }

    @Override
    public void close() {
        if (!closed.compareAndSet(false, true)) {
            return;
        }
        try {
            var done = loop.submit(() -> {
                restart.cancel();
                power(false);
                socket.close();
            });
            if (!loop.inEventLoop()) {
                done.awaitUninterruptibly(WAIT_MS_MAX);
                // The system lets go of a closed socket when its selector has turned once more.
                loop.schedule(() -> {}, 2, TimeUnit.MILLISECONDS).awaitUninterruptibly(WAIT_MS_MAX);
            }
        } catch (RejectedExecutionException _) {
            // The loop has ended before the device was closed; its port is free when the process ends.
        }
    }

    /** For tests and for people who wonder: messages that were no message of the kind. */
    long notUnderstood() {
        return behaviour.notUnderstood();
    }

    private void onLoop(Runnable task) {
        if (closed.get() || loop.isShuttingDown()) {
            return;
        }
        try {
            loop.execute(() -> {
                if (!closed.get()) {
                    task.run();
                }
            });
        } catch (RejectedExecutionException _) {
            // The loop has ended in between, and the device with it.
        }
    }

    // --- faults ---

    private void begin(Fault fault) {
        restart.cancel();
        line.fault(fault);
        behaviour.refusing(fault instanceof Fault.Refusing);
        switch (fault) {
            case Fault.Off _ -> power(false);
            case Fault.Restarts(var after) -> {
                power(false);
                behaviour.restart();
                restart = timers.after(after.toNanos(), () -> begin(new Fault.Works()));
            }
            default -> {
                power(true);
                socket.reading(!(fault instanceof Fault.Deaf));
            }
        }
    }

    private void power(boolean wanted) {
        if (on == wanted) {
            return;
        }
        on = wanted;
        power++;
        if (on) {
            socket.reading(true);
            socket.open();
        } else {
            socket.shut();
            behaviour.stop();
        }
    }

    // --- messages ---

    private void everybody(F message) {
        for (Peer<F> peer : List.copyOf(peers.values())) {
            peer.say(message);
        }
    }

    private final class Ear implements DeviceSocket.Ear {
        @Override
        public void came(Peer<byte[]> peer, boolean stream) {
            Peer<F> wire = message -> write(message, peer);
            Peer<F> late = message -> line.carry(message, wire);
            peers.put(peer, late);
            if (stream) {
                behaviour.greeting().ifPresent(late::say);
            }
        }

        @Override
        public void heard(byte[] frame, Peer<byte[]> peer) {
            Peer<F> from = peers.get(peer);
            if (from == null) {
                return;
            }
            try {
                for (Arrival<F> arrival : codec.parse(frame)) {
                    if (line.arrives()) {
                        hear(arrival, from);
                    }
                }
            } catch (MalformedMessageException e) {
                behaviour.malformed();
            }
        }

        @Override
        public void garbled(String why) {
            behaviour.malformed();
        }

        @Override
        public void left(Peer<byte[]> peer) {
            Peer<F> gone = peers.remove(peer);
            if (gone != null) {
                behaviour.forget(gone);
            }
        }
    }

    private void hear(Arrival<F> arrival, Peer<F> from) {
        if (arrival.delayNanos() <= 0) {
            behaviour.received(arrival.message(), from);
        } else if (held < HELD_MAX && arrival.delayNanos() <= HELD_NANOS_MAX) {
            held++;
            int poweredAt = power;
            timers.after(arrival.delayNanos(), () -> {
                held--;
                if (poweredAt == power) { // what a device held back is gone when it was switched off
                    behaviour.received(arrival.message(), from);
                }
            });
        }
    }

    private void write(F message, Peer<byte[]> peer) {
        byte[] bytes;
        try {
            bytes = codec.format(message);
        } catch (IllegalArgumentException e) {
            return; // does not fit into the kind's envelope: a device stays silent then
        }
        peer.say(bytes);
    }
}
