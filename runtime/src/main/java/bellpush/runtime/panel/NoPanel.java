package bellpush.runtime.panel;

import java.util.Optional;
import java.util.Set;

/** No box at all: macros run by their names only, and lamps are nowhere but in the log. */
public final class NoPanel implements Panel {
    private final String why;
    private final Set<String> switches;

    /** @param why one phrase for people, such as "asked for with --panel none" */
    public NoPanel(String why) {
        this(why, Set.of());
    }

    /** @param switches where nobody can have put them on, they are off */
    public NoPanel(String why, Set<String> switches) {
        this.why = why;
        this.switches = switches;
    }

    @Override
    public String describe() {
        return "no panel (" + why + ")";
    }

    @Override
    public void open(PanelListener listener) {
        switches.forEach(name -> listener.found(System.nanoTime(), name, false));
    }

    @Override
    public void light(String lamp, double level, Optional<String> colour) {}

    @Override
    public void close() {}
}
