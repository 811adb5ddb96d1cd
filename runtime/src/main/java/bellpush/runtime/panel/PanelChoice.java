package bellpush.runtime.panel;

import java.util.Optional;
import java.util.function.Supplier;

/**
 * Which panel to use.
 *
 * @param why one phrase for people
 */
public record PanelChoice(Kind kind, String why) {
    public enum Kind {
        /** The pins of the board. */
        BOARD,
        /** Drawn in the terminal. */
        SCREEN, NONE;

        /** The word used on the command line. */
        public String word() {
            return name().toLowerCase(java.util.Locale.ROOT);
        }
    }

    /**
     * What was asked for, else the board's pins where there are any, else the screen where there is a terminal, else none.
     *
     * @param board the name of the board, if it is one; asked only where it matters, since finding out takes a moment
     */
    public static PanelChoice of(Optional<Kind> wanted, Supplier<Optional<String>> board, boolean terminal) {
        if (wanted.isPresent()) {
            return new PanelChoice(wanted.get(), "asked for with --panel " + wanted.get().word());
        }
        Optional<String> found = board.get();
        if (found.isPresent()) {
            return new PanelChoice(Kind.BOARD, "this is a " + found.get());
        }
        return terminal
                ? new PanelChoice(Kind.SCREEN, "this is a terminal, and no board with pins")
                : new PanelChoice(Kind.NONE, "there are neither pins nor a terminal");
    }
}
