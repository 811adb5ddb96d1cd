package bellpush.tests.simulation;

import bellpush.config.model.Look;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Site;
import bellpush.runtime.core.Belief;
import bellpush.runtime.core.Core;
import bellpush.runtime.core.Effect;
import bellpush.runtime.core.Input;
import java.util.function.Consumer;

/** The core itself. What plants a bug stands between it and the world. */
class CoreMachine implements Machine {
    final Core core;

    CoreMachine(Site site) {
        core = new Core(site);
    }

    @Override
    public void accept(Input input, Consumer<Effect> effects) {
        core.accept(input, effects);
    }

    @Override
    public Look look(String lamp) {
        return core.look(lamp);
    }

    @Override
    public Belief belief(PropertyRef property) {
        return core.belief(property);
    }

    @Override
    public boolean atRest() {
        return core.atRest();
    }

    @Override
    public Object inside() {
        return core;
    }
}
