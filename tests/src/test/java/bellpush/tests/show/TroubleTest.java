package bellpush.tests.show;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Button;
import bellpush.config.model.Condition;
import bellpush.config.model.Device;
import bellpush.config.model.LinkState;
import bellpush.config.model.Look.Pattern;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Rehearsal.Fault;
import bellpush.config.model.Value;
import bellpush.runtime.core.Belief;
import bellpush.runtime.core.Event;
import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** Bad lines, bad devices and bad switches, over real sockets on the demo site. */
class TroubleTest {
    private Hall hall;

    @BeforeEach
    void open() {
        hall = Hall.open("village-hall");
    }

    @AfterEach
    void close() {
        hall.close();
    }

    @Test
    void aDeafDeviceFailsItsMacroInWordsAndTheOthersGoOn() {
        hall.gear.device("mixer").fault(new Fault.Deaf());
        hall.press("poem");
        hall.await("the failure on the lamp", core -> core.look("poem").pattern() == Pattern.FAST);
        assertThat(events("failed")).anySatisfy(e -> {
            assertThat(e.details()).containsEntry("macro", "poem");
            assertThat((String) e.details().get("why")).contains("mixer");
        });
        hall.press("mics-on");
        hall.await("the microphones", core -> core.look("mics-on").pattern() == Pattern.STEADY);
        hall.gear.device("mixer").fault(new Fault.Works());
        hall.await("the mixer back", core -> core.link("mixer") == LinkState.UP
                && core.belief(new PropertyRef("mixer", "key.onAir")).basis() == Belief.Basis.REPORTED);
        hall.press("poem");
        hall.await("the poem", core -> core.look("poem").pattern() == Pattern.STEADY);
    }

    @Test
    void aDeviceThatRefusesFailsItsMacroAndIsBelievedToBeWhatItIs() {
        hall.await("the lights known",
                core -> core.belief(new PropertyRef("room-lights", "level")).value().isPresent());
        hall.gear.device("room-lights").fault(new Fault.Refusing());
        hall.press("lights-low");
        hall.await("the failure on the lamp", core -> core.look("lights-low").pattern() == Pattern.FAST);
        hall.gear.device("room-lights").fault(new Fault.Works());
        hall.await("the truth",
                core -> agree("room-lights", core.belief(new PropertyRef("room-lights", "level")), "level"));
    }

    @Test
    void withAThirdOfThePacketsLostNothingWrongIsBelievedOnceItIsQuiet() {
        List<String> lossy = hall.site.devices().values().stream()
                .filter(d -> d.kind().driver().equals("udp") || d.kind().driver().equals("osc") && !d.kind().stream())
                .map(Device::name).toList();
        assertThat(lossy).hasSizeGreaterThan(2);
        lossy.forEach(d -> hall.gear.device(d).fault(new Fault.Drops(0.3)));
        SplittableRandom random = new SplittableRandom(7);
        List<Button> buttons = hall.site.panel().buttons().values().stream().filter(b -> b.press().isPresent())
                .toList();
        for (int i = 0; i < 40; i++) {
            hall.press(buttons.get(random.nextInt(buttons.size())).name());
        }
        hall.await("every run to end", core -> core.running().isEmpty());
        lossy.forEach(d -> hall.gear.device(d).fault(new Fault.Works()));
        hall.await("all links up",
                core -> hall.site.devices().keySet().stream().allMatch(d -> core.link(d) == LinkState.UP));
        // What is believed as reported is what the gear is; what was lost on the way may be unknown or only assumed.
        hall.await("nothing wrong believed", core -> hall.site.devices().values().stream()
                .allMatch(device -> device.kind().properties().values().stream()
                        .filter(p -> p.ask().isPresent())
                        .allMatch(p -> agree(device.name(), core.belief(new PropertyRef(device.name(), p.name())),
                                p.name()))));
        // A promise may still be waited for a while after the last step.
        hall.await("every run that began to have ended", core -> events("run").size() == events("done").size()
                + events("failed").stream().filter(e -> e.details().containsKey("tookMs")).count()
                + events("stopped").size());
    }

    @Test
    void aFlappingLinkIsALineForEachChangeAndRecovers() {
        for (int i = 0; i < 8; i++) {
            hall.gear.device("encoder").fault(new Fault.Off());
            Hall.pause(200);
            hall.gear.device("encoder").fault(new Fault.Works());
            Hall.pause(200);
        }
        hall.await("the encoder up", core -> core.link("encoder") == LinkState.UP);
        List<Event> changes = events("link").stream().filter(e -> "encoder".equals(e.details().get("device"))).toList();
        assertThat(changes.size()).isBetween(3, 60);
        for (int i = 1; i < changes.size(); i++) {
            Map<String, Object> one = changes.get(i - 1).details();
            assertThat(changes.get(i).details()).as("no line twice").isNotEqualTo(one);
        }
        hall.press("record");
        hall.await("the recording", core -> core.look("record").pattern() == Pattern.STEADY);
    }

    @Test
    void aChatteringButtonPressesNoMoreOftenThanItsLockoutAllows() {
        Button button = hall.site.panel().buttons().get("mics-on");
        long start = System.nanoTime();
        for (int i = 0; i < 4_000; i++) { // edges as fast as a broken switch can make them
            hall.show.hand().contact(System.nanoTime(), button.name(), i % 2 == 0);
            if (i % 4 == 0) {
                Hall.pause(1);
            }
        }
        hall.show.hand().contact(System.nanoTime(), button.name(), false);
        long took = System.nanoTime() - start;
        hall.press("mics-off");
        hall.await("the microphones off", core -> core.look("mics-off").pattern() == Pattern.STEADY);
        long presses = events("press").stream().filter(e -> button.name().equals(e.details().get("control"))).count();
        // A press and its release each lock the contact out.
        assertThat(presses).isBetween(1L, took / button.lockout().toNanos() / 2 + 2);
    }

    private boolean agree(String device, Belief belief, String property) {
        Value truth = hall.gear.device(device).values().get(property);
        return belief.basis() != Belief.Basis.REPORTED
                || hall.site.property(new PropertyRef(device, property)).type().same(belief.value().orElseThrow(),
                        truth);
    }

    private List<Event> events(String what) {
        return hall.events.stream().filter(e -> e.what().equals(what)).toList();
    }

    @Test
    void aRestartedDeviceIsShownAsItIsNow() {
        hall.press("record");
        hall.await("the recording", core -> core.look("record").pattern() == Pattern.STEADY);
        hall.gear.device("encoder").fault(new Fault.Restarts(Duration.ofMillis(300)));
        hall.await("the link down", core -> core.link("encoder") != LinkState.UP);
        hall.await("no recording after the restart",
                core -> core.link("encoder") == LinkState.UP && core.look("record").pattern() == Pattern.OFF);
        Condition recording = hall.site.macros().get("record").promise().orElseThrow();
        assertThat(hall.show.ask(core -> core.missing(recording)).join()).isPresent();
    }
}
