package bellpush.runtime.cli;

import bellpush.config.model.Site;
import bellpush.runtime.log.EventLog;
import bellpush.runtime.show.Show;
import java.nio.file.Path;
import java.util.Optional;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code bellpush run}: the event itself. */
@Command(name = "run", description = {
    "Runs a site: reads the panel, speaks to the gear, lights the lamps, and writes the event log."
            + " Ends when told to stop (Ctrl-C, or SIGTERM from the system).",
    "",
    "This moves real gear. Keep people away from cameras on rails and other moving parts while you try macros, and"
            + " rehearse them first."}, footer = {"", "Examples:", "  bellpush run hall",
                "  bellpush run hall --panel screen --log /var/log/hall"}, exitCodeList = {"0:stopped when told to",
                    "1:it could not start, and the output says why", "2:wrong usage"})
final class RunCommand implements Callable<Integer> {
    private final Console console;
    private final Bellpush top;

    @Parameters(paramLabel = "SITE", description = "The site's folder.")
    Path folder;

    @Mixin
    PanelOptions panelOptions;

    @Option(names = "--log", paramLabel = "DIR", description = "Where the event log goes, a new file each start. Without this option: the folder logs of the site.")
    Path log;

    RunCommand(Console console, Bellpush top) {
        this.console = console;
        this.top = top;
    }

    @Override
    public Integer call() throws InterruptedException {
        SiteFolder read = SiteFolder.read(folder);
        Site site = read.orComplain(console);
        try (Stop stop = new Stop()) {
            PanelOptions.Opened panel = panelOptions.choose(site, console, true, "Real gear",
                    stop::now);
            Watcher watcher = new Watcher(console, panel.screen());
            EventLog events = EventLog.open(Optional.ofNullable(log).orElse(folder.resolve("logs")),
                    site.limits().logQueue(), watcher::say);
            try (events; Show show = new Show(site, panel.panel(), error -> watcher.trace(error, top.debug))) {
                show.tap(events);
                panel.screen().ifPresent(screen -> show.tap(new ScreenFeed(site, show, screen)));
                if (panel.screen().isEmpty()) {
                    show.tap(watcher);
                }
                watcher.say(site.name() + ": " + CheckCommand.contents(site) + ".");
                show.start(read::driver);
                show.recordLater("panel", "Panel: " + panel.describe());
                stop.await();
            } finally {
                watcher.end();
                panelOptions.sayWhereRecordsAre(console, events);
            }
            console.out().println("Stopped.");
            console.out().flush();
        }
        return 0;
    }
}
