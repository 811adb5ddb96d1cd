package bellpush.config.load;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Macro;
import bellpush.config.model.Panel;
import bellpush.config.model.Site;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What we give to admins as an example has no problem itself: the demo sites, and every JSON file that the README shows. */
class DemoSitesTest {
    private static final Path HOUSE = Path.of(System.getProperty("bellpush.house", ".."));
    private static final Path SITES = HOUSE.resolve("config/sites");
    private static final Path SCHEMAS = HOUSE.resolve("config/src/main/resources/bellpush/schema");
    private static final Pattern SHOWN_FILE = Pattern.compile("```jsonc\n// hall/(\\S+\\.json)\n(.*?)```",
            Pattern.DOTALL);
    private static final Pattern SCHEMA = Pattern.compile("\"\\$schema\": \"([^\"]+)\"");

    @Test
    void theVillageHallHasNoProblem() {
        load(SITES.resolve("village-hall"));
    }

    @Test
    void theFirstButtonHasNoProblem() {
        load(SITES.resolve("first-button"));
    }

    /** They run in another machine, where a mistake in them would be found late. */
    @Test
    void theSitesOfTheBoardTestCanBePlayed() {
        load(HOUSE.resolve("tests/board/sites/hall"));
        // uses every pin of the header, also those with a second job, of which the loader warns
        Loaded idle = SiteLoader.load(HOUSE.resolve("tests/board/sites/idle"), Set.of("tcp", "udp", "osc"));
        assertThat(idle.site()).isPresent();
    }

    @Test
    void theVillageHallIsAsLargeAsAnEveningNeeds() {
        Site site = load(SITES.resolve("village-hall"));
        Panel panel = site.panel();
        assertThat(site.devices()).hasSizeGreaterThanOrEqualTo(8);
        assertThat(site.devices().values().stream().map(d -> d.kind().name()).distinct())
                .hasSizeGreaterThanOrEqualTo(6);
        assertThat(site.devices().values().stream().map(d -> d.kind().driver()).distinct()).containsExactlyInAnyOrder(
                "tcp",
                "udp", "osc");
        assertThat(panel.buttons()).hasSizeGreaterThanOrEqualTo(18);
        assertThat(panel.knobs()).hasSizeGreaterThanOrEqualTo(2);
        assertThat(site.macros().values().stream().filter(m -> m.lanes().contains("keyer")))
                .hasSizeGreaterThanOrEqualTo(4);
    }

    /** All that the program offers to press must do something, and all that macros offer must be reachable. */
    @Test
    void everyMacroOfTheVillageHallIsRunByAControlOrByAnotherMacro() throws IOException {
        Path folder = SITES.resolve("village-hall");
        Set<String> named = new HashSet<>();
        for (Path file : jsonFiles(folder)) {
            Matcher name = Pattern.compile("\"(?:press|release|run|on|off)\": \"([a-z0-9-]+)\"")
                    .matcher(Files.readString(file));
            while (name.find()) {
                named.add(name.group(1));
            }
        }
        assertThat(named).containsAll(load(folder).macros().values().stream().map(Macro::family).toList());
    }

    @Test
    void everyMacroOfTheVillageHallPromisesWhatItIsFor() {
        assertThat(load(SITES.resolve("village-hall")).macros().values())
                .allSatisfy(macro -> assertThat(macro.promise()).as(macro.name()).isPresent());
    }

    @Test
    void everyDemoFileNamesTheSchemaOfItsOwnSort() throws IOException {
        for (Path site : List.of(SITES.resolve("village-hall"), SITES.resolve("first-button"))) {
            for (Path file : jsonFiles(site)) {
                Matcher named = SCHEMA.matcher(Files.readString(file));
                assertThat(named.find()).as("%s names a schema", file).isTrue();
                Path schema = file.resolveSibling(named.group(1)).normalize();
                assertThat(schema).as("the schema of %s", file).exists();
                assertThat(schema.getFileName()).as("the schema of %s", file)
                        .hasToString(schemaOf(site.relativize(file)));
                assertThat(schema.toRealPath().getParent()).isEqualTo(SCHEMAS.toRealPath());
            }
        }
    }

    /** The README shows a site file by file and lets it grow; each state in which a reader runs {@code check} has no problem. */
    @Test
    void theSitesThatTheReadmeShowsHaveNoProblem(@TempDir Path hall) throws IOException {
        Map<String, String> firstState = new LinkedHashMap<>();
        Matcher shown = SHOWN_FILE.matcher(Files.readString(HOUSE.resolve("README.md")));
        int files = 0;
        boolean grown = false;
        while (shown.find()) {
            String name = shown.group(1);
            if (!grown && (Files.exists(hall.resolve(name)) || Files.exists(hall.resolve("panel.json")))) {
                load(hall);
                grown = true;
            }
            if (!grown) {
                firstState.put(name, shown.group(2));
            }
            Files.createDirectories(hall.resolve(name).getParent());
            Files.writeString(hall.resolve(name), shown.group(2));
            files++;
        }
        assertThat(grown).isTrue();
        assertThat(files).as("files that the README shows").isGreaterThanOrEqualTo(10);
        assertThat(load(hall).panel().buttons()).hasSize(2);
        theFirstStateIsTheDemoSite(firstState);
    }

    /** The README says that the site lies ready in the folder first-button; there must be no second truth. */
    private static void theFirstStateIsTheDemoSite(Map<String, String> firstState) throws IOException {
        for (Map.Entry<String, String> file : firstState.entrySet()) {
            assertThat(withoutCommentsAndSpace(file.getValue())).as(file.getKey()).isEqualTo(
                    withoutCommentsAndSpace(Files.readString(SITES.resolve("first-button").resolve(file.getKey()))));
        }
    }

    private static String withoutCommentsAndSpace(String json) {
        return SCHEMA.matcher(json).replaceFirst("").replaceAll("(?m)//.*$", "").replaceAll("\\s+", "");
    }

    private static String schemaOf(Path file) {
        return file.getNameCount() == 1
                ? file.toString()
                : Map.of("kinds", "kind.json", "macros", "macro.json", "rehearsals", "rehearsal.json")
                        .get(file.getName(0).toString());
    }

    private static List<Path> jsonFiles(Path site) throws IOException {
        try (Stream<Path> files = Files.walk(site)) {
            return files.filter(f -> f.toString().endsWith(".json")).sorted().toList();
        }
    }

    private static Site load(Path folder) {
        Loaded loaded = SiteLoader.load(folder, Set.of("tcp", "udp", "osc"));
        assertThat(loaded.problems()).isEmpty();
        return loaded.site().orElseThrow();
    }
}
