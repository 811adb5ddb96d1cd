package bellpush.tests.show;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Button;
import bellpush.config.model.Condition;
import bellpush.config.model.Macro;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Step;
import bellpush.runtime.core.Event;
import bellpush.runtime.core.Verdict;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.TestInstance;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What follows from a press, on every driver, can be found again in the events by the press's id. */
@TestInstance(TestInstance.Lifecycle.PER_CLASS)
class PressChainTest {
    private Hall hall;

    @BeforeAll
    void open() {
        hall = Hall.open("village-hall");
    }

    @AfterAll
    void close() {
        hall.close();
    }

    @ParameterizedTest
    @ValueSource(strings = {"tcp", "udp", "osc"})
    void fromThePressToTheLampEverythingCarriesItsId(String driver) {
        Button button = buttonFor(driver);
        Macro macro = hall.site.macros().get(button.press().orElseThrow());
        Set<PropertyRef> promised = new TreeSet<>();
        properties(macro.promise().orElseThrow(), promised);
        hall.await("all of it known", core -> promised.stream().allMatch(p -> core.belief(p).value().isPresent()));
        int before = hall.events.size();

        hall.press(button.name());
        hall.await("the promise of " + macro.name(), core -> core.judge(macro.promise().get()) == Verdict.YES);
        hall.await("its end", core -> core.running().isEmpty());
        List<Event> since = hall.events.subList(before, hall.events.size());
        Event press = since.stream().filter(e -> e.what().equals("press")).findFirst().orElseThrow();
        assertThat(press.details()).containsEntry("control", button.name());

        Map<String, List<Event>> ofPress = since.stream().filter(e -> e.press().equals(press.press()))
                .collect(Collectors.groupingBy(Event::what));
        assertThat(ofPress).containsKeys("press", "release", "run", "step", "send", "packet", "report", "lamp", "done");
        assertThat(ofPress.get("packet")).anyMatch(e -> "out".equals(e.details().get("way")));
        assertThat(ofPress.get("report")).anyMatch(
                e -> promised.stream().anyMatch(p -> p.device().equals(e.details().get("device"))));
        assertThat(ofPress.get("lamp")).anyMatch(e -> e.details().get("lamp").equals(button.name()));
        assertThat(since.stream().filter(e -> Set.of("run", "step", "say", "met", "done", "failed").contains(e.what())))
                .as("nothing of a macro without a press").allMatch(e -> !e.press().isEmpty());
    }

    /** A button whose macro speaks to devices of this driver only, and whose promise they report. */
    private Button buttonFor(String driver) {
        return hall.site.panel().buttons().values().stream().filter(b -> b.press().isPresent()).filter(b -> {
            Macro macro = hall.site.macros().get(b.press().get());
            Set<PropertyRef> properties = new TreeSet<>();
            macro.promise().ifPresent(p -> properties(p, properties));
            return !properties.isEmpty()
                    && properties.stream()
                            .allMatch(p -> hall.site.property(p).reported() && driverOf(p.device()).equals(driver))
                    && macro.steps().stream()
                            .allMatch(s -> devices(s).stream().allMatch(d -> driverOf(d).equals(driver)));
        }).findFirst().orElseThrow(() -> new AssertionError("the demo has no button for " + driver + " alone"));
    }

    private String driverOf(String device) {
        return hall.site.devices().get(device).kind().driver();
    }

    private static Set<String> devices(Step step) {
        return switch (step) {
            case Step.Set set -> set.values().keySet().stream().map(PropertyRef::device).collect(Collectors.toSet());
            case Step.Do act -> Set.of(act.device());
            default -> Set.of();
        };
    }

    private static void properties(Condition condition, Set<PropertyRef> into) {
        switch (condition) {
            case Condition.Is is -> into.add(is.property());
            case Condition.All(var of) -> of.forEach(c -> properties(c, into));
            default -> {
            }
        }
    }
}
