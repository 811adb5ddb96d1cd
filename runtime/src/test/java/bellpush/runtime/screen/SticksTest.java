package bellpush.runtime.screen;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Board;
import bellpush.config.model.Fader;
import bellpush.config.model.Joystick;
import bellpush.config.model.Panel;
import bellpush.config.model.Pin;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Source;
import bellpush.runtime.panel.AnalogueHand;
import bellpush.runtime.panel.PanelListener;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.Test;

class SticksTest {
    private static final Panel PANEL = new Panel(Board.ANY, Map.of(), Map.of(), Map.of(), Map.of(),
            Map.of("music", new Fader("music", "MUSIC", Optional.empty(), new PropertyRef("desk", "level"), -60, 10,
                    Fader.Calibration.NONE, 1, 0.004, true, Optional.empty(), Source.NONE)),
            Map.of("head", new Joystick("head", "HEAD",
                    Map.of("pan", new Joystick.Axis("pan", Optional.empty(), new PropertyRef("camera", "pan"), 8,
                            Source.NONE),
                            "zoom", new Joystick.Axis("zoom",
                                    Optional.of(new Joystick.Wire.Contacts(new Pin.Gpio(5), new Pin.Gpio(6))),
                                    new PropertyRef("camera", "zoom"), 4, Source.NONE)),
                    Optional.empty(), Source.NONE)),
            Map.of(), List.of(), Panel.Signs.DEFAULT, Optional.empty());

    private final List<String> told = new ArrayList<>();
    private final Sticks sticks = new Sticks(new AnalogueHand(PANEL, new PanelListener() {
        @Override
        public void contact(long atNanos, String contact, boolean closed) {
            told.add(contact + " " + closed);
        }

        @Override
        public void turned(long atNanos, String knob, int detents) {}

        @Override
        public void moved(long atNanos, String input, double share) {
            told.add(input + String.format(Locale.ROOT, " %.2f", share));
        }

        @Override
        public void noted(String text) {}
    }));

    @Test
    void aNudgeEndsByItselfAndAKeyThatRepeatsKeepsItUp() {
        sticks.nudge(0, "head.pan", 1);
        sticks.tick(300_000_000);
        sticks.nudge(300_000_000, "head.pan", 1);
        sticks.tick(600_000_000);
        assertThat(told).containsExactly("head.pan 0.50", "head.pan 0.75", "head.pan 0.75");
        assertThat(sticks.pushed()).containsExactly("head.pan");
        assertThat(sticks.due()).hasValue(700_000_000);
        sticks.tick(700_000_000);
        assertThat(told).last().isEqualTo("head.pan 0.50");
        assertThat(sticks.pushed()).isEmpty();
    }

    @Test
    void aRockerIsToldAsItsContacts() {
        sticks.nudge(0, "head.zoom", -1);
        sticks.letGoOfAll(10);
        assertThat(told).containsExactly("head.zoom.down true", "head.zoom.up false", "head.zoom.down false",
                "head.zoom.up false");
    }

    @Test
    void aFaderIsTakenWhereItsValueIsAndGoesOnFromThere() {
        sticks.step(0, "music", 1, 0.8);
        sticks.step(100_000_000, "music", 1, 0.8);
        assertThat(told).as("through the value, then on, whatever is still reported").containsExactly("music 0.77",
                "music 0.85", "music 0.90");
        told.clear();
        sticks.step(5_000_000_000L, "music", -1, 0.3);
        assertThat(told).as("somebody has put it elsewhere").containsExactly("music 0.33", "music 0.25");
    }
}
