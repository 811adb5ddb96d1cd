package bellpush.runtime.core;

import static bellpush.runtime.core.GlideSite.glide;
import static bellpush.runtime.core.TestSite.pause;
import static bellpush.runtime.core.TestSite.set;
import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Ease;
import bellpush.config.model.Joystick;
import bellpush.config.model.LinkState;
import bellpush.config.model.Macro;
import bellpush.config.model.Pin;
import bellpush.config.model.Site;
import bellpush.config.model.Step;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Random evenings with glides, from a seed: they are started, restarted, overtaken, refused, and lose their links. Whatever has
 * happened, once no macro runs and no stick is pushed, everything stands. A failure names its seed.
 */
class RandomGlidesTest {
    private static final int EVENINGS = 40;
    private static final int INPUTS = 40;
    private static final List<String> MACROS = List.of("look", "back", "fade", "draw", "point", "drift");
    private static final List<String> SPEEDS = List.of("head.pan.speed", "head.tilt.speed", "head.roll.speed");

    private static Site site(String driver) {
        Joystick.Wire rocker = new Joystick.Wire.Contacts(new Pin.Gpio(5), new Pin.Gpio(6));
        TestSite site = new TestSite().joystick("stick", TestSite.axis("pan", rocker, "head.pan.speed", 6));
        site.macro("look", glide(2_000, Ease.BOTH, "head.pan", 60, "head.tilt", 20, "desk.music", -40))
                .again(Macro.Again.RESTART).end();
        site.macro("back", glide(1_500, Ease.START, "head.pan", -20, "head.roll", 5), pause(50)).lane("head").end();
        site.macro("fade", glide(700, Ease.EVEN, "desk.music", -10, "desk.speech", -6)).again(Macro.Again.QUEUE).end();
        site.macro("draw", glide(900, Ease.END, "curtain.open", 70, "head.tilt", -5))
                .onFailure(new Step.Otherwise.GoOn()).end();
        site.macro("point", set("head.pan", 15)).end();
        site.macro("drift", glide(1_200, Ease.SMOOTH, "head.roll", -8, "head.pan", 30), pause(100)).lane("head")
                .onFailure(new Step.Otherwise.Instead("point")).end();
        return GlideSite.of(site, driver);
    }

    private static void something(GlideStage stage, SplittableRandom random) {
        stage.pass(random.nextInt(400));
        switch (random.nextInt(12)) {
            case 0 -> {
                stage.refusing = true;
                stage.pass(random.nextInt(60));
                stage.refusing = false;
            }
            case 1 -> {
                String device = List.of("head", "desk", "curtain").get(random.nextInt(3));
                stage.link(device, random.nextBoolean() ? LinkState.DOWN : LinkState.STALE);
                stage.pass(random.nextInt(300));
                stage.link(device, LinkState.UP);
                stage.tellAll();
            }
            case 2 -> {
                String contact = random.nextBoolean() ? "stick.pan.up" : "stick.pan.down";
                stage.put(new Input.Contact(stage.clock().now(), contact, true));
                stage.pass(random.nextInt(500));
                stage.put(new Input.Contact(stage.clock().now(), contact, false));
            }
            case 3 -> stage.tellAll();
            default -> stage.press(MACROS.get(random.nextInt(MACROS.size())));
        }
    }

    @ParameterizedTest
    @ValueSource(strings = {"tcp", "udp"})
    void onceNothingRunsEverythingStands(String driver) {
        for (long seed = 1; seed <= EVENINGS; seed++) {
            try {
                SplittableRandom random = new SplittableRandom(seed);
                GlideStage stage = new GlideStage(site(driver));
                stage.pass(1_000);
                stage.tellAll();
                for (int i = 0; i < INPUTS; i++) {
                    something(stage, random);
                }
                stage.pass(12_000);
                assertThat(stage.core.running()).isEmpty();
                for (String speed : SPEEDS) {
                    assertThat(stage.speed(speed)).as(speed).isZero();
                }
                assertThat(stage.core.atRest()).isTrue();
                assertThat(stage.clock().timers()).as("timers").isLessThan(10);
                whereItWasSent(stage);
            } catch (AssertionError | RuntimeException e) {
                throw new AssertionError("seed " + seed, e);
            }
        }
    }

    /** From rest a glide still comes to its targets exactly. */
    private static void whereItWasSent(GlideStage stage) {
        stage.tellAll();
        stage.press("look");
        stage.pass(15_000);
        assertThat(stage.at("head.pan")).isEqualTo(60);
        assertThat(stage.at("head.tilt")).isEqualTo(20);
        assertThat(stage.at("desk.music")).isEqualTo(-40);
    }
}
