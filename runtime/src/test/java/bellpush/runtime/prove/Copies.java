package bellpush.runtime.prove;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.load.Loaded;
import bellpush.config.load.SiteLoader;
import bellpush.config.model.Site;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Set;
import java.util.stream.Stream;

/** Copies of the village hall with something changed in its files. */
final class Copies {
    static final Path HALL = Path.of(System.getProperty("bellpush.house", "..")).resolve("config/sites/village-hall");

    private final Path folder;

    Copies(Path folder) {
        this.folder = folder;
        try (Stream<Path> files = Files.walk(HALL)) {
            for (Path file : files.toList()) {
                Path to = folder.resolve(HALL.relativize(file).toString());
                if (Files.isDirectory(file)) {
                    Files.createDirectories(to);
                } else {
                    Files.copy(file, to);
                }
            }
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    Copies change(String file, String from, String to) {
        Path path = folder.resolve(file);
        try {
            String text = Files.readString(path);
            assertThat(text).as("%s can be changed where the test changes it", file).contains(from);
            Files.writeString(path, text.replace(from, to));
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
        return this;
    }

    Copies write(String file, String text) {
        try {
            Files.writeString(folder.resolve(file), text);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
        return this;
    }

    Path folder() {
        return folder;
    }

    Site site() {
        Loaded loaded = SiteLoader.load(folder, Set.of("tcp", "udp", "osc"));
        assertThat(loaded.site()).as("%s", loaded.problems()).isPresent();
        return loaded.site().get();
    }
}
