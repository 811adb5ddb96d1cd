package bellpush.runtime.cli;

import bellpush.config.model.Site;
import bellpush.runtime.kit.print.Labels;
import bellpush.runtime.kit.print.Paper;
import java.io.IOException;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Iterator;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.ITypeConverter;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.TypeConversionException;

/** {@code bellpush labels}: what to print. */
@Command(name = "labels", description = {
    "Draws, at true size, as PDF and SVG: label strips, the front of the panel with its holes, and a"
            + " card for the volunteer. Print at 100 %%, without \"fit to page\": every page to measure from has rulers."}, footer = {
                "", "Examples:", "  bellpush labels hall",
                "  bellpush labels hall --out print --paper letter"}, exitCodeList = {
                    "0:written (there may be notes)", "1:something is wrong, and the output says what",
                    "2:wrong usage"})
final class LabelsCommand implements Callable<Integer> {
    private final Console console;

    @Parameters(paramLabel = "SITE", description = "The site's folder.")
    Path site;

    @Option(names = "--out", paramLabel = "DIR", description = "Where to; made if it is missing. Files of the same names are replaced."
            + " Without this option: the folder \"labels\" of the site.")
    Path out;

    @Option(names = "--paper", paramLabel = "a4|letter", defaultValue = "a4", converter = PaperWord.class, completionCandidates = PaperWords.class, description = "The printer's paper. Default: ${DEFAULT-VALUE}.")
    Paper paper;

    /** The words of {@code --paper}. */
    static final class PaperWord implements ITypeConverter<Paper> {
        @Override
        public Paper convert(String word) {
            return Arrays.stream(Paper.values()).filter(paper -> paper.word().equals(word)).findFirst()
                    .orElseThrow(() -> new TypeConversionException("it is a4 or letter, not \"" + word + "\""));
        }
    }

    /** The same words for the shell's completion, which would offer the names of the constants. */
    static final class PaperWords implements Iterable<String> {
        @Override
        public Iterator<String> iterator() {
            return Arrays.stream(Paper.values()).map(Paper::word).iterator();
        }
    }

    LabelsCommand(Console console) {
        this.console = console;
    }

    @Override
    public Integer call() {
        SiteFolder folder = SiteFolder.read(site);
        Site read = folder.orComplain(console);
        Path to = out == null ? folder.path().resolve("labels") : out;
        Labels.Result result;
        try {
            result = Labels.write(read, paper, to);
        } catch (IOException e) {
            throw new Complaint("The labels cannot be written to " + to + " (" + e.getClass().getSimpleName()
                    + "). Check that it is a folder and that you may write there.");
        }
        result.files().forEach(file -> console.out().println(file.file() + ": " + file.about()));
        result.notes().forEach(note -> console.out().println("Note: " + note));
        console.out().println(
                "Print at 100 %, without \"fit to page\", and measure the rulers before you cut or drill. Hole sizes are the"
                        + " usual ones: check each part's data sheet. Wear eye protection when you drill.");
        return 0;
    }
}
