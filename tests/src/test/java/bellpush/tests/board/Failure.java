package bellpush.tests.board;

/** A check has found what should not be. */
final class Failure extends Exception {
    private static final long serialVersionUID = 1;

    Failure(String text) {
        super(text);
    }

    static void unless(boolean holds, String text, Object... words) throws Failure {
        if (!holds) {
            throw new Failure(String.format(java.util.Locale.ROOT, text, words));
        }
    }
}
