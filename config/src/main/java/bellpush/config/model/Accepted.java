package bellpush.config.model;

import java.util.List;

/**
 * A finding of the checker that the admin has looked at and means to keep. It stays in the site, so that whoever comes next can
 * read why.
 *
 * @param finding one of {@link #FINDINGS}
 * @param of      the macro or lamp of which it was found, or the family of the macros
 * @param about   which of several findings of that kind, as check names it; may be empty
 * @param reason  in the admin's words
 */
public record Accepted(String finding, String of, String about, String reason, Source at) {
    /** The words by which the checker's findings are told apart. */
    public static final List<String> FINDINGS = List.of("broken promise", "fails", "unsteady", "too early", "toggle",
            "interleaved",
            "device down", "short wait", "never holds", "dead step", "dead rule", "promise not set",
            "not restored", "repeated step", "lost press", "no promise");
}
