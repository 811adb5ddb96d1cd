package bellpush.runtime.panel;

import bellpush.config.model.Look;
import java.util.Optional;

/** A panel that lies on another, whose lamps are the other's. */
abstract class PanelOver implements Panel {
    final Panel under;

    PanelOver(Panel under) {
        this.under = under;
    }

    @Override
    public final void light(String lamp, double level, Optional<String> colour) {
        under.light(lamp, level, colour);
    }

    @Override
    public final void show() {
        under.show();
    }

    @Override
    public final boolean wantsLampTest() {
        return under.wantsLampTest();
    }

    @Override
    public final void meaning(String lamp, Look look) {
        under.meaning(lamp, look);
    }
}
