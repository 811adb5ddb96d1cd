package bellpush.runtime.core;

import static bellpush.runtime.core.TestSite.act;
import static bellpush.runtime.core.TestSite.axis;
import static bellpush.runtime.core.TestSite.set;
import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Fader.Calibration;
import bellpush.config.model.Joystick;
import bellpush.config.model.LinkState;
import bellpush.config.model.Pin;
import bellpush.config.model.PropertyType;
import bellpush.drivers.spi.Outcome;
import bellpush.drivers.spi.Request;
import java.util.List;
import java.util.Optional;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import org.junit.jupiter.api.Test;

class AxesTest {
    /** Its middle is off the middle, and its ends are not the converter's. */
    private static final Joystick.Wire STICK = new Joystick.Wire.Analogue(new Pin.OfChip("adc", "1", 1),
            new Calibration(0.1, 0.4, 0.9), 0.06, 2, 0.004);
    private static final double CENTRE = 0.4;
    private static final Joystick.Wire ROCKER = new Joystick.Wire.Contacts(new Pin.Gpio(16), new Pin.Gpio(20));
    private static final PropertyType SPEED = new PropertyType.Whole(-18, 18, "", Optional.empty());

    private static Stage stage() {
        TestSite site = new TestSite().joystick("stick", axis("pan", STICK, "camera.turn", 18))
                .joystick("rocker", axis("rise", ROCKER, "camera.rise", -1));
        site.macro("stop", act("camera.halt")).end();
        site.macro("crawl", set("camera.turn", 3)).end();
        Stage stage = new Stage(site.site()).ready();
        stage.move("stick.pan", CENTRE);
        stage.put(new Input.Found(stage.nowMs() * 1_000_000, "rocker.rise.down", false));
        stage.put(new Input.Found(stage.nowMs() * 1_000_000, "rocker.rise.up", false));
        stage.outcome("camera", "camera turn=0", new Outcome.Sent());
        stage.outcome("camera", "camera rise=0", new Outcome.Sent());
        stage.pass(1_000);
        stage.news();
        return stage;
    }

    private static Stick stick(Joystick.Wire wire, double most) {
        return new Stick(axis("pan", wire, "camera.turn", most), SPEED);
    }

    @Property
    void insideTheDeadZoneIsStandstillWhateverWasBefore(@ForAll @DoubleRange(min = 0, max = 1) double before,
            @ForAll @DoubleRange(min = -1, max = 1) double share) {
        Stick stick = stick(STICK, 18);
        stick.read(CENTRE);
        stick.read(before);
        stick.read(CENTRE + share * 0.06 * (share < 0 ? 0.3 : 0.5));
        assertThat(stick.speed()).isZero();
    }

    @Property
    void fullSpeedIsReachedAtBothEndsAndNeverPassed(@ForAll @DoubleRange(min = 0.2, max = 0.8) double centre,
            @ForAll @DoubleRange(min = 0, max = 0.5) double deadZone,
            @ForAll @DoubleRange(min = 0.5, max = 4) double curve,
            @ForAll @DoubleRange(min = 0, max = 1) double beyond, @ForAll boolean reversed, @ForAll boolean round) {
        Calibration read = reversed ? new Calibration(0.95, centre, 0.05) : new Calibration(0.05, centre, 0.95);
        Stick stick = stick(new Joystick.Wire.Analogue(new Pin.OfChip("adc", "1", 1), read, deadZone, curve, 0.004),
                round ? -18 : 18);
        stick.read(centre);
        int sign = reversed == round ? 1 : -1;
        stick.read(0.95);
        assertThat(stick.speed()).isEqualTo(18 * sign);
        stick.read(0.05);
        assertThat(stick.speed()).isEqualTo(-18 * sign);
        stick.read(beyond);
        assertThat(stick.speed()).isBetween(-18.0, 18.0).isEqualTo(Math.rint(stick.speed()));
    }

    @Property
    void furtherOutIsNeverSlower(@ForAll @DoubleRange(min = 0.4, max = 1) double a,
            @ForAll @DoubleRange(min = 0.4, max = 1) double b) {
        Stick stick = stick(STICK, 18);
        stick.read(CENTRE);
        stick.read(Math.min(a, b));
        double slower = stick.speed();
        stick.read(Math.max(a, b));
        assertThat(stick.speed()).isGreaterThanOrEqualTo(slower).isGreaterThanOrEqualTo(0);
    }

