package bellpush.runtime.core;

import static bellpush.runtime.core.TestSite.*;
import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.LinkState;
import org.junit.jupiter.api.Test;

/** Changes that somebody makes at the gear itself. */
class ElsewhereTest {
    private static Stage stage() {
        return new Stage(
                new TestSite().macro("go", set("mixer.fill", "slides")).end().macro("on", act("mixer.dissolve"))
                        .end().site())
                .ready();
    }

    @Test
    void aChangeThatNobodyHereMadeIsNotedAsSuch() {
        Stage stage = stage();
        stage.report("mixer", "fill", "stills", "onAir", false);
        assertThat(stage.events("elsewhere"))
                .containsExactly(" {property=mixer.fill, from=titles, to=stills}");
    }

    @Test
    void whatAPressHasBroughtAboutIsNot() {
        Stage stage = stage();
        stage.press("go");
        stage.report("mixer", "fill", "titles"); // from before it arrived
        stage.report("mixer", "fill", "slides");
        stage.press("on");
        stage.report("mixer", "onAir", true);
        assertThat(stage.events("elsewhere")).isEmpty();
    }

    @Test
    void onceTheDeviceHasSaidWhatItWasToldAnyOtherValueIsSomebodyElses() {
        Stage stage = stage();
        stage.press("go");
        stage.report("mixer", "fill", "slides");
        stage.report("mixer", "fill", "stills");
        assertThat(stage.events("elsewhere"))
                .containsExactly(" {property=mixer.fill, from=slides, to=stills}");
        assertThat(stage.events("report")).last().asString().startsWith(" ");
    }

    @Test
    void onItsWayToWhereItWasSentADeviceMayReportWhatItPasses() {
        Stage stage = stage();
        stage.press("on"); // takes a second
        stage.report("mixer", "onAir", true);
        stage.report("mixer", "onAir", false);
        stage.report("mixer", "onAir", true);
        assertThat(stage.events("elsewhere")).isEmpty();
        stage.pass(1100);
        stage.report("mixer", "onAir", false);
        assertThat(stage.events("elsewhere")).hasSize(1);
    }

    @Test
    void aDeviceThatComesBackHasChangedNothing() {
        Stage stage = stage();
        stage.link("mixer", LinkState.DOWN);
        stage.link("mixer", LinkState.UP);
        stage.report("mixer", "fill", "stills");
        assertThat(stage.events("elsewhere")).isEmpty();
    }

    @Test
    void aKnobThatIsTurnedChangesWhatItTurns() {
        Stage stage = new Stage(new TestSite().knob("left", "mixer.left", 1).site()).ready();
        for (int i = 1; i <= 5; i++) {
            stage.put(new Input.Turned(stage.nowNanos(), "left", 1));
            stage.pass(30);
        }
        for (int i = 1; i <= 5; i++) {
            stage.report("mixer", "left", i);
        }
        assertThat(stage.events("elsewhere")).isEmpty();
    }
}
