package bellpush.runtime.cli;

import bellpush.config.load.shape.FileShape;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Parameters;

/** {@code bellpush schema}: the JSON Schemas, for editors. */
@Command(name = "schema", description = {
    "Writes the JSON Schemas (2020-12) of a site's files to a folder, so that an editor completes"
            + " and underlines. Point each file at its schema: \"$schema\": \"DIR/panel.json\"."}, footer = {"",
                "Example:", "  bellpush schema hall/schema"})
final class SchemaCommand implements Callable<Integer> {
    private final Console console;

    @Parameters(paramLabel = "DIR", description = "Where to; made if it is missing. Files of the same names are replaced.")
    Path folder;

    SchemaCommand(Console console) {
        this.console = console;
    }

    @Override
    public Integer call() {
        int written = write(folder);
        console.out().println(written + " schemas written to " + folder + ".");
        return 0;
    }

    static int write(Path folder) {
        try {
            Files.createDirectories(folder);
            for (FileShape shape : FileShape.values()) {
                Files.writeString(folder.resolve(shape.word() + ".json"), shape.schema());
            }
        } catch (IOException e) {
            throw new Complaint("The schemas cannot be written to " + folder + " (" + e.getClass().getSimpleName()
                    + "). Check that it is a folder and that you may write there.");
        }
        return FileShape.values().length;
    }
}