    @Test
    void theFirstThingAfterTheLinkIsUpIsAStandstill() {
        Stage stage = new Stage(new TestSite().joystick("stick", axis("pan", STICK, "camera.turn", 18)).site());
        stage.link("camera", LinkState.UP);
        stage.pass(1_000);
        assertThat(stage.news()).first().isEqualTo("camera turn=0");
        assertThat(stage.sent).doesNotContain("camera turn=0");
    }

    @Test
    void itFollowsTheStickAndSendsNoValueTwice() {
        Stage stage = stage();
        stage.move("stick.pan", 0.65);
        stage.pass(20);
        stage.move("stick.pan", 0.651);
        stage.pass(20);
        stage.move("stick.pan", 0.9);
        stage.pass(20);
        stage.move("stick.pan", 1);
        stage.pass(20);
        stage.move("stick.pan", CENTRE);
        assertThat(stage.news()).containsExactly("camera turn=4", "camera turn=18", "camera turn=0");
        assertThat(stage.events("drive")).hasSize(1);
        assertThat(stage.events("rest")).hasSize(1).first().asString().contains("peak=18");
        assertThat(stage.events("send")).as("start and stop, not each speed").hasSize(1);
    }

    @Test
    void standstillDoesNotWaitBehindSpeeds() {
        Stage stage = stage();
        stage.move("stick.pan", 0.9);
        stage.move("stick.pan", 0.7);
        stage.move("stick.pan", 0.8);
        stage.move("stick.pan", CENTRE);
        assertThat(stage.news()).as("within the property's 20 ms").containsExactly("camera turn=18", "camera turn=0");
        stage.pass(1_000);
        assertThat(stage.news()).isEmpty();
    }

    @Test
    void standstillIsUrgentOnTheLinkToo() {
        Stage stage = stage();
        stage.move("stick.pan", 0.9);
        stage.move("stick.pan", CENTRE);
        List<Boolean> urgent = stage.effects.stream().filter(Effect.Send.class::isInstance)
                .map(e -> ((Effect.Send) e).request()).filter(Request.SetProperty.class::isInstance)
                .map(r -> ((Request.SetProperty) r).urgent()).toList();
        assertThat(urgent.subList(urgent.size() - 2, urgent.size())).containsExactly(false, true);
    }

    @Test
    void aStickThatIsFoundDeflectedMovesNothingBeforeItWasLetGo() {
        Stage stage = new Stage(new TestSite().joystick("stick", axis("pan", STICK, "camera.turn", 18)).site()).ready();
        stage.pass(100);
        stage.news();
        stage.move("stick.pan", 0.9);
        stage.move("stick.pan", 0.8);
        assertThat(stage.news()).isEmpty();
        assertThat(stage.events("note")).hasSize(1);
        stage.move("stick.pan", CENTRE);
        stage.move("stick.pan", 0.9);
        assertThat(stage.news()).containsExactly("camera turn=18");
    }

    @Test
    void aRockerDrivesTurnedRoundAndBothContactsAreNone() {
        Stage stage = stage();
        stage.edge("rocker.rise.up", true);
        stage.edge("rocker.rise.down", true);
        stage.pass(100);
        stage.edge("rocker.rise.up", false);
        assertThat(stage.news()).containsExactly("camera rise=-1", "camera rise=0");
        stage.pass(100);
        assertThat(stage.news()).containsExactly("camera rise=1");
        stage.edge("rocker.rise.down", false);
        assertThat(stage.news()).containsExactly("camera rise=0");
    }

    @Test
    void aRockersBounceStopsAtOnceAndStartsOnlyWhenItIsOver() {
        Stage stage = stage();
        for (int i = 0; i < 5; i++) {
            stage.edge("rocker.rise.down", true);
            stage.pass(1);
            stage.edge("rocker.rise.down", false);
            stage.pass(1);
        }
        assertThat(stage.news()).containsExactly("camera rise=1", "camera rise=0");
        stage.edge("rocker.rise.down", true);
        stage.pass(30);
        assertThat(stage.news()).containsExactly("camera rise=1");
    }

    @Test
    void aRockerFoundClosedMovesNothingBeforeItWasOpen() {
        Stage stage = stage();
        stage.put(new Input.Found(stage.nowMs() * 1_000_000, "rocker.rise.up", true));
        stage.edge("rocker.rise.down", true);
        stage.edge("rocker.rise.down", false);
        stage.pass(100);
        assertThat(stage.news()).isEmpty();
        stage.edge("rocker.rise.up", false);
        stage.pass(100);
        stage.edge("rocker.rise.up", true);
        assertThat(stage.news()).containsExactly("camera rise=-1");
    }

