package bellpush.runtime.panel.lines;

import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/**
 * What one request's events say: in the order of their time stamps, and whether some are missing. Belongs to the thread that
 * reads them.
 *
 * <p>The kernel gives a number to each interrupt and another to each event of a line. Two interrupts that come before the
 * kernel has looked at the line make one event: a gap in the first numbers only, and the event has the level that counts. A
 * full buffer drops the oldest events: a gap in both.
 */
final class Edges {
    private int last;
    private final Map<Integer, Integer> lastOfLine = new HashMap<>();

    /**
     * One reading.
     *
     * @param events in the order of time
     * @param gap    whether an edge may be missing, so that levels are to be read
     * @param lost   how many events the kernel has certainly dropped
     */
    record Batch(List<Uapi.Event> events, boolean gap, int lost) {}

    /** @param full whether the buffer was as full as it can be, so that events of other lines may be among the dropped */
    Batch take(List<Uapi.Event> read, boolean full) {
        int ahead = 0;
        int fresh = 0;
        int droppedOfLines = 0;
        for (Uapi.Event event : read) {
            // Differences, since numbers wrap; one that is behind was overtaken and has been missed before.
            int distance = event.number() - last;
            if (distance > 0) {
                fresh++;
                ahead = Math.max(ahead, distance);
            }
            Integer before = lastOfLine.put(event.offset(), event.lineNumber());
            droppedOfLines += Math.max(0, event.lineNumber() - (before == null ? 0 : before) - 1);
        }
        last += ahead;
        int missing = ahead - fresh;
        List<Uapi.Event> sorted = read.stream().sorted(Comparator.comparingLong(Uapi.Event::atNanos)).toList();
        return new Batch(sorted, missing > 0 || droppedOfLines > 0,
                full ? Math.max(missing, droppedOfLines) : droppedOfLines);
    }
}
