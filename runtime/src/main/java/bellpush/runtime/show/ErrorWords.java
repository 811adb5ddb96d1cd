package bellpush.runtime.show;

/** Unexpected errors in words: a log is read by people, who can do nothing with a stack trace. */
public final class ErrorWords {
    private static final int LONGEST = 300;

    private ErrorWords() {}

    /** The error's class and message on one line, at most 300 characters of it. */
    public static String of(Throwable error) {
        String message = error.getMessage();
        String words = message == null
                ? error.getClass().getSimpleName()
                : error.getClass().getSimpleName() + ": " + message.replaceAll("\\p{Cntrl}+", " ").strip();
        return words.length() <= LONGEST ? words : words.substring(0, LONGEST) + "…";
    }
}
