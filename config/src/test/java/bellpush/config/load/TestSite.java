package bellpush.config.load;

import bellpush.config.problem.Problem;
import bellpush.config.problem.ProblemText;
import bellpush.config.problem.SourceLines;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.URISyntaxException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.Stream;

/** The small valid site of the test resources, to be changed by tests. Its files use every feature at least once. */
final class TestSite {
    static final Set<String> DRIVERS = Set.of("tcp", "udp", "osc", "lantern");

    private final Map<String, byte[]> files = new TreeMap<>();

    static TestSite hall() {
        return new TestSite().put(hallFolder());
    }

    static Path hallFolder() {
        try {
            return Path.of(TestSite.class.getResource("hall/site.json").toURI()).getParent();
        } catch (URISyntaxException e) {
            throw new IllegalStateException(e);
        }
    }

    private TestSite put(Path folder) {
        try (Stream<Path> paths = Files.walk(folder)) {
            for (Path path : paths.filter(Files::isRegularFile).toList()) {
                files.put(folder.relativize(path).toString().replace('\\', '/'), Files.readAllBytes(path));
            }
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
        return this;
    }

    Map<String, byte[]> files() {
        return files;
    }

    String text(String file) {
        return new String(files.get(file), StandardCharsets.UTF_8);
    }

    TestSite with(String file, String text) {
        files.put(file, text.getBytes(StandardCharsets.UTF_8));
        return this;
    }

    TestSite with(String file, byte[] bytes) {
        files.put(file, bytes);
        return this;
    }

    TestSite without(String file) {
        files.remove(file);
        return this;
    }

    /** Replaces one passage that must stand in the file exactly once. */
    TestSite change(String file, String from, String to) {
        String text = text(file);
        int at = text.indexOf(from);
        if (at < 0 || text.indexOf(from, at + 1) >= 0) {
            throw new IllegalArgumentException("not exactly once in " + file + ": " + from);
        }
        return with(file, text.substring(0, at) + to + text.substring(at + from.length()));
    }

    Path writeTo(Path folder) {
        try {
            for (Map.Entry<String, byte[]> file : files.entrySet()) {
                Path path = folder.resolve(file.getKey());
                Files.createDirectories(path.getParent());
                Files.write(path, file.getValue());
            }
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
        return folder;
    }

    Loaded load(Path folder) {
        return SiteLoader.load(writeTo(folder), DRIVERS);
    }

    /** What a terminal without colours shows. */
    String rendered(Path folder) {
        List<Problem> problems = load(folder).problems();
        return new ProblemText(SourceLines.in(folder), false).render(problems);
    }
}
