package bellpush.tests.simulation;

import bellpush.config.model.Property;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Value;
import bellpush.runtime.core.Belief;
import java.util.List;

/**
 * Once everything is calm, what the core holds as reported is what the device is set to, and what can be asked for is known. Only in
 * weather that loses nothing and keeps the order: a report that is lost without anybody noticing cannot be made up for.
 */
final class BeliefsAreTrue implements Invariant {
    private final List<Gear> gear;
    private Machine machine;

    BeliefsAreTrue(List<Gear> gear) {
        this.gear = gear;
    }

    @Override
    public void begins(Machine with) {
        machine = with;
    }

    @Override
    public void calm(long now) {
        gear.forEach(of -> of.device.kind().properties().values().forEach(property -> {
            if (!of.untold(property.name()) && !of.isMoving(property.name())) {
                // what goes on moving is not asked where it is: a moment later it is elsewhere
                boolean goes = of.device.kind().properties().values().stream()
                        .anyMatch(other -> other.unsettles().contains(property.name())
                                && of.truth(other.name()) instanceof Value.Num(double speed) && speed != 0);
                check(new PropertyRef(of.device.name(), property.name()), property, of.truth(property.name()),
                        !goes && !of.unheard(property.name()) && of.device.kind().asks().contains(property.name()));
            }
        }));
    }

    private void check(PropertyRef ref, Property property, Value truth, boolean asked) {
        Belief belief = machine.belief(ref);
        boolean known = belief.basis() == Belief.Basis.REPORTED;
        if (known && !property.type().same(belief.value().orElseThrow(), truth)) {
            throw new Broken("beliefs", ref + " is " + truth + " and was taken to be " + belief.value().get()
                    + ", as reported");
        }
        if (!known && asked && property.ask().isPresent()) {
            throw new Broken("beliefs", ref + " is " + truth + " and could be asked for, but is "
                    + belief.basis().word());
        }
    }
}
