package bellpush.runtime.core;

import static bellpush.runtime.core.TestSite.is;
import static bellpush.runtime.core.TestSite.ref;
import static bellpush.runtime.core.TestSite.set;
import static bellpush.runtime.core.TestSite.until;
import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Answers;
import bellpush.config.model.Device;
import bellpush.config.model.Fader;
import bellpush.config.model.Joystick;
import bellpush.config.model.Kind;
import bellpush.config.model.LinkState;
import bellpush.config.model.Panel;
import bellpush.config.model.Pin;
import bellpush.config.model.Property;
import bellpush.config.model.Site;
import bellpush.config.model.Source;
import bellpush.config.model.Step;
import bellpush.config.model.Template;
import bellpush.drivers.spi.Outcome;
import java.time.Duration;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.UnaryOperator;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** That a standstill arrives: what may have lost it on the way, and what else may leave a speed behind. */
class StandstillTest {
    private static final String STILL = "mixer left=0";

    /** A stick on the mixer's left, which goes both ways from 0. */
    private static Stage stage(TestSite site, String driver, boolean confirms) {
        return stage(site, kind -> spokenTo(kind, driver, confirms), confirms);
    }

    private static Stage stage(TestSite site, UnaryOperator<Kind> change, boolean confirms) {
        Site made = site.site();
        Joystick.Axis axis = new Joystick.Axis("pan",
                Optional.of(new Joystick.Wire.Analogue(new Pin.OfChip("adc", "0", 0), new Fader.Calibration(0, 0.5, 1),
                        0.06, 1, 0.004)),
                ref("mixer.left"), 100, Source.NONE);
        Panel p = made.panel();
        Panel panel = new Panel(p.board(), p.chips(), p.buttons(), p.switches(), p.knobs(), p.faders(),
                Map.of("stick", new Joystick("stick", "STICK", Map.of("pan", axis), Optional.empty(), Source.NONE)),
                p.lamps(), p.rows(), p.signs(), p.face());
        Map<String, Device> devices = new LinkedHashMap<>(made.devices());
        devices.computeIfPresent("mixer", (name, d) -> new Device(name, d.label(), change.apply(d.kind()), d.address(),
                d.port(), d.settings(), d.at()));
        Stage stage = new Stage(
                new Site(made.folder(), made.name(), made.frameRate(), made.limits(), panel, devices, made.macros()));
        stage.ready();
        stage.put(new Input.Moved(stage.nowNanos(), "stick.pan", 0.5));
        if (stage.requestOf.containsKey(STILL)) {
            stage.outcome("mixer", STILL, confirms ? new Outcome.Done() : new Outcome.Sent());
        }
        passSending(stage, 2_000);
        stage.sent.clear();
        stage.effects.clear();
        return stage;
    }

    private static Kind spokenTo(Kind k, String driver, boolean confirms) {
        Answers answers = confirms
                ? new Answers(List.of(new Template.Text("OK")), List.of(), Duration.ofSeconds(1), 2)
                : Answers.NONE;
        return new Kind(k.name(), k.about(), driver, k.stream(), k.port(), k.framing(), k.envelope(), k.properties(),
                k.commands(), k.reports(), k.greeting(), k.asks(), k.askEvery(), k.heartbeat(), k.fastest(), answers,
                k.settings(), k.at());
    }

    /** Moving it left makes it unknown what fills the key. */
    private static Kind unsettling(Kind k) {
        Map<String, Property> properties = new LinkedHashMap<>(k.properties());
        properties.computeIfPresent("left", (name, p) -> new Property(name, p.about(), p.type(), p.set(), p.ask(),
                p.answer(), p.report(), p.reported(), p.initial(), p.fastest(), p.takes(), p.steadyWhile(),
                List.of("fill"), p.at()));
        return new Kind(k.name(), k.about(), k.driver(), k.stream(), k.port(), k.framing(), k.envelope(), properties,
                k.commands(), k.reports(), k.greeting(), k.asks(), k.askEvery(), k.heartbeat(), k.fastest(),
                k.answers(), k.settings(), k.at());
    }

