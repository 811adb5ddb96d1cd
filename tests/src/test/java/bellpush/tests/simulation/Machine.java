package bellpush.tests.simulation;

import bellpush.config.model.Look;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Site;
import bellpush.runtime.core.Belief;
import bellpush.runtime.core.Effect;
import bellpush.runtime.core.Input;
import java.util.function.Consumer;

/** What an evening is played on: the core, or a stand-in with a bug that must be found. */
interface Machine {
    void accept(Input input, Consumer<Effect> effects);

    Look look(String lamp);

    Belief belief(PropertyRef property);

    /** Whether no standstill is on its way, so that a show may close its links. */
    boolean atRest();

    /** What is weighed, to see that nothing in it grows without limit. */
    Object inside();

    /** Makes the machine that plays a site; called again whenever a show begins again. */
    interface Maker {
        Machine of(Site site);
    }

    static Machine core(Site site) {
        return new CoreMachine(site);
    }
}
