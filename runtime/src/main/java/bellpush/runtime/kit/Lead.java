package bellpush.runtime.kit;

import bellpush.config.model.Pin;
import bellpush.config.model.Source;

/**
 * One lead from a pin to a part of the panel.
 *
 * @param use    the control, lamp or chip, by its name in panel.json
 * @param what   which lead of it, such as {@code contact} or {@code channel A}
 * @param far    where the part's other side goes
 * @param detail how to get there from the pin, such as {@code through 680 Ω to the long leg}; may be empty
 */
record Lead(Pin pin, String use, String what, LeadColour colour, Pull pull, Far far, String detail, Source at) {
    /** What the board or the chip does inside to hold an open contact at a level. */
    enum Pull {
        UP, DOWN, NONE;

        String word() {
            return this == NONE ? "" : name().toLowerCase(java.util.Locale.ROOT);
        }
    }

    enum Far {
        GROUND, THREE_VOLT_THREE,
        /** The lead ends at a transistor's base: its emitter goes to ground, its LED to 5 V. */
        TRANSISTOR, NOWHERE
    }

    boolean isContact() {
        return pull != Pull.NONE;
    }
}
