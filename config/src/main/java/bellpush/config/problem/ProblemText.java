package bellpush.config.problem;

import bellpush.config.problem.Problem.Severity;
import java.util.List;

/** Problems as text for a terminal: where, what was found, the line with a caret under the token, why, and the cure. */
public final class ProblemText {
    private static final String RED = "\u001b[31m";
    private static final String YELLOW = "\u001b[33m";
    private static final String BOLD = "\u001b[1m";
    private static final String PLAIN = "\u001b[0m";

    private final SourceLines lines;
    private final boolean colours;

    /** @param colours whether to colour with ECMA-48 sequences; the words say the same without them */
    public ProblemText(SourceLines lines, boolean colours) {
        this.lines = lines;
        this.colours = colours;
    }

    /** All problems with an empty line after each; empty for none. */
    public String render(List<Problem> problems) {
        StringBuilder out = new StringBuilder();
        problems.forEach(problem -> out.append(render(problem)).append('\n'));
        return out.toString();
    }

    public String render(Problem problem) {
        boolean error = problem.severity() == Severity.ERROR;
        StringBuilder out = new StringBuilder();
        out.append(paint(error ? RED : YELLOW, error ? "error" : "warning"));
        if (problem.at().line() > 0) {
            out.append(' ').append(paint(BOLD, ShownLine.visible(problem.at().toString())));
        } else if (!problem.at().file().isEmpty()) {
            out.append(' ').append(paint(BOLD, ShownLine.visible(problem.at().file())));
        }
        out.append("\n  ").append(ShownLine.visible(problem.found())).append('\n');
        if (problem.at().line() > 0) {
            lines.line(problem.at().file(), problem.at().line()).ifPresent(line -> {
                ShownLine shown = ShownLine.of(line, problem.at().column(), problem.length());
                out.append("    ").append(shown.text()).append("\n    ")
                        .append(" ".repeat(shown.caretAt())).append(paint(error ? RED : YELLOW, shown.caret()))
                        .append('\n');
            });
        }
        out.append("  Why: ").append(ShownLine.visible(problem.why())).append('\n');
        out.append("  Cure: ").append(ShownLine.visible(problem.cure())).append('\n');
        return out.toString();
    }

    private String paint(String colour, String text) {
        return colours ? colour + text + PLAIN : text;
    }
}
