package bellpush.runtime.log;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.charset.StandardCharsets;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class LogFileTest {
    @TempDir
    Path folder;

    @Test
    void halfALineThatAFullDiskLeftBehindIsOverwritten() throws Exception {
        Path path = folder.resolve("a.jsonl");
        try (LogFile file = LogFile.create(path)) {
            file.append("one\n".getBytes(StandardCharsets.UTF_8));
            Files.writeString(path, "tw", StandardOpenOption.APPEND); // what a write that failed in the middle leaves
            file.append("two\n".getBytes(StandardCharsets.UTF_8));
            file.sync();
        }
        assertThat(Files.readString(path)).isEqualTo("one\ntwo\n");
    }

    @Test
    void aFileThatIsThereAlreadyIsLeftAlone() throws Exception {
        Path path = Files.writeString(folder.resolve("a.jsonl"), "old\n");
        assertThatThrownBy(() -> LogFile.create(path)).isInstanceOf(FileAlreadyExistsException.class);
        assertThat(Files.readString(path)).isEqualTo("old\n");
    }

    @Test
    void itKnowsWhenItWasDeletedOrReplaced() throws Exception {
        Path path = folder.resolve("a.jsonl");
        try (LogFile file = LogFile.create(path)) {
            assertThat(file.isThere()).isTrue();
            Files.delete(path);
            assertThat(file.isThere()).isFalse();
            Files.writeString(path, "another");
            assertThat(file.isThere()).isFalse();
        }
    }
}