    @Test
    void aLostConverterStopsAndWhatIsReadNextIsAState() {
        Stage stage = stage();
        stage.move("stick.pan", 0.9);
        stage.lose("stick.pan");
        stage.move("stick.pan", 0.9);
        stage.move("stick.pan", 0.7);
        assertThat(stage.news()).containsExactly("camera turn=18", "camera turn=0");
    }

    @Test
    void afterALostLinkItStandsUntilTheStickWasLetGo() {
        Stage stage = stage();
        stage.move("stick.pan", 0.9);
        stage.news();
        stage.link("camera", LinkState.DOWN);
        stage.move("stick.pan", 0.8);
        assertThat(stage.news()).isEmpty();
        assertThat(stage.events("error")).hasSize(1).first().asString().contains("CAUTION");
        stage.link("camera", LinkState.UP);
        assertThat(stage.sent).first().isEqualTo("camera turn=0");
        stage.pass(100);
        stage.news();
        stage.move("stick.pan", 0.9);
        assertThat(stage.news()).isEmpty();
        stage.move("stick.pan", CENTRE);
        stage.move("stick.pan", 0.9);
        assertThat(stage.news()).containsExactly("camera turn=18");
    }

    @Test
    void aStaleLinkIsSentAStandstillToo() {
        Stage stage = stage();
        stage.move("stick.pan", 0.9);
        stage.news();
        stage.link("camera", LinkState.STALE);
        stage.move("stick.pan", 0.8);
        stage.pass(100);
        assertThat(stage.news()).containsExactly("camera turn=0");
        stage.link("camera", LinkState.UP);
        assertThat(stage.sent).first().isEqualTo("camera turn=0");
    }

    @Test
    void aStandstillThatIsRefusedIsSentAgainAFewTimesThenSaidLoudly() {
        Stage stage = stage();
        stage.move("stick.pan", 0.9);
        stage.pass(100);
        stage.news();
        stage.move("stick.pan", CENTRE);
        for (int i = 0; i < 20; i++) {
            if (stage.news().contains("camera turn=0")) {
                stage.outcome("camera", "camera turn=0", new Outcome.Refused("test"));
            }
            stage.pass(300);
        }
        assertThat(stage.events("refusal")).hasSize(Axes.STOPS_MAX);
        assertThat(stage.events("error")).hasSize(1).first().asString().contains("CAUTION", "camera.turn");
    }

    @Test
    void whoeverSetsTheSpeedMeanwhileHasItUntilTheStickWasLetGo() {
        Stage stage = stage();
        stage.move("stick.pan", 0.9);
        stage.press("stop");
        stage.move("stick.pan", 0.8);
        stage.pass(100);
        assertThat(stage.news()).containsExactly("camera turn=18", "camera halt!");
        stage.move("stick.pan", CENTRE);
        stage.move("stick.pan", 0.9);
        assertThat(stage.news()).containsExactly("camera turn=18");
    }

    @Test
    void aStopOfSomebodyElseThatIsRefusedIsMadeGood() {
        Stage stage = stage();
        stage.move("stick.pan", 0.9);
        stage.press("stop");
        stage.move("stick.pan", CENTRE);
        stage.news();
        stage.outcome("camera", "camera halt!", new Outcome.Refused("test"));
        assertThat(stage.news()).containsExactly("camera turn=0");
    }

    @Test
    void theEndStopsWhatMovesAndLetsNothingElseOut() {
        Stage stage = stage();
        stage.move("stick.pan", 0.9);
        stage.move("stick.pan", 0.7);
        stage.press("crawl");
        stage.move("stick.pan", CENTRE);
        stage.move("stick.pan", 0.9);
        stage.edge("rocker.rise.down", true);
        stage.pass(100);
        stage.news();
        stage.end();
        assertThat(stage.news()).containsExactly("camera turn=0", "camera rise=0");
        assertThat(stage.core.atRest()).isFalse();
        stage.pass(10);
        stage.move("stick.pan", 0.6);
        stage.press("crawl");
        stage.outcome("camera", "camera turn=0", new Outcome.Sent());
        stage.pass(1_000);
        assertThat(stage.news()).isEmpty();
        assertThat(stage.core.notStopped()).containsExactly("camera.rise");
        stage.outcome("camera", "camera rise=0", new Outcome.Sent());
        assertThat(stage.core.atRest()).isTrue();
    }

    @Test
    void theEndSendsNothingToWhatStands() {
        Stage stage = stage();
        stage.end();
        assertThat(stage.news()).isEmpty();
        assertThat(stage.core.atRest()).isTrue();
    }
}
