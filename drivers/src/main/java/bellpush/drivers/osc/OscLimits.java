package bellpush.drivers.osc;

/** What one packet may hold, sent or received. Far above what any device needs, and low enough that nothing can be exhausted. */
final class OscLimits {
    /** Bundles in bundles, and arrays in arrays: the outermost is 1 deep. */
    static final int DEPTH = 8;
    /** Arguments of one message, those inside arrays and the arrays themselves included. */
    static final int ARGUMENTS = 1_024;
    /** Messages and bundles in one packet, on all levels together. */
    static final int ELEMENTS = 1_024;
    /** Bytes of one packet. */
    static final int PACKET_BYTES = 1 << 20;
    /** Characters of an address that is used as a pattern; with the element limit it bounds the time matching takes. */
    static final int PATTERN_CHARACTERS = 256;

    private OscLimits() {}
}
