package bellpush.drivers.osc;

import java.time.Instant;

/**
 * A point in time as OSC 1.0 writes it (section "OSC Time Tags", the form of NTP): 32 bits of seconds since
 * 1900-01-01T00:00:00 UTC, which wrap every 136 years (next on 2036-02-07), then 32 bits of fraction. Two tags are
 * therefore only compared, and a tag is only turned into an instant, beside a time known to lie within 68 years.
 *
 * @param raw the 64 bits as sent
 */
public record OscTimeTag(long raw) {
    /** The one tag that is no time: at once. */
    public static final OscTimeTag IMMEDIATELY = new OscTimeTag(1);

    /** Seconds from 1900 to 1970: 70 years with 17 leap days. */
    private static final long SECONDS_1900_TO_1970 = 2_208_988_800L;
    private static final long NANOS_PER_SECOND = 1_000_000_000L;
    private static final long HALF_UNIT = 1L << 31;

    /** The tag nearest to an instant. A fraction's unit is 0.23 ns, so {@link #instant} gives the very same instant back. */
    public static OscTimeTag of(Instant instant) {
        long seconds = instant.getEpochSecond() + SECONDS_1900_TO_1970;
        long fraction = (((long) instant.getNano() << 32) + NANOS_PER_SECOND / 2) / NANOS_PER_SECOND;
        return new OscTimeTag(seconds << 32 | fraction);
    }

    public boolean immediately() {
        return raw == IMMEDIATELY.raw;
    }

    /** The instant, to the nearest nanosecond, in the 136-year era that brings it closest to {@code near}. */
    public Instant instant(Instant near) {
        long nearSeconds = near.getEpochSecond() + SECONDS_1900_TO_1970;
        int ahead = (int) (raw >>> 32) - (int) nearSeconds; // wraps on purpose: the shorter way round
        long nanos = ((raw & 0xffff_ffffL) * NANOS_PER_SECOND + HALF_UNIT) >>> 32;
        return Instant.ofEpochSecond(near.getEpochSecond() + ahead, nanos);
    }

    /** Nanoseconds from {@code now} to this time, negative if it has passed; 0 for {@link #IMMEDIATELY}. */
    public long nanosAfter(OscTimeTag now) {
        if (immediately()) {
            return 0;
        }
        long units = raw - now.raw; // of 2^-32 s; wraps on purpose
        return (units >> 32) * NANOS_PER_SECOND + (((units & 0xffff_ffffL) * NANOS_PER_SECOND + HALF_UNIT) >>> 32);
    }

    /** Whether this time comes before the other, the shorter way round. {@link #IMMEDIATELY} comes before every time. */
    public boolean before(OscTimeTag other) {
        return raw != other.raw && !other.immediately() && (immediately() || raw - other.raw < 0);
    }

    @Override
    public String toString() {
        return immediately() ? "immediately" : String.format("%016x", raw);
    }
}
