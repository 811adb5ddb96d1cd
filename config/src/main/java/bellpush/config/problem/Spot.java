package bellpush.config.problem;

import bellpush.config.model.Source;

/** A stretch of one line that a problem points at: where it begins and how many UTF-16 units it covers, at least 1. */
public record Spot(Source at, int length) {
    public static final Spot NONE = new Spot(Source.NONE, 1);

    /**
     * The part of a quoted text from {@code from} to {@code to}, counted inside its quotation marks. A text written with
     * escapes has other lengths on the page, so there the whole text is pointed at.
     */
    public Spot part(String text, int from, int to) {
        return length != text.length() + 2 || to <= from
                ? this
                : new Spot(new Source(at.file(), at.line(), at.column() + 1 + from), to - from);
    }
}
