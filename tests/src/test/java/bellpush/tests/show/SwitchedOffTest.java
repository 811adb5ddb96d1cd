package bellpush.tests.show;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Button;
import bellpush.config.model.Condition;
import bellpush.config.model.Kind;
import bellpush.config.model.Lamp;
import bellpush.config.model.LinkState;
import bellpush.config.model.Look.Pattern;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Rehearsal.Fault;
import bellpush.config.model.Site;
import bellpush.config.model.Step;
import bellpush.drivers.spi.SimulatedDevice;
import bellpush.runtime.core.Belief;
import bellpush.runtime.core.Verdict;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.TestInstance;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** Any device of the demo site is switched off in the middle of an evening, and comes back. */
@TestInstance(TestInstance.Lifecycle.PER_CLASS)
class SwitchedOffTest {
    private Hall hall;

    @BeforeAll
    void open() {
        hall = Hall.open("village-hall");
    }

    @AfterAll
    void close() {
        hall.close();
    }

    Stream<String> devices() {
        return hall.site.devices().keySet().stream();
    }

    @ParameterizedTest
    @MethodSource("devices")
    void itsLampsSaySoTheOthersGoOnAndItIsAskedAgainWhenItIsBack(String name) {
        Site site = hall.site;
        SimulatedDevice device = hall.gear.device(name);
        List<Lamp> itsLamps = site.panel().lamps().values().stream().filter(l -> devicesOf(l).contains(name)).toList();
        assertThat(itsLamps).as("lamps that speak of " + name).isNotEmpty();

        device.fault(new Fault.Off());
        hall.await(name + " not up", core -> core.link(name) != LinkState.UP);
        hall.await("the lamps of " + name, core -> itsLamps.stream()
                .allMatch(l -> core.look(l.name()).equals(site.panel().signs().linkDown())));

        for (Button other : othersThan(name)) {
            String macro = other.press().orElseThrow();
            Condition promise = site.macros().get(macro).promise().orElseThrow();
            hall.press(other.name());
            hall.await("the promise of " + macro, core -> core.judge(promise) == Verdict.YES);
        }

        int before = hall.events.size();
        device.fault(new Fault.Works());
        Kind kind = site.devices().get(name).kind();
        hall.await(name + " up", core -> core.link(name) == LinkState.UP);
        hall.await(name + " asked", core -> kind.asks().stream()
                .allMatch(p -> core.belief(new PropertyRef(name, p)).basis() == Belief.Basis.REPORTED));
        assertThat(hall.events.subList(before, hall.events.size())).as("asked again")
                .anyMatch(
                        e -> e.what().equals("send") && String.valueOf(e.details().get("ask")).startsWith(name + "."));
        hall.await("no link sign left", core -> itsLamps.stream().noneMatch(
                l -> devicesOf(l).stream().allMatch(d -> core.link(d) == LinkState.UP)
                        && core.look(l.name()).pattern() == Pattern.PULSE && reportedOnly(l)));
    }

    /** Up to three buttons that have nothing to do with the device, on different devices. */
    private List<Button> othersThan(String name) {
        return hall.site.panel().buttons().values().stream()
                .filter(b -> b.press().map(m -> hall.site.macros().get(m).promise().isPresent()
                        && !touches(hall.site.macros().get(m).steps()).contains(name)
                        && !devicesOf(hall.site.macros().get(m).promise().get()).contains(name)).orElse(false))
                .limit(3).toList();
    }

    private boolean reportedOnly(Lamp lamp) {
        Set<PropertyRef> properties = new TreeSet<>();
        lamp.rules().forEach(r -> r.when().ifPresent(c -> properties(c, properties)));
        return properties.stream().allMatch(p -> hall.site.property(p).ask().isPresent());
    }

    private Set<String> touches(List<Step> steps) {
        Set<String> devices = new TreeSet<>();
        for (Step step : steps) {
            switch (step) {
                case Step.Set set -> set.values().keySet().forEach(p -> devices.add(p.device()));
                case Step.Glide glide -> glide.values().keySet().forEach(p -> devices.add(p.device()));
                case Step.Do act -> devices.add(act.device());
                case Step.Until until -> devices.addAll(devicesOf(until.condition()));
                case Step.If branch -> {
                    devices.addAll(devicesOf(branch.condition()));
                    devices.addAll(touches(branch.then()));
                    devices.addAll(touches(branch.otherwise()));
                }
                case Step.Remember remember -> devices.add(remember.property().device());
                case Step.Restore restore -> devices.add(restore.property().device());
                case Step.Run run -> devices.addAll(touches(hall.site.macros().get(run.macro()).steps()));
                case Step.Together together -> together.branches().forEach(branch -> devices.addAll(touches(branch)));
                case Step.Guarded guarded -> devices.addAll(touches(List.of(guarded.step())));
                case Step.Wait _,Step.Say _,Step.Stop _ -> {
                }
            }
        }
        return devices;
    }

    private static Set<String> devicesOf(Lamp lamp) {
        Set<String> devices = new TreeSet<>();
        lamp.rules().stream().map(r -> r.when()).flatMap(Optional::stream).forEach(c -> devices.addAll(devicesOf(c)));
        return devices;
    }

    private static Set<String> devicesOf(Condition condition) {
        Set<PropertyRef> properties = new TreeSet<>();
        properties(condition, properties);
        Set<String> devices = new TreeSet<>();
        properties.forEach(p -> devices.add(p.device()));
        return devices;
    }

    private static void properties(Condition condition, Set<PropertyRef> into) {
        switch (condition) {
            case Condition.Is is -> into.add(is.property());
            case Condition.All(var of) -> of.forEach(c -> properties(c, into));
            case Condition.Any(var of) -> of.forEach(c -> properties(c, into));
            case Condition.Not(var of) -> properties(of, into);
            case Condition.LinkIs _,Condition.SwitchIs _,Condition.Running _,Condition.Failed _ -> {
            }
        }
    }
}
