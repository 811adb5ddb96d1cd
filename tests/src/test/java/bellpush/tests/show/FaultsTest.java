package bellpush.tests.show;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Device;
import bellpush.config.model.LinkState;
import bellpush.config.model.Look.Pattern;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Rehearsal.Fault;
import bellpush.config.model.Value;
import bellpush.runtime.core.Belief;
import bellpush.runtime.core.Core;
import bellpush.runtime.core.Event;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** What goes wrong in a hall, while the evening goes on. */
class FaultsTest {
    private static final Set<String> ENDS = Set.of("done", "failed");
    private Hall hall;

    @BeforeEach
    void open() {
        hall = Hall.open("village-hall");
    }

    @AfterEach
    void close() {
        hall.close();
    }

    private List<Event> since(int before) {
        List<Event> all = List.copyOf(hall.events);
        return all.subList(before, all.size());
    }

    private void ended(int before, String macro) {
        hall.await(macro + " ends", _ -> since(before).stream()
                .anyMatch(e -> ENDS.contains(e.what()) && macro.equals(e.details().get("macro"))));
    }

    @Test
    void aMacroOnADeafDeviceFailsInWordsWhileOthersGoOn() {
        hall.gear.device("slides").fault(new Fault.Deaf());
        int before = hall.events.size();
        hall.press("slides");
        hall.press("record");
        hall.await("recording", _ -> hall.gear.device("encoder").values().get("recording").equals(Value.of(true)));
        hall.await("the lamp says failed", core -> core.look("slides").pattern() == Pattern.FAST);
        assertThat(since(before)).anyMatch(e -> e.what().equals("failed") && e.details().get("macro").equals("slides")
                && e.details().get("why").toString().contains("slides"));
        hall.await("the other lamp", core -> core.look("record").pattern() == Pattern.STEADY);
    }

    @Test
    void withThirtyPercentOfThePacketsLostMacrosEndAndNoBeliefIsFalseOnceQuiet() {
        List<Device> lossy = hall.site.devices().values().stream().filter(d -> !d.kind().driver().equals("tcp"))
                .toList();
        assertThat(lossy).extracting(d -> d.kind().driver()).contains("udp", "osc");
        lossy.forEach(d -> hall.gear.device(d.name()).fault(new Fault.Drops(0.3)));
        for (String macro : List.of("lights-low", "mics-on", "lights-up", "mics-off", "lights-low", "slides")) {
            int before = hall.events.size();
            hall.press(macro);
            ended(before, macro);
        }
        lossy.forEach(d -> hall.gear.device(d.name()).fault(new Fault.Works()));
        hall.await("every link up", core -> lossy.stream().allMatch(d -> core.link(d.name()) == LinkState.UP));
        List<String> contradictions = new ArrayList<>();
        hall.await("nothing believed that is not so", core -> {
            contradictions.clear();
            lossy.forEach(d -> contradictions(core, d, contradictions));
            return contradictions.isEmpty();
        });
    }

    private void contradictions(Core core, Device device, List<String> into) {
        var real = hall.gear.device(device.name()).values();
        device.kind().properties().forEach((name, property) -> {
            Belief belief = core.belief(new PropertyRef(device.name(), name));
            if (belief.basis() == Belief.Basis.REPORTED
                    && !property.type().same(belief.value().orElseThrow(), real.get(name))) {
                into.add(device.name() + "." + name);
            }
        });
    }

    @Test
    void aFlappingLinkFillsNoLogAndIsUpInTheEnd() {
        for (String name : List.of("desk", "mixer")) {
            int before = hall.events.size();
            for (int i = 0; i < 5; i++) {
                hall.gear.device(name).fault(new Fault.Off());
                Hall.pause(300);
                hall.gear.device(name).fault(new Fault.Works());
                Hall.pause(300);
            }
            hall.await(name + " up", core -> core.link(name) == LinkState.UP);
            int asks = hall.site.devices().get(name).kind().asks().size();
            List<Event> its = since(before).stream().filter(e -> e.toString().contains(name)).toList();
            assertThat(its.stream().filter(e -> e.what().equals("link")).count()).isLessThanOrEqualTo(40);
            // Each time it is up, a question is asked, sent, answered, told; and asked again where that was lost.
            assertThat(its.size()).as(name + " in the log").isLessThan(6 * (asks * 8 + 40));
        }
    }

    @Test
    void aChatteringButtonIsAtMostOnePressInALockout() {
        long lockoutNanos = hall.site.panel().buttons().get("record").lockout().toNanos();
        int before = hall.events.size();
        long first = System.nanoTime();
        long at = first;
        for (int i = 0; i < 3_000; i++) {
            hall.show.hand().contact(at, "record", i % 2 == 0);
            at += 1_000_000;
            if (i % 100 == 0) {
                Hall.pause(100);
            }
        }
        hall.show.hand().contact(at, "record", false);
        hall.await("it is over", _ -> since(before).stream().anyMatch(e -> e.what().equals("release")));
        long presses = since(before).stream().filter(e -> e.what().equals("press")).count();
        assertThat(presses).isPositive().isLessThanOrEqualTo((at - first) / lockoutNanos + 1);
        hall.await("the lamp", core -> core.look("record").pattern() == Pattern.STEADY);
    }
}
