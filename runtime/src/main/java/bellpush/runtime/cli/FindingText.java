package bellpush.runtime.cli;

import bellpush.config.problem.Problem;
import bellpush.config.problem.ProblemText;
import bellpush.runtime.prove.Finding;
import java.util.List;
import tools.jackson.core.io.JsonStringEncoder;

/** Findings of the checker as people and programs read them: like problems of the files, with the story that shows each. */
final class FindingText {
    private FindingText() {}

    /** A broken promise is as bad as a mistake in the files: the site runs, and does not do what its buttons say. */
    static Problem problem(Finding finding) {
        return new Problem(bad(finding) ? Problem.Severity.ERROR : Problem.Severity.WARNING, finding.at(), 1,
                finding.found(), finding.why(), finding.cure());
    }

    /** All but a promise that is missing: that is no fault yet. */
    static boolean bad(Finding finding) {
        return finding.what() != Finding.What.NO_PROMISE;
    }

    static String render(List<Finding> findings, ProblemText text) {
        StringBuilder out = new StringBuilder();
        for (Finding finding : findings) {
            out.append(text.render(problem(finding)));
            out.append("  To accept it: { \"finding\": \"").append(finding.what().word()).append("\", \"of\": \"")
                    .append(finding.of())
                    .append(finding.about().isEmpty() ? "" : "\", \"about\": \"" + quoted(finding.about()))
                    .append("\", \"reason\": \"...\" } in \"accepted\" of site.json\n");
            if (!finding.story().isEmpty()) {
                out.append("  How it comes to it (").append(length(finding)).append("):\n");
                finding.story().forEach(line -> out.append("    ").append(line).append('\n'));
            }
            out.append('\n');
        }
        return out.toString();
    }

    private static String length(Finding finding) {
        String presses = finding.presses() == 1 ? "one press" : finding.presses() + " presses";
        return finding.outside() == 0
                ? presses
                : presses + " and " + (finding.outside() == 1 ? "one change" : finding.outside() + " changes")
                        + " by somebody's hand";
    }

    private static String quoted(String text) {
        return new String(JsonStringEncoder.getInstance().quoteAsCharArray(text));
    }
}
