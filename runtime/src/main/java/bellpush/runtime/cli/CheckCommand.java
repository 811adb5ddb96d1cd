package bellpush.runtime.cli;

import bellpush.config.model.Panel;
import bellpush.config.model.Site;
import bellpush.config.problem.ProblemJson;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code bellpush check}: everything that is wrong with a site, at once. */
@Command(name = "check", description = {
    "Reads a site and names everything that is wrong with it at once: file, line and column,"
            + " why it matters, and the cure. Connects to nothing and changes nothing."}, footer = {"", "Examples:",
                "  bellpush check hall", "  bellpush check hall --json | jq '.[].found'"}, exitCodeList = {
                    "0:no errors (there may be warnings)", "1:errors; the site would not run", "2:wrong usage"})
final class CheckCommand implements Callable<Integer> {
    private final Console console;

    @Parameters(paramLabel = "SITE", description = "The site's folder.")
    Path site;

    @Option(names = "--json", description = "Print the problems as a JSON array, for programs.")
    boolean json;

    CheckCommand(Console console) {
        this.console = console;
    }

    @Override
    public Integer call() {
        SiteFolder folder = SiteFolder.read(site);
        if (json) {
            console.out().print(ProblemJson.render(folder.problems()));
        } else {
            console.out().print(folder.text(console));
            console.out().println(folder.hasErrors()
                    ? "The site " + site + " has " + folder.count() + "."
                    : (folder.problems().isEmpty() ? "No problems: " : "No errors, " + folder.count() + ": ")
                            + contents(folder.site().orElseThrow()) + ".");
        }
        return folder.hasErrors() ? 1 : 0;
    }

    /** What is in a site, for people; controls that few sites have are named only where there are some. */
    static String contents(Site site) {
        Panel panel = site.panel();
        List<String> parts = new ArrayList<>(List.of(many(site.devices().size(), "device"),
                many(site.macros().size(), "macro"), many(panel.buttons().size(), "button")));
        some(panel.switches().size(), "switch", parts);
        parts.add(many(panel.knobs().size(), "knob"));
        some(panel.faders().size(), "fader", parts);
        some(panel.joysticks().size(), "joystick", parts);
        parts.add(many(panel.lamps().size(), "lamp"));
        return String.join(", ", parts);
    }

    private static void some(int count, String word, List<String> parts) {
        if (count > 0) {
            parts.add(many(count, word));
        }
    }

    private static String many(int count, String word) {
        return count + " " + word + (count == 1 ? "" : word.endsWith("h") ? "es" : "s");
    }
}
