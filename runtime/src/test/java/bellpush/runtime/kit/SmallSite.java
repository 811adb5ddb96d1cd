package bellpush.runtime.kit;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.load.Loaded;
import bellpush.config.load.SiteLoader;
import bellpush.config.model.Site;
import bellpush.config.problem.Problem;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Set;

/** A site of one device whose panel a test writes. */
public final class SmallSite {
    private SmallSite() {}

    /** @param panel JSON; the site must load without errors */
    public static Site with(String panel) {
        Loaded loaded = load(panel);
        assertThat(loaded.problems()).filteredOn(problem -> problem.severity() == Problem.Severity.ERROR).isEmpty();
        return loaded.site().orElseThrow();
    }

    /** The invented village hall that comes with Bellpush. */
    public static Site villageHall() {
        Loaded loaded = SiteLoader.load(Path.of(System.getProperty("bellpush.house"), "config/sites/village-hall"),
                Set.of("tcp", "udp", "osc"));
        assertThat(loaded.problems()).isEmpty();
        return loaded.site().orElseThrow();
    }

    static Loaded load(String panel) {
        try {
            Path folder = Files.createTempDirectory("small-site");
            try {
                Files.createDirectories(folder.resolve("kinds"));
                Files.createDirectories(folder.resolve("macros"));
                Files.writeString(folder.resolve("site.json"), "{ \"name\": \"Small hall\" }");
                Files.writeString(folder.resolve("devices.json"),
                        "{ \"desk\": { \"label\": \"Sound desk\", \"kind\": \"desk\", \"address\": \"127.0.0.1\" } }");
                Files.writeString(folder.resolve("kinds/desk.json"), """
                        { "driver": "udp", "port": 9000, "properties": {
                          "level": { "type": "number", "range": [-60, 10], "unit": "dB", "set": "LEVEL {value}", "report": "LEVEL {value}" },
                          "speed": { "type": "whole", "range": [-20, 20], "set": "SPEED {value}", "report": "SPEED {value}" },
                          "turn": { "type": "whole", "range": [-20, 20], "set": "TURN {value}" },
                          "rise": { "type": "whole", "range": [-20, 20], "set": "RISE {value}" },
                          "open": { "type": "flag", "set": "OPEN {value}", "report": "OPEN {value}" },
                          "light": { "type": "flag", "set": "LIGHT {value}" } } }
                        """);
                Files.writeString(folder.resolve("macros/open.json"), """
                        { "label": "Open", "steps": [{ "set": { "desk.open": true } }], "promise": { "desk.open": true } }
                        """);
                Files.writeString(folder.resolve("panel.json"), panel);
                return SiteLoader.load(folder, Set.of("udp"));
            } finally {
                try (var files = Files.walk(folder)) {
                    files.sorted(java.util.Comparator.reverseOrder()).forEach(path -> path.toFile().delete());
                }
            }
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }
}
