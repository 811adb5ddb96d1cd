package bellpush.runtime.cli;

import bellpush.config.load.Loaded;
import bellpush.config.load.SiteLoader;
import bellpush.config.model.Accepted;
import bellpush.config.model.Device;
import bellpush.config.model.Kind;
import bellpush.config.model.Rehearsal;
import bellpush.config.model.Site;
import bellpush.config.problem.Problem;
import bellpush.config.problem.ProblemText;
import bellpush.config.problem.SourceLines;
import bellpush.drivers.Drivers;
import bellpush.drivers.spi.Driver;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;

/**
 * A site's folder, read with everything that a checker and its drivers have to say about it.
 *
 * @param accepted findings of the checker that are meant
 * @param problems of the files, and of kinds that their drivers cannot work with
 */
record SiteFolder(Path path, Drivers drivers, Optional<Site> site, List<Rehearsal> rehearsals, List<Accepted> accepted,
        List<Problem> problems) {
    static SiteFolder read(Path path) {
        Drivers drivers = installed();
        Loaded loaded = SiteLoader.load(path, drivers.names());
        List<Problem> problems = new ArrayList<>(loaded.problems());
        loaded.site().ifPresent(site -> problems.addAll(complaints(site, drivers)));
        return new SiteFolder(path, drivers, loaded.site(), loaded.rehearsals(), loaded.accepted(),
                List.copyOf(problems));
    }

    private static Drivers installed() {
        try {
            return Drivers.installed();
        } catch (IllegalStateException e) {
            throw new Complaint(e.getMessage());
        }
    }

    private static List<Problem> complaints(Site site, Drivers drivers) {
        Set<Kind> kinds = new LinkedHashSet<>();
        site.devices().values().stream().map(Device::kind).forEach(kinds::add);
        List<Problem> problems = new ArrayList<>();
        for (Kind kind : kinds) {
            drivers.named(kind.driver()).ifPresent(driver -> driver.complaints(kind)
                    .forEach(found -> problems.add(new Problem(Problem.Severity.ERROR, kind.at(), 1, found,
                            "The driver " + driver.name() + " cannot speak to devices of the kind " + kind.name()
                                    + " like this.",
                            "Change the kind, or name another driver in it."))));
        }
        for (Device device : site.devices().values()) {
            drivers.named(device.kind().driver()).ifPresent(driver -> driver.complaints(device)
                    .forEach(found -> problems.add(new Problem(Problem.Severity.ERROR, device.at(), 1, found,
                            "The driver " + driver.name() + " cannot use the settings of " + device.name()
                                    + " like this.",
                            "Change \"settings\" of the device."))));
        }
        return problems;
    }

    boolean hasErrors() {
        return site.isEmpty() || problems.stream().anyMatch(p -> p.severity() == Problem.Severity.ERROR);
    }

    /** The site, once its warnings are shown; or, with errors, all of them on {@code err}, and no site. */
    Site orComplain(Console console) {
        if (!problems.isEmpty()) {
            console.err().print(text(console));
            console.err().flush();
        }
        if (hasErrors()) {
            throw new Complaint(
                    "The site " + path + " cannot be run: " + count() + ". Mend them; bellpush check " + path
                            + " lists them again.");
        }
        return site.orElseThrow();
    }

    String text(Console console) {
        return words(console).render(problems);
    }

    ProblemText words(Console console) {
        return new ProblemText(SourceLines.in(path), console.colours());
    }

    /** Such as "2 errors and 1 warning". */
    String count() {
        long errors = problems.stream().filter(p -> p.severity() == Problem.Severity.ERROR).count();
        long warnings = problems.size() - errors;
        String e = errors + (errors == 1 ? " error" : " errors");
        String w = warnings + (warnings == 1 ? " warning" : " warnings");
        return warnings == 0 ? e : errors == 0 ? w : e + " and " + w;
    }

    Driver driver(String name) {
        return drivers.named(name)
                .orElseThrow(() -> new IllegalArgumentException("there is no driver called \"" + name + "\""));
    }
}
