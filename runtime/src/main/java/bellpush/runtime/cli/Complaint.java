package bellpush.runtime.cli;

/** A command cannot go on, for a reason that a person can mend. The message is all they see. */
final class Complaint extends RuntimeException {
    private static final long serialVersionUID = 1L;

    Complaint(String message) {
        super(message);
    }
}
