package bellpush.runtime.cli;

import bellpush.config.model.Rehearsal;
import bellpush.config.model.Site;
import bellpush.config.problem.DidYouMean;
import bellpush.runtime.log.EventLog;
import bellpush.runtime.panel.NoPanel;
import bellpush.runtime.panel.PanelChoice;
import bellpush.runtime.rehearse.Evening;
import bellpush.runtime.rehearse.RehearsalGear;
import bellpush.runtime.screen.DrawnPanel;
import bellpush.runtime.show.Show;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code bellpush rehearse}: the real program with simulated gear, by hand or by a script. */
@Command(name = "rehearse", description = {
    "Runs a site with simulated gear in place of the real: nothing outside this computer is"
            + " spoken to or moved. On a terminal the panel is drawn and you press it; elsewhere, or with --script, a scripted"
            + " evening is played, a line for each thing that happens."}, footer = {"", "Examples:",
                "  bellpush rehearse", "  bellpush rehearse hall --script evening",
                "  bellpush rehearse hall --panel board     (the real panel, to train volunteers)"}, exitCodeList = {
                    "0:the evening went as the script expects, or you have left the panel",
                    "1:an expectation was missed, or it could not start", "2:wrong usage"})
final class RehearseCommand implements Callable<Integer> {
    private static final String DEMO = "village-hall";
    private static final String SCRIPT = "evening";
    private static final long SETTLE_MS = 2_000;

    private final Console console;
    private final Bellpush top;

    @Parameters(paramLabel = "SITE", arity = "0..1", description = "The site's folder. Without it: the village hall that comes with Bellpush.")
    Path folder;

    @Option(names = "--script", paramLabel = "NAME", description = "Play rehearsals/NAME.json of the site. Without a terminal:"
            + " \"evening\", or the only one there is.")
    String script;

    @Option(names = "--seed", paramLabel = "N", defaultValue = "1", description = "For what is random in the gear's faults, so that an evening can be repeated. Default: ${DEFAULT-VALUE}.")
    long seed;

    @Option(names = "--log", paramLabel = "DIR", description = "Write an event log to this folder. Without this option: none.")
    Path log;

    @Mixin
    PanelOptions panelOptions;

    RehearseCommand(Console console, Bellpush top) {
        this.console = console;
        this.top = top;
    }

    @Override
    public Integer call() throws InterruptedException {
        SiteFolder read = SiteFolder.read(folder == null ? demo() : folder);
        Site site = read.orComplain(console);
        boolean byHand = script == null
                && (console.terminal() || panelOptions.asked());
        Optional<Rehearsal> evening = byHand ? Optional.empty() : Optional.of(script(read));
        try (Stop stop = new Stop(); RehearsalGear gear = RehearsalGear.start(site, read::driver, seed)) {
            gear.missing().forEach(device -> console.err()
                    .println("\"" + device + "\" cannot be simulated by its driver; its link stays down."));
            PanelOptions.Opened panel = byHand || panelOptions.asked()
                    ? panelOptions.choose(gear.site(), console, false, "Rehearsal: simulated gear", stop::now)
                    : new PanelOptions.Opened(new NoPanel("the script presses"), Optional.empty(), Optional.empty(),
                            new PanelChoice(PanelChoice.Kind.NONE, "the script presses"),
                            "");
            Watcher watcher = new Watcher(console, panel.screen());
            EventLog events = log == null ? null : EventLog.open(log, site.limits().logQueue(), watcher::say);
            try (events; Show show = new Show(gear.site(), panel.panel(), error -> watcher.trace(error, top.debug))) {
                if (events != null) {
                    show.tap(events);
                }
                panel.screen().ifPresent(screen -> {
                    show.tap(new ScreenFeed(gear.site(), show, screen));
                    screen.practise(new PractisedTrouble(gear, seed, text -> show.recordLater("note", text)));
                });
                return evening.isPresent()
                        ? play(evening.get(), show, gear, panel, stop, read)
                        : leave(show, gear.site(), panel, watcher, stop, read);
            } finally {
                watcher.end();
                panelOptions.sayWhereRecordsAre(console, events);
            }
        }
    }

