package bellpush.runtime.core;

import static bellpush.runtime.core.TestSite.*;
import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.LinkState;
import bellpush.config.model.Operand;
import bellpush.drivers.spi.Outcome;
import org.junit.jupiter.api.Test;

/** A set that goes on when the device has reported it. */
class ConfirmedSetTest {
    private static Stage stage() {
        return new Stage(new TestSite()
                .macro("go", confirmed(set("mixer.fill", "slides", "mixer.onAir", true), 500, 3), act("mixer.dissolve"))
                .end().site()).ready();
    }

    @Test
    void theChainGoesOnWhenEveryValueIsReported() {
        Stage stage = stage();
        stage.edge("go", true);
        stage.report("mixer", "fill", "slides");
        assertThat(stage.sent).containsExactly("mixer fill=slides", "mixer onAir=true");
        stage.pass(100);
        stage.report("mixer", "onAir", true);
        assertThat(stage.sent).endsWith("mixer dissolve!");
        stage.pass(5000);
        assertThat(stage.sent).hasSize(3);
        assertThat(stage.events("met")).singleElement().asString().contains("mixer.fill slides and mixer.onAir true");
    }

    @Test
    void whatIsNotReportedIsSentAgainAndNothingElse() {
        Stage stage = stage();
        stage.edge("go", true);
        stage.report("mixer", "fill", "slides");
        stage.pass(500);
        assertThat(stage.sent).containsExactly("mixer fill=slides", "mixer onAir=true", "mixer onAir=true");
        assertThat(stage.events("note")).singleElement().asString()
                .contains("mixer.onAir should be true and is true (assumed); sent again, 2 of 3 times");
        stage.report("mixer", "onAir", true);
        assertThat(stage.sent).endsWith("mixer dissolve!");
    }

    @Test
    void itFailsAfterTheLastTime() {
        Stage stage = stage();
        stage.edge("go", true);
        stage.pass(1499);
        assertThat(stage.events("failed")).isEmpty();
        stage.pass(1);
        assertThat(stage.sent).hasSize(6);
        assertThat(stage.events("failed")).singleElement().asString().contains("mixer.fill should be slides")
                .contains("after it was sent 3 times");
    }

    @Test
    void aMessageThatIsLostOrRefusedIsAsGoodAsOneThatIsNotReported() {
        Stage stage = stage();
        stage.edge("go", true);
        stage.outcome("mixer", "mixer fill=slides", new Outcome.Failed("no answer"));
        stage.outcome("mixer", "mixer onAir=true", new Outcome.Refused("busy"));
        assertThat(stage.events("failed")).isEmpty();
        stage.pass(500);
        stage.report("mixer", "fill", "slides", "onAir", true);
        assertThat(stage.sent).endsWith("mixer dissolve!");
        stage.outcome("mixer", "mixer fill=slides", new Outcome.Failed("no answer"));
        assertThat(stage.events("failed")).as("it has arrived, whatever became of the last message").isEmpty();
    }

    @Test
    void aLinkThatGoesDownFailsItWhenItWouldSendAgain() {
        Stage stage = stage();
        stage.edge("go", true);
        stage.link("mixer", LinkState.DOWN);
        stage.pass(500);
        assertThat(stage.events("failed")).singleElement().asString().contains("the link to mixer is down");
    }

    /** The device had reported that value before, but this set waits for its pace: nothing is confirmed before it has left. */
    @Test
    void anOlderReportConfirmsNothing() {
        TestSite site = new TestSite();
        site.macro("go", set("mixer.left", 1), confirmed(set("mixer.left", 0), 500, 1), act("mixer.dissolve")).end();
        Stage stage = new Stage(site.site()).ready();
        stage.edge("go", true);
        stage.report("mixer", "left", 0);
        assertThat(stage.sent).containsExactly("mixer left=1");
        stage.pass(20);
        assertThat(stage.sent).containsExactly("mixer left=1", "mixer left=0");
        stage.report("mixer", "left", 0);
        assertThat(stage.sent).endsWith("mixer dissolve!");
    }

    @Test
    void aValueThatIsLookedUpIsLookedUpOnce() {
        TestSite site = new TestSite();
        site.macro("over", confirmed(set("mixer.onAir", new Operand.Opposite()), 500, 2)).end();
        Stage stage = new Stage(site.site()).ready();
        stage.edge("over", true);
        stage.pass(500);
        assertThat(stage.sent).containsExactly("mixer onAir=true", "mixer onAir=true");
    }

    @Test
    void theStepsOwnWordHoldsForIt() {
        TestSite site = new TestSite();
        site.macro("go", orGoOn(confirmed(set("mixer.fill", "slides"), 100, 1)), act("mixer.dissolve")).end();
        Stage stage = new Stage(site.site()).ready();
        stage.edge("go", true);
        stage.pass(100);
        assertThat(stage.sent).endsWith("mixer dissolve!");
        assertThat(stage.events("note")).singleElement().asString().contains("after it was sent once; going on");
    }
}
