package bellpush.runtime.core;

import java.util.Map;

/**
 * One line of the event log.
 *
 * @param at      monotonic time in nanoseconds
 * @param what    the kind of event, one word
 * @param press   the press that caused it ({@code p12}), or empty
 * @param details more fields in a fixed order; values are String, Long, Double, Boolean, or List and Map of these
 */
public record Event(long at, String what, String press, Map<String, Object> details) {}
