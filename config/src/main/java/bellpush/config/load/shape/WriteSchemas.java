package bellpush.config.load.shape;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;

/** Writes the schemas that ship with the project into the folder given, {@code src/main/resources/bellpush/schema}. */
public final class WriteSchemas {
    private WriteSchemas() {}

    public static void main(String[] args) throws IOException {
        Path folder = Files.createDirectories(Path.of(args[0]));
        for (FileShape file : FileShape.values()) {
            Files.writeString(folder.resolve(file.word() + ".json"), file.schema());
        }
    }
}