    private static Stage tcp() {
        return stage(new TestSite(), "tcp", false);
    }

    private static void stick(Stage stage, double share) {
        stage.put(new Input.Moved(stage.nowNanos(), "stick.pan", share));
    }

    /** Pushes the stick, and everything that leaves counts as sent, to whatever end. */
    private static void push(Stage stage) {
        stick(stage, 1);
        stage.outcome("mixer", "mixer left=100", new Outcome.Sent());
        stage.pass(500);
        stage.sent.removeIf(words -> words.endsWith("?"));
    }

    private static void passSending(Stage stage, long ms) {
        for (long i = 0; i < ms; i += 10) {
            stage.pass(10);
            if (stage.requestOf.remove(STILL) instanceof Long id) {
                stage.put(new Input.Finished(stage.nowNanos(), "mixer", id, new Outcome.Sent()));
            }
        }
        stage.sent.removeIf(words -> words.endsWith("?"));
    }

    @Test
    void whereNothingTellsThatADatagramHasArrivedAStandstillIsSentMoreThanOnce() {
        Stage stage = stage(new TestSite(), "udp", false);
        push(stage);
        stick(stage, 0.5);
        passSending(stage, 3_000);
        assertThat(stage.sent).containsExactly("mixer left=100", STILL, STILL, STILL, STILL);
    }

    @Test
    void aSpeedThatMayHaveComeAfterTheStandstillIsStoppedOnceMore() {
        Stage stage = stage(new TestSite(), "udp", true);
        stick(stage, 1);
        stage.pass(20);
        stick(stage, 0.5);
        stage.outcome("mixer", STILL, new Outcome.Done());
        assertThat(stage.news()).containsExactly("mixer left=100", STILL);
        stage.outcome("mixer", "mixer left=100", new Outcome.Done());
        assertThat(stage.news()).containsExactly(STILL);
        assertThat(stage.core.atRest()).isFalse();
        stage.outcome("mixer", STILL, new Outcome.Done());
        passSending(stage, 3_000);
        assertThat(stage.news()).as("the repeats of every datagram").containsExactly(STILL, STILL, STILL);
        assertThat(stage.core.atRest()).isTrue();
    }

    @Test
    void aStandstillOfAMacroIsSentMoreThanOnceAsWell() {
        TestSite site = new TestSite();
        site.macro("stop", set("mixer.left", 0)).end();
        Stage stage = stage(site, "udp", false);
        push(stage);
        stage.press("stop");
        passSending(stage, 3_000);
        assertThat(stage.sent).containsExactly("mixer left=100", STILL, STILL, STILL, STILL);
    }

    @Test
    void aSpeedOfWhichNoAnswerCameMayStillBeOnItsWay() {
        Stage stage = stage(new TestSite(), "udp", true);
        stick(stage, 1);
        stage.pass(20);
        stick(stage, 0.5);
        stage.outcome("mixer", STILL, new Outcome.Done());
        stage.news();
        stage.outcome("mixer", "mixer left=100", new Outcome.Failed("no answer"));
        assertThat(stage.news()).contains(STILL);
    }

    @Test
    void aStreamKeepsTheOrderSoNothingIsStoppedOnceMore() {
        Stage stage = stage(new TestSite(), "tcp", true);
        stick(stage, 1);
        stage.pass(20);
        stick(stage, 0.5);
        stage.outcome("mixer", STILL, new Outcome.Done());
        stage.news();
        stage.outcome("mixer", "mixer left=100", new Outcome.Done());
        assertThat(stage.news()).isEmpty();
    }

