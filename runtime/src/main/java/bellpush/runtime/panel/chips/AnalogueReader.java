package bellpush.runtime.panel.chips;

import bellpush.runtime.panel.bus.BusException;
import java.util.List;
import java.util.OptionalDouble;

/**
 * Faders and joysticks on one converter. All of its inputs are measured every so often, while something moves; at rest ten times
 * a second, which is about what people notice (J. Nielsen, 1993: 0.1 s), so that an idle panel sleeps.
 */
public final class AnalogueReader implements Chore, AutoCloseable {
    static final long REST_NANOS = 100_000_000;
    static final long REST_AFTER_NANOS = 5_000_000_000L;
    private static final long RETRY_NANOS = 2_000_000_000;
    private static final long NOT_READY_NANOS = 500_000;

    /**
     * @param channel    the converter's input
     * @param steadiness changes smaller than this share of full scale are noise
     */
    public record Input(String name, int channel, double steadiness) {}

    private final String name;
    private final Converter converter;
    private final List<Input> inputs;
    private final List<Steady> steadies;
    private final long everyNanos;
    private final AnalogueListener listener;
    private final BusTurn turn;

    private int next;
    private boolean measuring;
    private boolean lost;
    private volatile boolean closed;
    private boolean begun;
    private long roundAt;
    private long dueAt;
    private long movedAt;

    /** @param turn of the bus that the converter is on */
    public AnalogueReader(String name, Converter converter, List<Input> inputs, long everyNanos,
            AnalogueListener listener, BusTurn turn) {
        this.name = name;
        this.converter = converter;
        this.inputs = List.copyOf(inputs);
        this.steadies = inputs.stream().map(input -> new Steady(input.steadiness())).toList();
        this.everyNanos = everyNanos;
        this.listener = listener;
        this.turn = turn;
    }

    @Override
    public long waitNanos(long now) {
        if (closed || inputs.isEmpty()) {
            return NEVER;
        }
        long wait = begun ? dueAt - now : 0;
        return wait <= 0 && !turn.mayTake() ? NEVER : wait;
    }

    @Override
    public void run(long now) {
        turn.ifFree(() -> measure(now));
    }

    private void measure(long now) {
        if (closed) {
            return;
        }
        if (!begun) {
            begun = true;
            roundAt = now;
            movedAt = now;
        }
        try {
            step(now);
        } catch (BusException e) {
            lose(now, e.getMessage());
        }
    }

    private void step(long now) throws BusException {
        Input input = inputs.get(next);
        if (!measuring) {
            measuring = true;
            long takes = converter.start(input.channel());
            if (takes > 0) {
                dueAt = now + takes;
                return;
            }
        }
        OptionalDouble share = converter.share(input.channel());
        if (share.isEmpty()) {
            dueAt = now + NOT_READY_NANOS;
            return;
        }
        if (lost) {
            lost = false;
            listener.noted("The converter " + name + " answers again.");
        }
        measuring = false;
        steadies.get(next).take(share.getAsDouble()).ifPresent(told -> {
            movedAt = now;
            listener.moved(now, input.name(), told);
        });
        next++;
        dueAt = now;
        if (next == inputs.size()) {
            next = 0;
            long period = now - movedAt < REST_AFTER_NANOS ? everyNanos : Math.max(everyNanos, REST_NANOS);
            roundAt = Math.max(roundAt + period - now, 0) + now;
            dueAt = roundAt;
        }
    }

    private void lose(long now, String why) {
        measuring = false;
        next = 0;
        dueAt = now + RETRY_NANOS;
        roundAt = dueAt;
        if (!lost) {
            lost = true;
            steadies.forEach(Steady::forget);
            inputs.forEach(input -> listener.lost(now, input.name(), why));
        }
    }

    @Override
    public void close() {
        turn.during(() -> {
            closed = true;
            converter.close();
        });
    }
}
