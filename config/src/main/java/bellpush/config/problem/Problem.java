package bellpush.config.problem;

import bellpush.config.model.Source;

/**
 * One thing that is wrong with a site.
 *
 * @param severity errors keep a site from running, warnings do not
 * @param at       where it begins
 * @param length   how many characters of the line it covers, at least 1
 * @param found    what was found, one sentence
 * @param why      why it matters, one sentence
 * @param cure     what to do, one sentence, with a did-you-mean where a name is close
 */
public record Problem(Severity severity, Source at, int length, String found, String why, String cure) {
    public enum Severity {
        ERROR, WARNING
    }
}
