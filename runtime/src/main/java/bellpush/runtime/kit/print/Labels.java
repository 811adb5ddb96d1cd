package bellpush.runtime.kit.print;

import bellpush.config.model.Site;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;

/** Writes everything that is printed for a panel to a folder. */
public final class Labels {
    /**
     * @param file  within the folder
     * @param about what is in it, for a line of output
     */
    public record Written(Path file, String about) {}

    /** @param notes what the builder should know or mend, in sentences */
    public record Result(List<Written> files, List<String> notes) {}

    private final Path folder;
    private final Typeface face = Typeface.load();
    private final List<Written> written = new ArrayList<>();

    private Labels(Path folder) {
        this.folder = folder;
    }

    /**
     * Label strips, front and cue card of the site, each as PDF and as SVG. Files of the same names are replaced.
     *
     * @param folder made if it is missing
     * @throws IOException if a file cannot be written
     */
    public static Result write(Site site, Paper paper, Path folder) throws IOException {
        Files.createDirectories(folder);
        return new Labels(folder).write(site, paper);
    }

    private Result write(Site site, Paper paper) throws IOException {
        Front front = Front.of(site.panel());
        LinkedHashSet<String> notes = new LinkedHashSet<>(front.notes());

        Pages strips = LabelStrips.of(site.name(), front, paper, face);
        both("strips", "label strips to cut out", strips);
        notes.addAll(strips.notes());

        FacePlate plate = new FacePlate(site.name(), front, paper, face);
        Pages tiles = plate.pages();
        pdf("front", "the front with its holes, and a table of them", tiles.sheets());
        svg("front", "the front in one piece", List.of(plate.whole()));
        notes.addAll(tiles.notes());

        Pages card = CueCard.of(site, front, paper, face);
        both("cue-card", "the card for the volunteer", card);
        notes.addAll(card.notes());
        return new Result(List.copyOf(written), List.copyOf(notes));
    }

    private void both(String name, String about, Pages pages) throws IOException {
        pdf(name, about, pages.sheets());
        svg(name, about, pages.sheets());
    }

    private void pdf(String name, String about, List<Sheet> sheets) throws IOException {
        Path file = folder.resolve(name + ".pdf");
        PdfWriter.write(sheets, file, face);
        written.add(new Written(file, about + ", " + sheets.size() + (sheets.size() == 1 ? " page" : " pages")));
    }

    private void svg(String name, String about, List<Sheet> sheets) throws IOException {
        for (int i = 0; i < sheets.size(); i++) {
            Path file = folder.resolve(name + (sheets.size() == 1 ? "" : "-" + (i + 1)) + ".svg");
            SvgWriter.write(sheets.get(i), file, face);
            written.add(new Written(file, about + (sheets.size() == 1 ? "" : ", page " + (i + 1))));
        }
    }
}
