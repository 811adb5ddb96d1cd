package bellpush.tests.simulation;

import bellpush.runtime.core.Effect;
import bellpush.runtime.core.Input;

/** Something that must always be true. Looks at what goes into the core and what comes out, and throws {@link Broken}. */
interface Invariant {
    /** An input is about to be taken. */
    default void before(Input input) {}

    /** One of its effects, in order. {@code now} is the core's time. */
    default void effect(Effect effect, long now) {}

    /** The input and its effects are through. */
    default void after(long now) {}

    /** The core that was watched is gone, and another begins with the same gear. */
    default void begins(Machine machine) {}

    /** Everything was let go, every link is up, and so much time has passed that nothing can be on its way any more. */
    default void calm(long now) {}

    /** The program stood still for so long, as on a computer that was put to sleep: what was due comes late. */
    default void stalled(long now, long nanos) {}
}
