package bellpush.tests.show;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.runtime.core.Event;
import java.util.List;
import java.util.Set;
import java.util.stream.Collectors;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Whoever reads the log after the event finds everything that a press has led to by the press's id. */
class ChainTest {
    @ParameterizedTest
    @CsvSource({"record, encoder, tcp", "lights-up, stage-lights, udp", "mics-on, desk, osc"})
    void fromThePressToTheLampEverythingCarriesItsId(String button, String device, String driver) {
        try (Hall hall = Hall.open("village-hall")) {
            assertThat(hall.site.devices().get(device).kind().driver()).isEqualTo(driver);
            int before = hall.events.size();
            hall.press(button);
            hall.await("the press", _ -> pressOf(hall, before, button) != null);
            String press = pressOf(hall, before, button);
            hall.await("done", _ -> of(hall, press).stream().anyMatch(e -> e.what().equals("done")));
            hall.await("the lamp", _ -> of(hall, press).stream()
                    .anyMatch(e -> e.what().equals("lamp") && e.details().get("lamp").equals(button)
                            && e.details().get("shows").equals("steady")));
            hall.await("the device's words",
                    _ -> of(hall, press).stream().anyMatch(e -> e.what().equals("report")
                            || e.what().equals("packet") && e.details().get("way").equals("in")));
            List<Event> chain = of(hall, press);
            Set<String> kinds = chain.stream().map(Event::what).collect(Collectors.toSet());
            assertThat(kinds).contains("press", "run", "step", "send", "packet", "lamp", "done");
            assertThat(chain).anyMatch(e -> e.what().equals("packet") && e.details().get("way").equals("out")
                    && e.details().get("device").equals(device));
            assertThat(place(chain, "press")).isLessThan(place(chain, "run"));
            assertThat(place(chain, "run")).isLessThan(place(chain, "step"));
            assertThat(place(chain, "step")).isLessThan(place(chain, "send"));
            assertThat(place(chain, "send")).isLessThan(place(chain, "packet"));
            assertThat(place(chain, "packet")).isLessThan(place(chain, "done"));
        }
    }

    private static int place(List<Event> chain, String what) {
        return chain.stream().map(Event::what).toList().indexOf(what);
    }

    private static String pressOf(Hall hall, int from, String button) {
        List<Event> all = List.copyOf(hall.events);
        return all.subList(from, all.size()).stream()
                .filter(e -> e.what().equals("press") && e.details().get("control").equals(button)).map(Event::press)
                .findFirst().orElse(null);
    }

    private static List<Event> of(Hall hall, String press) {
        return hall.events.stream().filter(e -> e.press().equals(press)).toList();
    }
}