    @ParameterizedTest
    @ValueSource(booleans = {false, true})
    void whereADeviceHasComeToStandIsAskedOnceItStands(boolean byMacro) {
        TestSite site = new TestSite();
        site.macro("stop", set("mixer.left", 0)).end();
        Stage stage = stage(site, StandstillTest::unsettling, false);
        stage.outcome("mixer", "mixer fill?", new Outcome.Done()); // asked when the link came up
        stick(stage, 1);
        stage.outcome("mixer", "mixer left=100", new Outcome.Sent());
        stage.pass(2_000);
        assertThat(stage.news()).as("while it moves").doesNotContain("mixer fill?");
        if (byMacro) {
            stage.press("stop");
        } else {
            stick(stage, 0.5);
        }
        stage.outcome("mixer", STILL, new Outcome.Sent());
        stage.pass(2_000);
        assertThat(stage.news()).containsOnlyOnce("mixer fill?");
    }

    @Test
    void whatARefusedSpeedWouldHaveUnsettledIsAsked() {
        Stage stage = stage(new TestSite(), StandstillTest::unsettling, false);
        stage.outcome("mixer", "mixer fill?", new Outcome.Done());
        stick(stage, 1);
        stage.outcome("mixer", "mixer left=100", new Outcome.Refused("no"));
        stage.pass(2_000);
        assertThat(stage.news()).containsOnlyOnce("mixer fill?");
    }

    @Test
    void whatMovesAgainIsNotAskedWhereItStands() {
        Stage stage = stage(new TestSite(), StandstillTest::unsettling, false);
        stage.outcome("mixer", "mixer fill?", new Outcome.Done());
        stick(stage, 1);
        stage.outcome("mixer", "mixer left=100", new Outcome.Sent());
        stage.pass(500);
        stick(stage, 0.5);
        stage.outcome("mixer", STILL, new Outcome.Sent());
        stick(stage, 1);
        stage.pass(2_000);
        assertThat(stage.news()).doesNotContain("mixer fill?");
    }

    @Test
    void aStickThatIsPushedAgainEndsTheRepeating() {
        Stage stage = stage(new TestSite(), "udp", false);
        push(stage);
        stick(stage, 0.5);
        passSending(stage, 20);
        stick(stage, 0);
        passSending(stage, 3_000);
        assertThat(stage.sent).containsExactly("mixer left=100", STILL, "mixer left=-100");
    }

    @Test
    void whoeverSetsTheSpeedMeanwhileIsNotStoppedByTheRepeating() {
        Stage stage = stage(new TestSite().macro("slowly", set("mixer.left", 5)).end(), "udp", false);
        push(stage);
        stick(stage, 0.5);
        passSending(stage, 20);
        stage.press("slowly");
        passSending(stage, 3_000);
        assertThat(stage.sent).containsExactly("mixer left=100", STILL, "mixer left=5");
    }

    @Test
    void aStreamLosesNothingSoOnceIsEnough() {
        Stage stage = tcp();
        push(stage);
        stick(stage, 0.5);
        passSending(stage, 3_000);
        assertThat(stage.sent).containsExactly("mixer left=100", STILL);
    }

    /** The network may have doubled the speed, and bring the second of them after the standstill. */
    @Test
    void aDatagramIsRepeatedAlsoWhereTheDeviceHasConfirmedIt() {
        Stage stage = stage(new TestSite(), "udp", true);
        push(stage);
        stick(stage, 0.5);
        stage.outcome("mixer", STILL, new Outcome.Done());
        stage.requestOf.remove(STILL);
        passSending(stage, 3_000);
        assertThat(stage.sent).containsExactly("mixer left=100", STILL, STILL, STILL, STILL);
    }

    @Test
    void anAnswerThatTakesLongDoesNotHoldUpTheRepeating() {
        Stage stage = stage(new TestSite(), "udp", true);
        push(stage);
        stick(stage, 0.5);
        stage.outcome("mixer", STILL, new Outcome.Done());
        stage.sent.clear();
        stage.pass(400);
        stage.sent.removeIf(words -> words.endsWith("?"));
        assertThat(stage.sent).containsExactly(STILL, STILL, STILL);
        assertThat(stage.core.atRest()).as("the answers are yet to come").isFalse();
    }