    /** The script's hands: every act in its order, and how it went. */
    private int play(Rehearsal evening, Show show, RehearsalGear gear, PanelOptions.Opened panel, Stop stop,
            SiteFolder read) {
        PrintWriter out = panel.screen().map(screen -> new PrintWriter(new LineWriter(screen::line), true))
                .orElse(console.out());
        out.println(gear.site().name() + ", rehearsal \"" + evening.name() + "\""
                + (evening.about().isEmpty() ? "" : ": " + evening.about()));
        out.println("Script: " + read.path().resolve("rehearsals").resolve(evening.name() + ".json"));
        Evening playing = new Evening(show, gear, evening, out, console.colours() && panel.screen().isEmpty());
        stop.interrupting(Thread.currentThread());
        try {
            show.start(read::driver);
            Evening.Result result = playing.play();
            String verdict = result.good()
                    ? "The evening went as expected: " + many(result.expectations()) + " met."
                    : result.missed() + " of " + many(result.expectations()) + " MISSED.";
            panel.screen().ifPresent(DrawnPanel::close); // gives the terminal back; closing it again does nothing
            console.out().println(verdict);
            return result.good() ? 0 : 1;
        } catch (InterruptedException e) {
            console.err().println("Stopped before the end.");
            stop.endWith(1);
            return 1;
        } finally {
            stop.interrupting(null);
        }
    }

    private static String many(int expectations) {
        return expectations + (expectations == 1 ? " expectation" : " expectations");
    }

    /** Somebody's own hands, until they leave; or an edge trace, until a moment after its end. */
    private int leave(Show show, Site site, PanelOptions.Opened panel, Watcher watcher, Stop stop, SiteFolder read)
            throws InterruptedException {
        if (panel.screen().isEmpty()) {
            show.tap(watcher);
            watcher.say(site.name() + ", rehearsal with simulated gear: " + CheckCommand.contents(site) + ". Panel: "
                    + panel.describe() + ". Ctrl-C ends it.");
        }
        if (panel.screen().isEmpty()) {
            panel.trace().ifPresent(trace -> trace.played().thenRun(
                    () -> CompletableFuture.delayedExecutor(SETTLE_MS, TimeUnit.MILLISECONDS).execute(stop::now)));
        }
        show.start(read::driver);
        stop.await();
        return 0;
    }

    private static Path demo() {
        String sites = System.getProperty(Bellpush.DEMO_SITES, "");
        Path demo = Path.of(sites, DEMO);
        if (sites.isEmpty() || !Files.isDirectory(demo)) {
            throw new Complaint("The village hall that comes with Bellpush was not found"
                    + (sites.isEmpty() ? "" : " in " + sites) + ". Name your own site: bellpush rehearse SITE.");
        }
        return demo;
    }

    private Rehearsal script(SiteFolder read) {
        List<Rehearsal> scripts = read.rehearsals();
        List<String> names = scripts.stream().map(Rehearsal::name).toList();
        if (scripts.isEmpty()) {
            throw new Complaint("The site " + read.path() + " has no scripted rehearsal. Write " + read.path()
                    + "/rehearsals/" + SCRIPT + ".json, or run this on a terminal to press the panel yourself.");
        }
        String wanted = script != null
                ? script
                : names.contains(SCRIPT) || names.size() > 1 ? SCRIPT : names.getFirst();
        return scripts.stream().filter(rehearsal -> rehearsal.name().equals(wanted)).findFirst()
                .orElseThrow(() -> new Complaint("There is no rehearsal \"" + wanted + "\" in " + read.path()
                        + "/rehearsals. " + DidYouMean.cure(wanted, names, "")));
    }
}
