package bellpush.runtime.cli;

import bellpush.config.model.Device;
import bellpush.config.model.Property;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Rehearsal.Fault;
import bellpush.config.model.Value;
import bellpush.runtime.rehearse.RehearsalGear;
import bellpush.runtime.screen.Practice;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Consumer;
import java.util.stream.Stream;

/** Trouble for rehearsed gear, as asked for on the drawn panel. Each is said in a sentence. */
final class PractisedTrouble implements Practice {
    private final RehearsalGear gear;
    private final Consumer<String> say;
    private final Random random;
    private final Set<String> off = ConcurrentHashMap.newKeySet();

    /** @param say for the log; may be called on any thread */
    PractisedTrouble(RehearsalGear gear, long seed, Consumer<String> say) {
        this.gear = gear;
        this.say = say;
        random = new Random(seed);
    }

    @Override
    public void power(String device) {
        if (gear.missing().contains(device)) {
            say.accept(device + " is not simulated: there is nothing to switch off");
        } else if (off.remove(device)) {
            gear.device(device).fault(new Fault.Works());
            say.accept("trouble: " + device + " is switched on again");
        } else {
            off.add(device);
            gear.device(device).fault(new Fault.Off());
            say.accept("trouble: " + device + " is switched off");
        }
    }

    /** Changes something that a macro could change too, and that the device tells: else nobody could learn of it. */
    @Override
    public void touch(String device) {
        if (gear.missing().contains(device) || off.contains(device)) {
            say.accept(device + " is off or not simulated: nothing can be changed at it");
            return;
        }
        Map<String, Value> now = gear.device(device).values();
        Device touched = gear.site().devices().get(device);
        List<Property> choice = touched.kind().properties().values().stream()
                .filter(property -> property.set().isPresent() && property.reported())
                .filter(property -> others(property.type(), now.get(property.name())).findAny().isPresent()).toList();
        if (choice.isEmpty()) {
            say.accept(device + " has nothing that could be changed at it and that it would tell");
            return;
        }
        Property property = choice.get(random.nextInt(choice.size()));
        List<Value> values = others(property.type(), now.get(property.name())).toList();
        Value value = values.get(random.nextInt(values.size()));
        gear.device(device).change(Map.of(property.name(), value));
        say.accept(
                "trouble: somebody sets " + device + "." + property.name() + " to " + value + " at the device itself");
    }

    private static Stream<Value> others(PropertyType type, Value now) {
        Stream<Value> values = switch (type) {
            case PropertyType.Flag _ -> Stream.of(Value.of(false), Value.of(true));
            case PropertyType.Choice choice -> choice.wireByName().keySet().stream().map(Value::of);
            case PropertyType.Whole whole -> Stream.of(Value.of(whole.min()), Value.of(whole.max()));
            case PropertyType.Number number -> Stream.of(Value.of(number.min()), Value.of(number.max()));
            case PropertyType.Text _ -> Stream.of();
        };
        return values.filter(value -> now == null || !type.same(value, now));
    }

    @Override
    public boolean isOff(String device) {
        return off.contains(device);
    }
}
