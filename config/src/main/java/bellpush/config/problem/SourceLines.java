package bellpush.config.problem;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/** Looks up one line of a file of the site, to be shown with a problem. */
@FunctionalInterface
public interface SourceLines {
    /** The line without its line end, or empty if it cannot be had. Lines count from 1. */
    Optional<String> line(String file, int line);

    /** Reads files of {@code folder} when first asked and keeps them. Bytes that are not UTF-8 are shown as U+FFFD. */
    static SourceLines in(Path folder) {
        Map<String, List<String>> files = new HashMap<>();
        return (file, line) -> {
            List<String> lines = files.computeIfAbsent(file, name -> read(folder, name));
            return line >= 1 && line <= lines.size() ? Optional.of(lines.get(line - 1)) : Optional.empty();
        };
    }

    private static List<String> read(Path folder, String name) {
        try {
            Path path = folder.resolve(name);
            if (!Files.isRegularFile(path) || Files.size(path) > 4 * 1024 * 1024) {
                return List.of();
            }
            String text = new String(Files.readAllBytes(path), StandardCharsets.UTF_8);
            return List.of((text.startsWith("\uFEFF") ? text.substring(1) : text).split("\r\n|\r|\n", -1));
        } catch (IOException | InvalidPathException _) {
            return List.of(); // the problem is shown without its line
        }
    }
}
