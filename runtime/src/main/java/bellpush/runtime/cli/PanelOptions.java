package bellpush.runtime.cli;

import bellpush.config.model.Site;
import bellpush.runtime.log.EventLog;
import bellpush.runtime.panel.BoardPanel;
import bellpush.runtime.panel.EdgeRecorder;
import bellpush.runtime.panel.EdgeTracePanel;
import bellpush.runtime.panel.NoPanel;
import bellpush.runtime.panel.Panel;
import bellpush.runtime.panel.PanelChoice;
import bellpush.runtime.panel.Pi4JBank;
import bellpush.runtime.screen.DrawnPanel;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Iterator;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicReference;
import java.util.function.Supplier;
import picocli.CommandLine.ITypeConverter;
import picocli.CommandLine.Option;
import picocli.CommandLine.TypeConversionException;

/** Which panel to use: the options that {@code run} and {@code rehearse} share. */
final class PanelOptions {
    @Option(names = "--panel", paramLabel = "board|screen|none", converter = KindWord.class, completionCandidates = KindWords.class, description = "board: the pins of this board. screen: drawn in the terminal, with keys and mouse. none: no panel."
            + " Without this option: the board's pins if there are any, else the screen, else none.")
    PanelChoice.Kind panel;

    @Option(names = "--edges", paramLabel = "FILE", description = "Play an edge trace in place of fingers: lines of TIME_MS PIN LEVEL; # starts a comment.")
    Path edges;

    @Option(names = "--record-edges", paramLabel = "FILE", description = "Write an edge trace of every contact to a new file, to show what a bad switch does.")
    Path recordEdges;

    /** The words of {@code --panel}. */
    static final class KindWord implements ITypeConverter<PanelChoice.Kind> {
        @Override
        public PanelChoice.Kind convert(String word) {
            return Arrays.stream(PanelChoice.Kind.values()).filter(kind -> kind.word().equals(word)).findFirst()
                    .orElseThrow(
                            () -> new TypeConversionException("it is board, screen or none, not \"" + word + "\""));
        }
    }

    /** The same words for the shell's completion, which would offer the names of the constants. */
    static final class KindWords implements Iterable<String> {
        @Override
        public Iterator<String> iterator() {
            return Arrays.stream(PanelChoice.Kind.values()).map(PanelChoice.Kind::word).iterator();
        }
    }

    /**
     * What was opened.
     *
     * @param panel  all of it: the board or screen with a trace or a recorder over it
     * @param screen the drawn one, if that is what it is
     * @param trace  the edge trace that plays over it, if there is one
     * @param choice the kind and why
     */
    record Opened(Panel panel, Optional<DrawnPanel> screen, Optional<EdgeTracePanel> trace, PanelChoice choice) {
        /** One line for people. */
        String describe() {
            return panel.describe() + (choice.kind() == PanelChoice.Kind.NONE ? "" : " (" + choice.why() + ")");
        }
    }

    /** For the end, once the terminal is given back. @param events may be null */
    void sayWhereRecordsAre(Console console, EventLog events) {
        if (events != null && events.path() != null) {
            console.out().println("Event log: " + events.path());
        }
        if (recordEdges != null) {
            console.out().println("Edges: " + recordEdges);
        }
        console.out().flush();
    }

    /**
     * Makes the panel; the show opens it.
     *
     * @param board   whether this is a board with pins, asked only if that matters
     * @param mode    for the title of a drawn panel
     * @param onLeave runs when the person leaves the drawn panel
     */
    Opened choose(Site site, Console console, Supplier<Optional<String>> board, String mode, Runnable onLeave) {
        PanelChoice choice = PanelChoice.of(Optional.ofNullable(panel), board, console.terminal());
        Optional<DrawnPanel> screen = Optional.empty();
        if (choice.kind() == PanelChoice.Kind.SCREEN) {
            AtomicReference<String> whyNot = new AtomicReference<>("no terminal");
            screen = DrawnPanel.onTerminal(site, mode, onLeave, whyNot::set);
            if (screen.isEmpty()) {
                if (panel != null) {
                    throw new Complaint("The panel cannot be drawn here: " + whyNot.get());
                }
                choice = new PanelChoice(PanelChoice.Kind.NONE, whyNot.get());
            }
        }
        Panel opened = switch (choice.kind()) {
            case BOARD -> new BoardPanel(site.panel(), Pi4JBank.ofThisBoard());
            case SCREEN -> screen.orElseThrow();
            case NONE -> new NoPanel(choice.why());
        };
        Optional<EdgeTracePanel> trace = Optional.empty();
        if (edges != null) {
            trace = Optional.of(EdgeTracePanel.read(edges, site.panel(), opened));
            opened = trace.get();
        }
        if (recordEdges != null) {
            opened = EdgeRecorder.to(recordEdges, site.panel(), opened);
        }
        return new Opened(opened, screen, trace, choice);
    }
}
