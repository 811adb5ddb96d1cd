package bellpush.tests.simulation;

import bellpush.config.load.Loaded;
import bellpush.config.load.SiteLoader;
import bellpush.config.model.Site;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.function.UnaryOperator;
import java.util.stream.Stream;

/** Sites to play: the village hall, small ones from a seed, and copies of both with something changed. All are read by the loader. */
final class Halls {
    private static final Set<String> DRIVERS = Set.of("tcp", "udp", "osc");
    private static final Path VILLAGE_HALL = Path.of(System.getProperty("bellpush.house", ".."))
            .resolve("config/sites/village-hall");

    private Halls() {}

    static Site villageHall() {
        return load(VILLAGE_HALL);
    }

    /** The village hall, and what an admin has made of it since: macros, lamps and paces changed, a device more, controls less. */
    static List<Site> villageHalls() {
        Map<String, UnaryOperator<String>> changes = Map.of(
                "devices.json", text -> text.replace("\"room-lights\":",
                        "\"foyer-lights\": { \"label\": \"Foyer\", \"kind\": \"light-rack\", \"address\": \"192.168.40.73\" },"
                                + " \"room-lights\":"),
                "kinds/hall-mixer.json", text -> text.replace("\"fastest\": \"5 ms\",", "\"fastest\": \"8 ms\","),
                "macros/lights-low.json", text -> text.replace("\"steps\": [",
                        "\"steps\": [{ \"set\": { \"foyer-lights.scene\": \"full\" } },"),
                "macros/interval.json", text -> text.replace("\"over\": \"6 s\"", "\"over\": \"3 s\""),
                "macros/key-off.json",
                text -> text.replace("\"lane\": \"keyer\",", "\"lane\": \"keyer\", \"again\": \"restart\","),
                "panel.json", text -> text.replace("\"failedFor\": \"", "\"failedFor\": \"1"));
        return List.of(villageHall(), villageHall(changes));
    }

    /** The village hall with something else in its files. @param change from a file's name and text to its new text */
    static Site villageHall(Map<String, UnaryOperator<String>> changes) {
        return of(changed(files(VILLAGE_HALL), changes));
    }

    /** @param edition 0: as it was first written */
    static Site random(long seed, int edition) {
        return of(new RandomSite(seed, edition).files());
    }

    /** Puts something else into some of a site's files; what is not in them any more is a mistake of the test. */
    static Map<String, String> changed(Map<String, String> files, Map<String, UnaryOperator<String>> changes) {
        Map<String, String> changed = new TreeMap<>(files);
        changes.forEach((name, change) -> changed.compute(name, (_, text) -> {
            String after = change.apply(text);
            if (after.equals(text)) {
                throw new IllegalArgumentException("nothing was changed in " + name);
            }
            return after;
        }));
        return changed;
    }

    private static Map<String, String> files(Path folder) {
        Map<String, String> files = new TreeMap<>();
        try (Stream<Path> all = Files.walk(folder)) {
            for (Path each : all.filter(Files::isRegularFile).toList()) {
                files.put(folder.relativize(each).toString().replace('\\', '/'), Files.readString(each));
            }
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
        return files;
    }

    /** @param files their text by their name in the site's folder */
    static Site of(Map<String, String> files) {
        try {
            Path folder = Files.createTempDirectory("simulated-site");
            try {
                for (Map.Entry<String, String> each : files.entrySet()) {
                    Path file = folder.resolve(each.getKey());
                    Files.createDirectories(file.getParent());
                    Files.writeString(file, each.getValue());
                }
                return load(folder);
            } finally {
                List<Path> all;
                try (Stream<Path> walk = Files.walk(folder)) {
                    all = walk.sorted(Comparator.reverseOrder()).toList();
                }
                for (Path each : all) {
                    Files.delete(each);
                }
            }
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static Site load(Path folder) {
        Loaded loaded = SiteLoader.load(folder, DRIVERS);
        return loaded.site().orElseThrow(() -> new IllegalStateException("a site to be simulated has problems: "
                + loaded.problems()));
    }
}
