package bellpush.tests.simulation;

import java.util.SplittableRandom;

/**
 * How an evening's network and people are. Loss and lateness are bounded, so that what the core promises of standstills can be
 * demanded: of the standstills that it repeats at least one arrives after everything that was sent before them.
 *
 * @param lostShare       of the datagrams, each way
 * @param lostInARowMax   of the datagrams that touch, ask or tell one property
 * @param doubledShare    of the datagrams
 * @param lateMaxNanos    how late a message may come
 * @param overtaking      whether a datagram may come before one that was sent earlier; streams always keep their order
 * @param packetShare     of the messages of which the link tells the log
 * @param hastePermille   how often in a thousand the next act follows within 50 ms
 */
record Weather(double lostShare, int lostInARowMax, double doubledShare, long lateMaxNanos, boolean overtaking,
        double packetShare, int hastePermille) {
    private static final long MS = 1_000_000;

    static Weather of(SplittableRandom random) {
        int haste = random.nextInt(200, 900);
        return switch (random.nextInt(4)) {
            case 0 -> new Weather(0, 0, 0, 2 * MS, false, 0.1, haste);
            case 1 -> new Weather(0.02, 2, 0.01, 30 * MS, true, 0.1, haste);
            case 2 -> new Weather(0.4, 3, 0.05, 5 * MS, false, 0.1, haste); // loses much, and keeps the order
            default -> new Weather(0.1, 1, 0.1, 100 * MS, true, 0.1, haste);
        };
    }
}
