package bellpush.runtime.cli;

import bellpush.config.model.Accepted;
import bellpush.config.model.Panel;
import bellpush.config.model.Site;
import bellpush.config.problem.Problem;
import bellpush.runtime.prove.Finding;
import bellpush.runtime.prove.Limits;
import bellpush.runtime.prove.Prover;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.concurrent.atomic.AtomicBoolean;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code bellpush check}: everything that is wrong with a site, at once, and whether its macros keep their promises. */
@Command(name = "check", description = {
    "Reads a site and names everything that is wrong with it at once: file, line and column,"
            + " why it matters, and the cure. Then tries every macro from every state that anybody may have left the gear"
            + " in, and tells how a promise can be broken. Connects to nothing and changes nothing."}, footer = {"",
                "Examples:",
                "  bellpush check hall", "  bellpush check hall --json | jq '.[].found'"}, exitCodeList = {
                    "0:no errors (there may be warnings)",
                    "1:errors, or a promise that can be broken", "2:wrong usage"})
final class CheckCommand implements Callable<Integer> {
    /** Before that nobody wonders whether anything is going on. */
    private static final long SOON_NANOS = 1_000_000_000L;

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
        Optional<Prover.Proof> proof = folder.hasErrors()
                ? Optional.empty()
                : folder.site().map(this::prove);
        List<Finding> findings = proof.map(Prover.Proof::findings).orElse(List.of());
        Map<Finding, Accepted> accepted = accepted(findings, folder.accepted());
        List<Finding> open = findings.stream().filter(finding -> !accepted.containsKey(finding)).toList();
        List<Problem> besides = new ArrayList<>(proof.map(CheckCommand::unproved).orElse(List.of()));
        List<Problem> outdated = proof.filter(Prover.Proof::complete).isEmpty()
                ? List.of()
                : folder.accepted().stream().filter(one -> !accepted.containsValue(one)).map(CheckCommand::outdated)
                        .toList();
        besides.addAll(outdated);
        if (json) {
            console.out().print(CheckJson.render(folder.problems(), besides, findings, accepted));
        } else {
            console.out().print(folder.text(console));
            console.out().print(folder.words(console).render(besides));
            console.out().print(FindingText.render(open, folder.words(console)));
            accepted.forEach((finding, one) -> console.out().println("accepted " + finding.at() + ": "
                    + finding.what().word() + " of " + finding.of()
                    + (finding.about().isEmpty() ? "" : " about " + finding.about()) + ", since: " + one.reason()));
            console.out().println(folder.hasErrors()
                    ? "The site " + site + " has " + folder.count() + "."
                    : (folder.problems().isEmpty()
                            ? open.isEmpty() ? "No problems: " : "No mistakes in the files: "
                            : "No errors, " + folder.count() + ": ")
                            + contents(folder.site().orElseThrow()) + ".");
            proof.ifPresent(p -> console.out().println(verdict(p, open.size(), accepted.size())));
        }
        return folder.hasErrors() || open.stream().anyMatch(FindingText::bad) ? 1 : 0;
    }

    /** A large site takes some seconds; on a terminal it is shown how far it is. */
    private Prover.Proof prove(Site whole) {
        if (!console.terminal()) {
            return Prover.prove(whole, Limits.DEFAULT);
        }
        long start = System.nanoTime();
        AtomicBoolean shown = new AtomicBoolean();
        Prover.Proof proof = Prover.prove(whole, Limits.DEFAULT, (done, of) -> {
            if (System.nanoTime() - start > SOON_NANOS) {
                shown.set(true);
                console.err().print("\rproving: " + done + " of " + of + " macros ");
                console.err().flush();
            }
        });
        if (shown.get()) {
            console.err().print("\r" + " ".repeat(40) + "\r");
            console.err().flush();
        }
        return proof;
    }

    private static List<Problem> unproved(Prover.Proof proof) {
        return proof.bounds().stream().map(bound -> new Problem(Problem.Severity.WARNING, bound.at(), 1,
                bound.of() + " was not proved: " + bound.why() + ".",
                "What was looked at of it has kept its promise, or is told here; of the rest nothing is known.",
                "Make it do less: fewer properties in its conditions, or a part of it as a macro with a button of its own."))
                .toList();
    }

    private static Map<Finding, Accepted> accepted(List<Finding> findings, List<Accepted> accepted) {
        Map<Finding, Accepted> map = new LinkedHashMap<>();
        for (Finding finding : findings) {
            accepted.stream()
                    .filter(one -> one.finding().equals(finding.what().word()) && one.of().equals(finding.of())
                            && one.about().equals(finding.about()))
                    .findFirst().ifPresent(one -> map.put(finding, one));
        }
        return map;
    }

    private static Problem outdated(Accepted accepted) {
        return new Problem(Problem.Severity.WARNING, accepted.at(), 1,
                "The accepted finding \"" + accepted.finding() + "\" of " + accepted.of()
                        + (accepted.about().isEmpty() ? "" : " about " + accepted.about()) + " is not found any more.",
                "Should it come back, it would go unseen.", "Remove it from \"accepted\".");
    }

    /** What was proved and how far it was looked. Nothing is called proved that was not gone through to the end. */
    private static String verdict(Prover.Proof proof, int open, int accepted) {
        String covered = String.format(Locale.ROOT,
                "%,d states of panel and gear in %,d ways, each of which stands for all values"
                        + " that make no difference",
                proof.states(), proof.ways());
        String found = open == 0 && accepted == 0
                ? "no promise can be broken"
                : open + (open == 1 ? " finding" : " findings")
                        + (accepted > 0 ? " and " + accepted + " accepted" : "");
        String head = proof.complete() ? "Proved" : "Proved in part";
        return (open == 0 && proof.complete() ? head : proof.complete() ? "Gone through to the end" : head) + ": "
                + proof.macros() + (proof.macros() == 1 ? " macro, " : " macros, ") + found + ". Covered: " + covered
                + "."
                + (proof.complete()
                        ? ""
                        : " Of " + many(proof.bounds().size(), "other")
                                + " nothing is claimed; see above.");
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
