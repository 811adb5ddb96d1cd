package bellpush.runtime.panel;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import bellpush.config.model.Board;
import bellpush.config.model.Button;
import bellpush.config.model.Knob;
import bellpush.config.model.Panel;
import bellpush.config.model.Pin;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Source;
import bellpush.config.model.Switch;
import bellpush.runtime.show.Eventually;
import bellpush.runtime.show.TinySite;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class EdgeTraceTest {
    @TempDir
    Path folder;

    private final Panel layout = TinySite.with("none", Duration.ZERO).panel();
    private final Told told = new Told();

    @Test
    void linesAreTimePinAndLevelAndTheRestIsComment() {
        EdgeTrace.Reading reading = EdgeTrace.read("trace",
                List.of("# a bad switch", "", "0 5 1", "  12.5\t5 0  # bounce",
                        "12.500001 17 1"));
        assertThat(reading.problems()).isEmpty();
        assertThat(reading.trace().edges()).containsExactly(new EdgeTrace.Edge(0, 5, true, 3),
                new EdgeTrace.Edge(12_500_000, 5, false, 4), new EdgeTrace.Edge(12_500_001, 17, true, 5));
    }

    @Test
    void everyMistakeIsNamedWithItsLine() {
        EdgeTrace.Reading reading = EdgeTrace.read("trace",
                List.of("0 5 1", "soon 5 1", "10 5 2", "20 5 1", "15 5 0", "99999999999 5 1", "-3 5 1"));
        assertThat(reading.problems()).containsExactly(
                "trace:2: \"soon 5 1\" is not TIME_MS PIN LEVEL, such as \"1250.5 17 0\".",
                "trace:3: \"10 5 2\" is not TIME_MS PIN LEVEL, such as \"1250.5 17 0\".",
                "trace:5: the time runs backwards: 15 ms comes after 20.000 ms.",
                "trace:6: the time 99999999999 ms is more than a day.",
                "trace:7: \"-3 5 1\" is not TIME_MS PIN LEVEL, such as \"1250.5 17 0\".");
    }

    @Test
    void aPinThatNothingIsOnIsAMistake() throws Exception {
        Path file = Files.writeString(folder.resolve("trace"), "0 5 1\n1 22 1\n");
        assertThatThrownBy(() -> EdgeTracePanel.read(file, layout, new NoPanel("test")))
                .isInstanceOf(PanelException.class)
                .hasMessage(file + ":2: no control of panel.json is on pin 22.");
    }

    @Test
    void aFileThatCannotBeReadIsSaidInWords() {
        assertThatThrownBy(() -> EdgeTracePanel.read(folder.resolve("none"), layout, new NoPanel("test")))
                .isInstanceOf(PanelException.class).hasMessageContaining("cannot be read (NoSuchFileException)");
    }

    @Test
    void aTraceIsPlayedInRealTimeAndWhatStandsAtZeroIsFound() throws Exception {
        Path file = Files.writeString(folder.resolve("trace"), "0 17 0\n20 5 0\n60.5 5 1\n");
        EdgeTracePanel panel = EdgeTracePanel.read(file, layout, new NoPanel("test"));
        panel.open(told);
        panel.played().get(10, TimeUnit.SECONDS);
        panel.close();
        assertThat(told.lines).containsExactly("found house.a closed", "contact lights closed", "contact lights open",
                "noted The edge trace " + file + " has ended after 3 edges.");
        assertThat(told.times.get(1) - told.times.get(0)).isEqualTo(40_500_000L);
    }

    @Test
    void switchesAndPushSwitchesAreContactsAsWell() throws Exception {
        Switch mode = new Switch("mode", "MODE", Optional.of(new Pin.Gpio(4)), true, Duration.ZERO, Duration.ZERO,
                Optional.empty(), Optional.empty(), Optional.empty(), Source.NONE);
        Button push = Button.named("iris.push", "iris.push", Source.NONE).onPin(new Pin.Gpio(12));
        Knob iris = new Knob("iris", "IRIS", Optional.empty(), Optional.empty(), 4, new PropertyRef("camera", "iris"),
                1, 1, Optional.of(new Knob.Push(push, Optional.empty())), Optional.empty(), Source.NONE);
        Panel panel = new Panel(Board.ANY, Map.of(), Map.of(), Map.of("mode", mode), Map.of("iris", iris), Map.of(),
                Map.of(), Map.of(), List.of(), Panel.Signs.DEFAULT, Optional.empty());
        Path file = Files.writeString(folder.resolve("trace"), "0 4 1\n5 12 0\n10 12 1\n15 4 0\n");
        EdgeTracePanel trace = EdgeTracePanel.read(file, panel, new NoPanel("test", panel.switches().keySet()));
        trace.open(told);
        trace.played().get(10, TimeUnit.SECONDS);
        trace.close();
        assertThat(told.lines).startsWith("found mode open", "found mode closed", "contact iris.push closed",
                "contact iris.push open", "contact mode open");
    }

    @Test
    void aTraceThatIsClosedEarlyStops() throws Exception {
        Path file = Files.writeString(folder.resolve("trace"), "3600000 5 0\n");
        EdgeTracePanel panel = EdgeTracePanel.read(file, layout, new NoPanel("test"));
        panel.open(told);
        panel.close();
        assertThat(told.lines).isEmpty();
        assertThat(panel.played()).isNotDone();
    }

    @Test
    void whatWasRecordedPlaysBackTheSame() throws Exception {
        Path file = folder.resolve("recorded");
        Hand hand = new Hand();
        EdgeRecorder recorder = EdgeRecorder.to(file, layout, hand);
        recorder.open(told);
        long start = System.nanoTime();
        hand.listener.contact(start + 5_000_000, "lights", true);
        hand.listener.contact(start + 7_000_000, "lights", false);
        hand.listener.contact(start + 8_000_000, "house.b", true);
        hand.listener.contact(start + 9_000_000, "drawn-only", true);
        recorder.close();
        assertThat(told.lines).containsExactly("found house.a closed", "contact lights closed", "contact lights open",
                "contact house.b closed", "contact drawn-only closed");

        Told again = new Told();
        EdgeTracePanel panel = EdgeTracePanel.read(file, layout, new NoPanel("test"));
        panel.open(again);
        Eventually.that("it was played", () -> panel.played().isDone());
        panel.close();
        assertThat(again.lines.subList(0, 4)).isEqualTo(told.lines.subList(0, 4));
        assertThat(again.times.get(1) - again.times.get(0)).isEqualTo(2_000_000L);
    }

    @Test
    void aRecordingNeverOverwritesAFile() throws Exception {
        Path file = Files.writeString(folder.resolve("recorded"), "mine");
        assertThatThrownBy(() -> EdgeRecorder.to(file, layout, new NoPanel("test"))).isInstanceOf(PanelException.class)
                .hasMessageContaining("exists already");
        assertThat(Files.readString(file)).isEqualTo("mine");
    }

    /** A panel moved by the test; its knob rests on a closed contact. */
    private static final class Hand implements bellpush.runtime.panel.Panel {
        PanelListener listener;

        @Override
        public String describe() {
            return "a hand";
        }

        @Override
        public void open(PanelListener to) {
            listener = to;
            to.found(System.nanoTime(), "house.a", true);
        }

        @Override
        public void light(String lamp, double level, Optional<String> colour) {}

        @Override
        public void close() {}
    }
}
