package bellpush.drivers.link;

import bellpush.drivers.spi.Request;

/** One request on its way: from the moment its message is written until its outcome is known. */
final class Exchange implements Transport.Written {
    /** What ends it. */
    enum Awaits {
        /** Nothing: it is over when it is written. */
        WRITE,
        /** The device's ok to a set or command. */
        OK,
        /** The answer to a question, which comes at no other time. */
        ANSWER,
        /** A report of the property asked for, which may come at any time. */
        REPORT
    }

    interface Owner {
        void written(Exchange exchange);
    }

    final Request request;
    final Awaits awaits;
    final byte[] message;
    final long sequence;
    private final Owner owner;

    /** For the log; null until it has been written. */
    String shown;
    int writes;
    boolean concluded;
    /** Once something urgent has gone after it, its message must not be repeated. */
    boolean overtaken;
    Timers.Alarm alarm;
    private boolean writing;
    private boolean written;
    private String failure;

    Exchange(Request request, Awaits awaits, byte[] message, long sequence, Owner owner) {
        this.request = request;
        this.awaits = awaits;
        this.message = message;
        this.sequence = sequence;
        this.owner = owner;
    }

    /** Until {@link #begun} the result of the write is kept back: the log line of a message comes before its outcome. */
    void beginWrite() {
        writes++;
        writing = true;
        written = false;
        failure = null;
    }

    void begun() {
        writing = false;
        if (written) {
            owner.written(this);
        }
    }

    @Override
    public void done(String failure) {
        this.written = true;
        this.failure = failure;
        if (!writing) {
            owner.written(this);
        }
    }

    /** Why it could not be written, or null. */
    String failure() {
        return failure;
    }

    /** The property asked for or set, or empty for a command. */
    String property() {
        return switch (request) {
            case Request.AskProperty ask -> ask.property();
            case Request.SetProperty set -> set.property();
            case Request.DoCommand _ -> "";
        };
    }

    boolean waits() {
        return awaits != Awaits.WRITE;
    }
}
