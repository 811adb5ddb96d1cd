package bellpush.runtime.core;

import static bellpush.runtime.core.TestSite.*;
import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.LinkState;
import bellpush.config.model.Operand;
import bellpush.config.model.Source;
import bellpush.config.model.Step;
import bellpush.drivers.spi.Outcome;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.Test;

/** Values that are looked up when the step begins. */
class OperandsTest {
    private static Operand present(String property) {
        return new Operand.Present(ref(property));
    }

    private static Stage stage(String name, Step... steps) {
        return new Stage(new TestSite().macro(name, steps).end().site()).ready();
    }

    @Test
    void aValueIsThatOfAnotherPropertyAtThatMoment() {
        Stage stage = stage("follow", pause(100), set("mixer.preview", present("mixer.fill")));
        stage.report("mixer", "fill", "slides");
        stage.press("follow");
        stage.report("mixer", "fill", "stills");
        stage.pass(100);
        assertThat(stage.sent).containsExactly("mixer preview=stills");
        assertThat(stage.events("step")).last().asString().contains("set mixer.preview to what mixer.fill is");
    }

    @Test
    void aSetLooksEverythingUpBeforeItSendsAnything() {
        Map<bellpush.config.model.PropertyRef, Operand> swap = new LinkedHashMap<>();
        swap.put(ref("mixer.preview"), present("mixer.fill"));
        swap.put(ref("mixer.fill"), present("mixer.preview"));
        Stage stage = stage("swap", new Step.Set(swap, Optional.empty(), Source.NONE));
        stage.report("mixer", "fill", "slides", "preview", "stills");
        stage.press("swap");
        assertThat(stage.sent).containsExactly("mixer preview=slides", "mixer fill=stills");
    }

    @Test
    void whatIsNotKnownFailsTheStepWithTheReasonAndSendsNothing() {
        Stage stage = stage("follow", set("mixer.onAir", true), set("mixer.fill", present("mixer.preview")), say("no"));
        stage.press("follow");
        assertThat(stage.sent).containsExactly("mixer onAir=true");
        assertThat(stage.events("failed")).singleElement().asString()
                .contains("mixer.preview is not known, so mixer.fill cannot be set to it");
        assertThat(stage.events("say")).isEmpty();

        Stage other = stage("switch-over", set("camera.speed", new Operand.By(0.1)));
        other.press("switch-over");
        assertThat(other.sent).isEmpty();
        assertThat(other.events("failed")).singleElement().asString()
                .contains("camera.speed is not known, so it cannot be changed by 0.1");
    }

    @Test
    void aValueThatTheOtherPropertyCannotHaveFailsTheStep() {
        Stage stage = stage("far", set("camera.turn", present("mixer.left")));
        stage.report("mixer", "left", 500);
        stage.press("far");
        assertThat(stage.sent).isEmpty();
        assertThat(stage.events("failed")).singleElement().asString()
                .contains("camera.turn cannot be set to what mixer.left is, 500");
    }

    @Test
    void aFlagIsSetToItsOppositeAndAnUnknownOneFails() {
        Stage stage = stage("over", set("mixer.onAir", new Operand.Opposite()));
        stage.press("over");
        stage.report("mixer", "onAir", true);
        stage.press("over");
        assertThat(stage.sent).containsExactly("mixer onAir=true", "mixer onAir=false");
        stage.link("mixer", LinkState.DOWN);
        stage.link("mixer", LinkState.UP);
        stage.news();
        stage.press("over");
        assertThat(stage.sent).isEmpty();
        assertThat(stage.events("failed")).singleElement().asString()
                .contains("mixer.onAir is not known, so it cannot be set to its opposite");
    }

    @Test
    void aNumberMovesByAnAmountAndStaysWithinItsRange() {
        Stage stage = stage("left", set("mixer.left", new Operand.By(-300)));
        for (int i = 0; i < 5; i++) {
            stage.press("left");
        }
        assertThat(stage.sent).containsExactly("mixer left=-300", "mixer left=-600", "mixer left=-900",
                "mixer left=-1000", "mixer left=-1000");
        Stage tenths = stage("faster", set("camera.speed", 0.1), set("camera.speed", new Operand.By(0.2)));
        tenths.press("faster");
        assertThat(tenths.sent).containsExactly("camera speed=0.1", "camera speed=0.3");
    }

    /** The pace of mixer.left is 20 ms: the second value must count from the first, though that has not left. */
    @Test
    void whatIsAboutToLeaveCountsBeforeTheNextIsWorkedOut() {
        Stage stage = stage("left", set("mixer.left", new Operand.By(10)), set("mixer.left", new Operand.By(10)),
                set("mixer.left", new Operand.By(10)), new Step.Remember(ref("mixer.left"), Source.NONE),
                set("mixer.left", 0), new Step.Restore(ref("mixer.left"), Source.NONE));
        stage.press("left");
        stage.pass(200);
        assertThat(stage.sent).startsWith("mixer left=10", "mixer left=20", "mixer left=30")
                .endsWith("mixer left=30");
        assertThat(stage.events("done")).hasSize(1);
    }

    @Test
    void anArgumentCanBeAPresentValue() {
        Stage stage = stage("move", new Step.Do("mixer", "move", Map.of("to", present("mixer.left")), Source.NONE));
        stage.report("mixer", "left", 77);
        stage.press("move");
        assertThat(stage.sent).containsExactly("mixer move!");
        assertThat(stage.events("send")).singleElement().asString().contains("with={to=77}");
        stage.report("mixer", "left", 900);
        stage.outcome("mixer", "mixer move!", new Outcome.Done());
        stage.press("move");
        assertThat(stage.events("failed")).singleElement().asString()
                .contains("the argument to cannot be set to what mixer.left is, 900");
        assertThat(stage.events("step")).first().asString()
                .contains("do mixer.move with to to what mixer.left is");
        assertThat(List.copyOf(stage.sent)).hasSize(1);
    }
}
