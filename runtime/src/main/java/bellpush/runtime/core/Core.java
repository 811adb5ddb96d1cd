package bellpush.runtime.core;

import bellpush.config.model.Condition;
import bellpush.config.model.LinkState;
import bellpush.config.model.Look;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Site;
import java.util.List;
import java.util.function.Consumer;

/** The state machine. All calls from one thread. */
public final class Core {
    public Core(Site site) {}

    /** Takes one input and hands out its effects in order. {@code effects} must not call back into the core. */
    public void accept(Input input, Consumer<Effect> effects) {}

    public Belief belief(PropertyRef property) {
        return Belief.NOTHING;
    }

    public Verdict judge(Condition condition) {
        return Verdict.UNSURE;
    }

    public LinkState link(String device) {
        return LinkState.DOWN;
    }

    public Look look(String lamp) {
        return Look.OFF;
    }

    /** Names of macros that are running, in the order in which they started. */
    public List<String> running() {
        return List.of();
    }
}