    @Test
    void whatAMacroStopsIsRepeatedAlsoWhereTheDeviceConfirms() {
        Stage stage = stage(new TestSite().macro("stop", set("mixer.left", 0)).end(), "udp", true);
        push(stage);
        stage.press("stop");
        stage.outcome("mixer", STILL, new Outcome.Done());
        stage.requestOf.remove(STILL);
        passSending(stage, 3_000);
        assertThat(stage.sent).containsExactly("mixer left=100", STILL, STILL, STILL, STILL);
    }

    @Test
    void theRepeatingEndsWithTheLinkAndTheShowDoesNotEndBeforeIt() {
        Stage stage = stage(new TestSite(), "udp", false);
        push(stage);
        stage.put(new Input.Ending(stage.nowNanos(), "test"));
        assertThat(stage.sent).endsWith(STILL);
        passSending(stage, 20);
        assertThat(stage.core.atRest()).as("more of them are to leave").isFalse();
        passSending(stage, 480);
        assertThat(stage.core.atRest()).as("within the time that the links are kept open").isTrue();
        assertThat(stage.sent).containsExactly("mixer left=100", STILL, STILL, STILL, STILL);
        assertThat(stage.core.notStopped()).isEmpty();

        Stage other = stage(new TestSite(), "udp", false);
        push(other);
        stick(other, 0.5);
        passSending(other, 20);
        other.link("mixer", LinkState.DOWN);
        other.sent.clear();
        passSending(other, 3_000);
        assertThat(other.sent).isEmpty();
    }

    @Test
    void aMacroThatFailsLeavesNoSpeedBehind() {
        Stage stage = stage(new TestSite()
                .macro("glide", set("mixer.left", 30), until(is("mixer.fill", "stills"), 1_000), set("mixer.left", 0))
                .end(), "tcp", false);
        stage.press("glide");
        stage.outcome("mixer", "mixer left=30", new Outcome.Sent());
        stage.pass(900);
        assertThat(stage.sent).contains("mixer left=30").doesNotContain(STILL);
        stage.pass(200);
        assertThat(stage.core.running()).isEmpty();
        assertThat(stage.events("failed")).hasSize(1);
        assertThat(stage.sent).contains(STILL);
    }

    @Test
    void aMacroThatDoesAsItShouldMayLeaveASpeed() {
        Stage stage = stage(new TestSite().macro("glide", set("mixer.left", 30)).end(), "tcp", false);
        stage.press("glide");
        stage.pass(3_000);
        assertThat(stage.sent).contains("mixer left=30").doesNotContain(STILL);
    }

    @Test
    void aMacroThatFailsStopsNothingThatSomebodyElseDrivesNow() {
        Stage stage = stage(new TestSite()
                .macro("glide", set("mixer.left", 30), until(is("mixer.fill", "stills"), 1_000))
                .onFailure(new Step.Otherwise.Stop()).end(), "tcp", false);
        stage.press("glide");
        stage.outcome("mixer", "mixer left=30", new Outcome.Sent());
        stick(stage, 1);
        stage.pass(2_000);
        assertThat(stage.sent).contains("mixer left=100").doesNotContain(STILL);
    }

    @ParameterizedTest
    @ValueSource(doubles = {Double.NaN, Double.POSITIVE_INFINITY, Double.NEGATIVE_INFINITY})
    void aReadingThatIsNoNumberStopsLikeALostConverter(double share) {
        Stage stage = tcp();
        push(stage);
        stick(stage, share);
        assertThat(stage.sent).containsExactly("mixer left=100", STILL);
        stick(stage, 0.9);
        stage.pass(500);
        assertThat(stage.sent).as("found deflected").endsWith(STILL);
    }
}
