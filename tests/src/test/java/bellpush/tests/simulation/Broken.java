package bellpush.tests.simulation;

/** Something that must always be true is not. */
final class Broken extends RuntimeException {
    private static final long serialVersionUID = 1L;

    /** Which of the invariants, in a word or two. */
    final String invariant;

    Broken(String invariant, String what) {
        this(invariant, what, null);
    }

    Broken(String invariant, String what, Throwable cause) {
        super(invariant + ": " + what, cause, false, false);
        this.invariant = invariant;
    }
}
