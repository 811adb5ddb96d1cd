package bellpush.runtime.cli;

import bellpush.config.model.Site;
import bellpush.config.problem.Problem;
import bellpush.config.problem.ProblemText;
import bellpush.config.problem.SourceLines;
import bellpush.runtime.kit.Proposal;
import bellpush.runtime.kit.WiringJson;
import bellpush.runtime.kit.WiringPlan;
import bellpush.runtime.kit.WiringText;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

/** {@code bellpush wiring}: what to solder. */
@Command(name = "wiring", description = {
    "Prints what to solder: every lead at the header and at each chip, the resistors of the LEDs, the"
            + " currents against the board's limits, and the parts. Connects to nothing and changes nothing."}, footer = {
                "",
                "Examples:", "  bellpush wiring hall", "  bellpush wiring hall --propose",
                "  bellpush wiring hall --json | jq '.parts'"}, exitCodeList = {
                    "0:it can be built like this (there may be warnings)",
                    "1:it should not be built like this, or the site has errors", "2:wrong usage"})
final class WiringCommand implements Callable<Integer> {
    private static final int WIDTH_OF_A_PIPE = 120;

    private final Console console;

    @Parameters(paramLabel = "SITE", description = "The site's folder.")
    Path site;

    @Option(names = "--propose", description = "Propose pins for what has none, as a snippet to paste into panel.json; with chips, where the"
            + " header is full. Writes nothing.")
    boolean propose;

    @Option(names = "--json", description = "Print everything as one JSON object, for programs.")
    boolean json;

    @Spec
    CommandSpec spec;

    WiringCommand(Console console) {
        this.console = console;
    }

    @Override
    public Integer call() {
        SiteFolder folder = SiteFolder.read(site);
        Site read = folder.orComplain(console);
        WiringPlan plan = WiringPlan.of(read.panel());
        Optional<Proposal> proposal = propose ? Proposal.of(read.panel()) : Optional.empty();
        if (json) {
            console.out().print(WiringJson.of(read.name(), plan, proposal));
        } else if (propose) {
            console.out().print(
                    proposal.map(each -> each.text(width())).orElse("Everything has its pin; nothing to propose.\n"));
        } else {
            console.out().print(WiringText.of(read.name(), plan, width()));
            problems(folder, plan.problems());
        }
        return plan.hasErrors() ? 1 : 0;
    }

    private void problems(SiteFolder folder, List<Problem> problems) {
        if (problems.isEmpty()) {
            return;
        }
        console.out().println();
        console.out().print(new ProblemText(SourceLines.in(folder.path()), console.colours()).render(problems));
        long errors = problems.stream().filter(each -> each.severity() == Problem.Severity.ERROR).count();
        console.out().println(errors == 0
                ? "It can be built like this; read the warnings first."
                : "Do not build it like this: mend what is marked as an error.");
    }

    /** The terminal's, or what the person has set; a file or a pipe has room. */
    private int width() {
        String columns = console.environment().getOrDefault("COLUMNS", "");
        return columns.matches("[1-9][0-9]{1,3}")
                ? Integer.parseInt(columns)
                : console.terminal()
                        ? spec.commandLine().getUsageHelpWidth()
                        : WIDTH_OF_A_PIPE;
    }
}
