package bellpush.runtime.log;

import java.io.IOException;
import java.io.RandomAccessFile;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Comparator;
import java.util.Optional;
import java.util.stream.StreamSupport;

/** Whether the last evening's log ends in the middle of a line, as a power cut leaves it. */
final class TornLine {
    private TornLine() {}

    /** The name of the newest log of the folder, if its last line is torn. A folder that cannot be read has none. */
    static Optional<String> in(Path folder) {
        try (DirectoryStream<Path> logs = Files.newDirectoryStream(folder, "evening-*.jsonl")) {
            return StreamSupport.stream(logs.spliterator(), false)
                    .max(Comparator.comparing(log -> log.getFileName().toString())).filter(TornLine::isTorn)
                    .map(log -> log.getFileName().toString());
        } catch (IOException e) {
            return Optional.empty();
        }
    }

    private static boolean isTorn(Path log) {
        try (RandomAccessFile file = new RandomAccessFile(log.toFile(), "r")) {
            if (file.length() == 0) {
                return false;
            }
            file.seek(file.length() - 1);
            return file.read() != '\n';
        } catch (IOException e) {
            return false;
        }
    }
}
