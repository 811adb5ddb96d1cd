package bellpush.runtime.cli;

import bellpush.config.model.Site;
import bellpush.runtime.log.EventLog;
import bellpush.runtime.panel.BoardPanel;
import bellpush.runtime.panel.EdgeRecorder;
import bellpush.runtime.panel.EdgeTracePanel;
import bellpush.runtime.panel.NoPanel;
import bellpush.runtime.panel.Panel;
import bellpush.runtime.panel.PanelChoice;
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

    @Option(names = "--reader", paramLabel = "lines|pi4j", converter = ReaderWord.class, completionCandidates = ReaderWords.class, description = "What reads the pins of the board. lines: the kernel's own lines, all with one request. pi4j: the Pi4J library."
            + " Without this option: the lines where the header's chip can be told, else Pi4J.")
    BoardPins.Reader reader;

    @Option(names = "--chip", paramLabel = "NAME", description = "Which of the kernel's GPIO chips the pins are on, by name, label or device: gpiochip0. Needed only where it cannot be told, such as for pins on USB.")
    String chip;

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

    /** The words of {@code --reader}. */
    static final class ReaderWord implements ITypeConverter<BoardPins.Reader> {
        @Override
        public BoardPins.Reader convert(String word) {
            return Arrays.stream(BoardPins.Reader.values()).filter(reader -> reader.word().equals(word)).findFirst()
                    .orElseThrow(() -> new TypeConversionException("it is lines or pi4j, not \"" + word + "\""));
        }
    }

    /** The same words for the shell's completion. */
    static final class ReaderWords implements Iterable<String> {
        @Override
        public Iterator<String> iterator() {
            return Arrays.stream(BoardPins.Reader.values()).map(BoardPins.Reader::word).iterator();
        }
    }

    /** Whether somebody has said what to press. */
    boolean asked() {
        return panel != null || edges != null || reader != null || chip != null;
    }

    /**
     * What was opened.
     *
     * @param panel  all of it: the board or screen with a trace or a recorder over it
     * @param screen the drawn one, if that is what it is
     * @param trace  the edge trace that plays over it, if there is one
     * @param choice the kind and why
     * @param reader why the board's pins are read by what reads them; empty without a board
     */
    record Opened(Panel panel, Optional<DrawnPanel> screen, Optional<EdgeTracePanel> trace, PanelChoice choice,
            String reader) {
        /** One line for people. */
        String describe() {
            String why = choice.why().contains(reader) ? choice.why() : choice.why() + "; " + reader;
            return panel.describe() + (choice.kind() == PanelChoice.Kind.NONE ? "" : " (" + why + ")");
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
     * @param look    whether to look for a board's pins if nobody has said which panel
     * @param mode    for the title of a drawn panel
     * @param onLeave runs when the person leaves the drawn panel
     */
    Opened choose(Site site, Console console, boolean look, String mode, Runnable onLeave) {
        BoardPins pins = new BoardPins(Optional.ofNullable(reader), Optional.ofNullable(chip));
        PanelChoice choice = choice(look ? pins::board : Optional::empty, console.terminal());
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
        String readBy = "";
        Panel opened = switch (choice.kind()) {
            case BOARD -> {
                BoardPins.Chosen chosen = pins.choose();
                readBy = chosen.why();
                yield new BoardPanel(site.panel(), chosen.bank());
            }
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
        return new Opened(opened, screen, trace, choice, readBy);
    }

    private PanelChoice choice(Supplier<Optional<String>> board, boolean terminal) {
        if (reader == null && chip == null) {
            return PanelChoice.of(Optional.ofNullable(panel), board, terminal);
        }
        if (panel != null && panel != PanelChoice.Kind.BOARD) {
            throw new Complaint((reader != null ? "--reader" : "--chip") + " is for the pins of a board and does not go"
                    + " with --panel " + panel.word() + ". Leave one of them out.");
        }
        if (reader == BoardPins.Reader.PI4J && chip != null) {
            throw new Complaint("Pi4J finds its chip by itself. Leave out --chip, or use --reader lines.");
        }
        return new PanelChoice(PanelChoice.Kind.BOARD,
                "asked for with " + (panel != null ? "--panel board" : chip != null ? "--chip" : "--reader"));
    }
}
