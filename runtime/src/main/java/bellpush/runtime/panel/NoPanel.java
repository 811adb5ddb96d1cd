package bellpush.runtime.panel;

import java.util.Optional;

/** No box at all: macros run by their names only, and lamps are nowhere but in the log. */
public final class NoPanel implements Panel {
    private final String why;

    /** @param why one phrase for people, such as "asked for with --panel none" */
    public NoPanel(String why) {
        this.why = why;
    }

    @Override
    public String describe() {
        return "no panel (" + why + ")";
    }

    @Override
    public void open(PanelListener listener) {}

    @Override
    public void light(String lamp, double level, Optional<String> colour) {}

    @Override
    public void close() {}
}
