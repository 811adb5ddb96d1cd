package bellpush.runtime.cli;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.Callable;
import java.util.stream.Stream;
import picocli.CommandLine.Command;
import picocli.CommandLine.Parameters;

/** {@code bellpush new}: a small site to start from. */
@Command(name = "new", description = {
    "Writes a small site that works: one button with its lamp, one device with its kind, one macro"
            + " and one rehearsal, each with comments, and the schemas for your editor. Change it to what you have."}, footer = {
                "", "Example:", "  bellpush new hall && bellpush check hall && bellpush rehearse hall"})
final class NewCommand implements Callable<Integer> {
    /** Within the resource folder {@code bellpush/starter}. */
    private static final List<String> FILES = List.of("site.json", "panel.json", "devices.json",
            "kinds/lobby-light.json", "macros/doors-open.json", "rehearsals/evening.json");

    private final Console console;

    @Parameters(paramLabel = "DIR", description = "The new site's folder. Must not exist yet, or be empty.")
    Path folder;

    NewCommand(Console console) {
        this.console = console;
    }

    @Override
    public Integer call() {
        if (!isFree(folder)) {
            throw new Complaint(
                    folder + " is there already and is not an empty folder; nothing was written. Name another.");
        }
        try {
            for (String file : FILES) {
                Path target = folder.resolve(file);
                Files.createDirectories(target.getParent());
                try (InputStream starter = NewCommand.class.getResourceAsStream("/bellpush/starter/" + file)) {
                    Files.copy(starter, target);
                }
            }
        } catch (IOException e) {
            throw new Complaint("The site cannot be written to " + folder + " (" + e.getClass().getSimpleName()
                    + "). Check that you may write there.");
        }
        SchemaCommand.write(folder.resolve("schema"));
        console.out().println("A site with one button is in " + folder + ". Next:");
        console.out().println("  bellpush check " + folder);
        console.out().println("  bellpush rehearse " + folder);
        return 0;
    }

    private static boolean isFree(Path folder) {
        if (!Files.exists(folder)) {
            return true;
        }
        try (Stream<Path> inside = Files.list(folder)) {
            return inside.findAny().isEmpty();
        } catch (IOException e) {
            return false;
        }
    }
}
