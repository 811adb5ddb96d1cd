package bellpush.drivers.spi;

/** What became of a request. Each request has exactly one outcome. */
public sealed interface Outcome {
    /** Written to the socket; the kind knows no acknowledgement. */
    record Sent() implements Outcome {}

    /** Acknowledged (a set or command), or answered (an ask), by the device. */
    record Done() implements Outcome {}

    /** A newer value for the same property took its place before it could be written. */
    record Replaced() implements Outcome {}

    /** The device said no. {@code why} is for people. */
    record Refused(String why) implements Outcome {}

    /** It could not be written, or no answer came. {@code why} is for people. */
    record Failed(String why) implements Outcome {}
}
