package bellpush.runtime.cli;

import bellpush.runtime.panel.PanelException;
import bellpush.runtime.panel.Pi4JBank;
import bellpush.runtime.panel.PinBank;
import bellpush.runtime.panel.lines.HeaderChip;
import java.util.Optional;
import java.util.function.Supplier;

/**
 * The pins of the board: whether there are any, and what reads them. The kernel's lines are looked at first, which takes
 * milliseconds; Pi4J is loaded only where they leave the question open, which takes far longer.
 */
final class BoardPins {
    enum Reader {
        LINES, PI4J;

        /** The word used on the command line. */
        String word() {
            return name().toLowerCase(java.util.Locale.ROOT);
        }
    }

    /** @param why of the reader, one phrase for people */
    record Chosen(PinBank bank, String why) {}

    private final Optional<Reader> wanted;
    private final Supplier<HeaderChip> header;
    private final Supplier<Optional<String>> pi4jsBoard;
    private final Supplier<PinBank> pi4jsPins;
    private HeaderChip looked;

    /** @param chip the name of the chip, if it was asked for */
    BoardPins(Optional<Reader> wanted, Optional<String> chip) {
        this(wanted, () -> HeaderChip.find(chip), Pi4JBank::recognise, Pi4JBank::ofThisBoard);
    }

    BoardPins(Optional<Reader> wanted, Supplier<HeaderChip> header, Supplier<Optional<String>> pi4jsBoard,
            Supplier<PinBank> pi4jsPins) {
        this.wanted = wanted;
        this.header = header;
        this.pi4jsBoard = pi4jsBoard;
        this.pi4jsPins = pi4jsPins;
    }

    private HeaderChip header() {
        if (looked == null) {
            looked = header.get();
        }
        return looked;
    }

    /** What this computer is, if it is a board with pins; completes "this is a". */
    Optional<String> board() {
        return switch (header()) {
            case HeaderChip.Usable chip -> Optional.of("board with pins: " + chip.name() + ", " + chip.why());
            case HeaderChip.Unusable(HeaderChip.Lack lack, _) when lack == HeaderChip.Lack.NO_CHIPS -> Optional.empty();
            case HeaderChip.Unusable _ -> pi4jsBoard.get();
        };
    }

    /** @throws PanelException in words, if there is nothing to read the pins with */
    Chosen choose() {
        if (wanted.isPresent() && wanted.get() == Reader.PI4J) {
            return new Chosen(pi4jsPins.get(), "asked for with --reader pi4j");
        }
        return switch (header()) {
            case HeaderChip.Usable chip -> new Chosen(chip.bank(), chip.why());
            case HeaderChip.Unusable(HeaderChip.Lack lack, String why) -> {
                boolean pi4jMay = wanted.isEmpty() && lack != HeaderChip.Lack.NO_CHIPS
                        && lack != HeaderChip.Lack.NOT_PERMITTED && pi4jsBoard.get().isPresent();
                if (!pi4jMay) {
                    throw new PanelException(why, null);
                }
                yield new Chosen(pi4jsPins.get(), lack == HeaderChip.Lack.TOO_OLD
                        ? "the kernel's lines cannot be used here"
                        : "none of the kernel's chips says that it is the header");
            }
        };
    }
}
