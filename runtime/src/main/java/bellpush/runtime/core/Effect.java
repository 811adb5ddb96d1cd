package bellpush.runtime.core;

import bellpush.config.model.Look;
import bellpush.drivers.spi.Request;

/** Everything the core can want done. The shell carries effects out in order. */
public sealed interface Effect {
    record Send(String device, Request request) implements Effect {}

    record ShowLamp(String lamp, Look look) implements Effect {}

    /** {@link Input.Due} with this number is wanted at {@code dueAt} (monotonic, nanoseconds), or at once if that is past. */
    record StartTimer(long timer, long dueAt) implements Effect {}

    record StopTimer(long timer) implements Effect {}

    record Record(Event event) implements Effect {}
}
