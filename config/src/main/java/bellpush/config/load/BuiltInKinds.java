package bellpush.config.load;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;

/** The kinds that ship with the project: files beside the resource {@code bellpush/kinds/index.txt}, which names them. */
final class BuiltInKinds {
    static final String FOLDER = "bellpush/kinds/";

    private BuiltInKinds() {}

    /** Names, one a line in the index; lines that begin with # are notes. */
    static Set<String> names() {
        Set<String> names = new TreeSet<>();
        bytes("index.txt").ifPresent(bytes -> new String(bytes, StandardCharsets.UTF_8).lines().map(String::strip)
                .filter(line -> !line.isEmpty() && !line.startsWith("#")).forEach(names::add));
        return names;
    }

    static Optional<byte[]> bytes(String file) {
        try (InputStream in = BuiltInKinds.class.getClassLoader().getResourceAsStream(FOLDER + file)) {
            return in == null ? Optional.empty() : Optional.of(in.readAllBytes());
        } catch (IOException _) {
            return Optional.empty(); // a jar that cannot be read: the kind is then unknown, which is said where it is used
        }
    }
}
