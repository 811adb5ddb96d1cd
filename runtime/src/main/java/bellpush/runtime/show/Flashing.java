package bellpush.runtime.show;

import bellpush.config.model.Look;

/**
 * When a lamp is lit. Pure functions of the look and of the time since an instant that all lamps share, so that lamps of
 * one pattern flash together.
 *
 * <p>Rates: slow 0.5 Hz and fast 2 Hz, on as long as off. They lie inside the bands of IEC 60073:2002 (0.4 to 0.8 Hz and
 * 1.4 to 2.8 Hz; read in a secondary source) and below three flashes a second (WCAG 2.x criterion 2.3.1; from memory). The
 * pulse of 0.15 s every 2 s has no source but common practice.
 */
final class Flashing {
    private static final long MS = 1_000_000;

    /** Lit for {@code onNanos} from the start of each period. */
    private record Rhythm(long periodNanos, long onNanos) {}

    private static final Rhythm SLOW = new Rhythm(2_000 * MS, 1_000 * MS);
    private static final Rhythm FAST = new Rhythm(500 * MS, 250 * MS);
    private static final Rhythm PULSE = new Rhythm(2_000 * MS, 150 * MS);

    private Flashing() {}

    /**
     * How bright the lamp is at that moment, from 0 to 1 as the eye sees it.
     *
     * @param sinceEpochNanos may be negative; the rhythm goes on to both sides
     */
    static double level(Look look, long sinceEpochNanos) {
        return switch (look.pattern()) {
            case OFF -> 0;
            case STEADY -> look.brightness();
            case SLOW -> lit(SLOW, sinceEpochNanos) ? look.brightness() : 0;
            case FAST -> lit(FAST, sinceEpochNanos) ? look.brightness() : 0;
            case PULSE -> lit(PULSE, sinceEpochNanos) ? look.brightness() : 0;
        };
    }

    /** Nanoseconds until the level changes, above 0; {@link Long#MAX_VALUE} if it never does. */
    static long untilChange(Look look, long sinceEpochNanos) {
        return switch (look.pattern()) {
            case OFF, STEADY -> Long.MAX_VALUE;
            case SLOW -> untilChange(SLOW, sinceEpochNanos);
            case FAST -> untilChange(FAST, sinceEpochNanos);
            case PULSE -> untilChange(PULSE, sinceEpochNanos);
        };
    }

    private static boolean lit(Rhythm rhythm, long nanos) {
        return Math.floorMod(nanos, rhythm.periodNanos) < rhythm.onNanos;
    }

    private static long untilChange(Rhythm rhythm, long nanos) {
        long phase = Math.floorMod(nanos, rhythm.periodNanos);
        return phase < rhythm.onNanos ? rhythm.onNanos - phase : rhythm.periodNanos - phase;
    }
}
