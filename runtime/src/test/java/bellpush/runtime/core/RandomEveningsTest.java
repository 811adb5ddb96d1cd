package bellpush.runtime.core;

import static bellpush.runtime.core.TestSite.act;
import static bellpush.runtime.core.TestSite.confirmed;
import static bellpush.runtime.core.TestSite.is;
import static bellpush.runtime.core.TestSite.orGoOn;
import static bellpush.runtime.core.TestSite.orRun;
import static bellpush.runtime.core.TestSite.pause;
import static bellpush.runtime.core.TestSite.ref;
import static bellpush.runtime.core.TestSite.run;
import static bellpush.runtime.core.TestSite.set;
import static bellpush.runtime.core.TestSite.stop;
import static bellpush.runtime.core.TestSite.together;
import static bellpush.runtime.core.TestSite.until;
import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Button;
import bellpush.config.model.Condition;
import bellpush.config.model.Knob;
import bellpush.config.model.LinkState;
import bellpush.config.model.Look.Pattern;
import bellpush.config.model.Macro;
import bellpush.config.model.Operand;
import bellpush.config.model.Site;
import bellpush.config.model.Source;
import bellpush.config.model.Step;
import bellpush.drivers.spi.Outcome;
import bellpush.drivers.spi.Request;
import java.time.Duration;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.SplittableRandom;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Random evenings from a seed: presses, turns, devices that answer, refuse, go away, come back, and are changed by hand. After
 * every input, what must always be true is checked. A failure names its seed.
 */
class RandomEveningsTest {
    private static final int EVENINGS = 60;
    private static final int INPUTS = 1_000;

    private static final List<String> CONTACTS = List.of("poem", "clear", "swap", "both", "slow", "guard", "mode",
            "branches", "sure", "take", "over", "halt", "hurry", "left.push", "left.a", "left.b");

    private static final List<String> RARE = List.of("taken over by take", "running tidy first", "stopped by halt",
            "stopped by hurry", "sent again, 2 of", "hurry took longer than",
            "the fallback failed as well", "going on as the step says", "running clear instead",
            "after it was sent 2 times",
            "was stopped by", "is not known, so it cannot be set to its opposite");

    private static Site site() {
        Button push = Button.named("left.push", "left.push", Source.NONE).onPress("clear");
        TestSite site = new TestSite().hold("guard", "poem", 300).knob("left", "mixer.left", 7, 3, 4,
                new Knob.Push(push, Optional.of(new Knob.Turning(ref("mixer.left"), 1))));
        site.toggle("mode", true, "swap", "clear");
        site.macro("poem", new Step.Remember(ref("mixer.fill"), Source.NONE), set("mixer.onAir", false),
                set("mixer.fill", "slides"), until(is("mixer.fill", "slides"), 500), pause(200), act("mixer.dissolve"))
                .lane("keyer").promise(new Condition.All(List.of(is("mixer.onAir", true), is("mixer.fill", "slides"))))
                .end();
        site.macro("clear", set("mixer.onAir", false), pause(40)).lane("keyer").again(Macro.Again.RESTART)
                .promise(is("mixer.onAir", false)).end();
        site.macro("swap", act("mixer.swap"), pause(100)).again(Macro.Again.QUEUE)
                .onFailure(new Step.Otherwise.Instead("clear")).end();
        site.macro("both", new Step.Run("poem", Source.NONE), new Step.Run("clear", Source.NONE)).end();
        site.macro("slow", set("camera.speed", 0.3)).onFailure(new Step.Otherwise.GoOn())
                .promise(is("camera.speed", 0.3))
                .end();
        site.macro("branches",
                together(List.of(set("mixer.left", new Operand.By(30)), pause(80), orGoOn(run("clear"))),
                        List.of(orGoOn(confirmed(set("mixer.fill", "slides"), 150, 2)),
                                until(is("mixer.onAir", false), 200)),
                        List.of(together(List.of(pause(60)),
                                List.of(set("mixer.preview", new Operand.Present(ref("mixer.fill"))))))),
                pause(20)).lane("keyer").onTakeover("tidy").queue(3).onFailure(new Step.Otherwise.Instead("clear"))
                .end();
        site.macro("tidy", set("mixer.onAir", false), pause(90), orGoOn(set("mixer.left", new Operand.By(-30)))).end();
        site.macro("sure", confirmed(set("mixer.onAir", new Operand.Opposite()), 100, 2), pause(30)).lane("keyer")
                .within(250).promise(is("mixer.onAir", true)).end();
        site.macro("take", set("mixer.fill", "stills"), pause(120)).lane("keyer").takesOver().end();
        site.macro("over", run("branches"), run("sure")).takesOver().onTakeover("tidy").end();
        site.macro("halt", stop()).end();
        site.macro("hurry", stop("swap", "sure", "branches"), orGoOn(set("camera.speed", 0.5)),
                orRun(run("clear"), "tidy"), pause(500)).within(400)
                .again(Macro.Again.RESTART).end();
        site.button("swap", button -> button.onTwice(Duration.ofMillis(300), "poem"));
        return site.site();
    }

    /** What the random gear and the checks know. */
    private static final class World {
        final SplittableRandom random;
        final Core core = new Core(site());
        final HandTurnedClock clock = new HandTurnedClock();
        final List<Effect.Send> open = new ArrayList<>();
        final Set<Long> started = new HashSet<>();
        final Set<Long> ended = new HashSet<>();
        final Set<Long> pastKeyer = new HashSet<>();
        long inKeyer;
        final Map<Long, String> macroOf = new HashMap<>();
        long leftSentAt = Long.MIN_VALUE / 2;
        /** What is to have happened in some evening, or the test tries less than it says. */
        final Set<String> happened = new HashSet<>();

        World(long seed) {
            random = new SplittableRandom(seed);
        }

        void put(Input input) {
            core.accept(input, this::effect);
            check();
        }

        private void effect(Effect effect) {
            clock.take(effect);
            switch (effect) {
                case Effect.Send send -> {
                    open.add(send);
                    if (send.request() instanceof Request.SetProperty(_, String p, _, _, _) && p.equals("left")) {
                        assertThat(clock.now() - leftSentAt).as("pace of mixer.left")
                                .isGreaterThanOrEqualTo(TestSite.PACE.toNanos());
                        leftSentAt = clock.now();
                    }
                }
                case Effect.Record(Event event) -> {
                    Object run = event.details().get("run");
                    String words = event.details().getOrDefault("why", "") + " "
                            + event.details().getOrDefault("text", "");
                    RARE.stream().filter(words::contains).forEach(happened::add);
                    switch (event.what()) {
                        case "run" -> {
                            started.add((Long) run);
                            macroOf.put((Long) run, (String) event.details().get("macro"));
                        }
                        case "done", "failed", "stopped" -> ended.add((Long) run);
                        case "step" -> {
                            if (!Set.of("slow", "halt").contains(macroOf.get(run))) {
                                stepInKeyer((Long) run);
                            }
                        }
                        default -> {
                        }
                    }
                }
                case Effect.ShowLamp _,Effect.StartTimer _,Effect.StopTimer _ -> {
                }
            }
        }

        /** Lanes never interleave: once another run has taken a step in the lane, the one before takes none. */
        private void stepInKeyer(long run) {
            if (run != inKeyer) {
                pastKeyer.add(inKeyer);
                inKeyer = run;
            }
            assertThat(pastKeyer).as("runs that were past the keyer").doesNotContain(run);
        }

        private void check() {
            // A lamp never shows an unreported value as fact.
            if (core.look("clear").pattern() == Pattern.STEADY) {
                assertThat(core.belief(ref("mixer.onAir")).basis()).isEqualTo(Belief.Basis.REPORTED);
                assertThat(core.link("mixer")).isEqualTo(LinkState.UP);
            }
            if (core.look("slow").pattern() == Pattern.STEADY) {
                assertThat(core.link("camera")).isEqualTo(LinkState.UP);
            }
            assertThat(clock.timers()).isLessThan(100);
        }

        void something() {
            clock.pass(random.nextLong(0, 120_000_000), this::put);
            switch (random.nextInt(16)) {
                case 0, 1, 2, 3 -> {
                    String button = CONTACTS.get(random.nextInt(CONTACTS.size()));
                    put(new Input.Contact(clock.now(), button, true));
                    clock.pass(random.nextLong(1_000_000, 500_000_000), this::put);
                    put(new Input.Contact(clock.now(), button, false));
                }
                case 4 -> put(new Input.Turned(clock.now(), "left", random.nextInt(-5, 6)));
                case 5 -> {
                    LinkState state = LinkState.values()[random.nextInt(3)];
                    put(new Input.LinkChanged(clock.now(), random.nextBoolean() ? "mixer" : "camera", state, "random"));
                    if (state == LinkState.DOWN) {
                        open.clear();
                    }
                }
                case 6 ->
                    put(new Input.LinkChanged(clock.now(), random.nextBoolean() ? "mixer" : "camera", LinkState.UP,
                            "random"));
                case 7 -> put(new Input.Reported(clock.now(), "mixer",
                        Map.of("onAir", TestSite.value(random.nextBoolean()), "fill", TestSite.value("slides"), "left",
                                TestSite.value(random.nextInt(100)), "preview", TestSite.value("stills")),
                        0));
                case 8 -> put(new Input.LinkChanged(clock.now(), "mixer", LinkState.UP, "random"));
                default -> answer();
            }
        }

        private void answer() {
            if (open.isEmpty()) {
                return;
            }
            Effect.Send send = open.removeFirst();
            long id = send.request().id();
            Outcome outcome = switch (random.nextInt(6)) {
                case 0 -> new Outcome.Refused("random");
                case 1 -> new Outcome.Failed("random");
                case 2 -> new Outcome.Done();
                default -> new Outcome.Sent();
            };
            put(new Input.Finished(clock.now(), send.device(), id, outcome));
            if (send.device().equals("mixer") && !(outcome instanceof Outcome.Refused)) {
                switch (send.request()) {
                    case Request.SetProperty(_, String p, var value, _, _) -> put(
                            new Input.Reported(clock.now(), "mixer", Map.of(p, value), id));
                    case Request.DoCommand _ -> put(
                            new Input.Reported(clock.now(), "mixer", Map.of("onAir", TestSite.value(true)), 0));
                    case Request.AskProperty _ -> {
                    }
                }
            }
        }
    }

    @ParameterizedTest
    @ValueSource(longs = {1, 1_000_001, 2_000_003})
    void whatMustAlwaysBeTrueIsTrue(long firstSeed) {
        Set<String> happened = new HashSet<>();
        for (long seed = firstSeed; seed < firstSeed + EVENINGS; seed++) {
            try {
                World world = new World(seed);
                world.put(new Input.Started(world.clock.now()));
                for (int i = 0; i < INPUTS; i++) {
                    world.something();
                }
                world.clock.pass(60_000_000_000L, world::put);
                assertThat(world.ended).as("every run that started has ended").isEqualTo(world.started);
                assertThat(world.core.running()).isEmpty();
                happened.addAll(world.happened);
            } catch (AssertionError | RuntimeException e) {
                throw new AssertionError("seed " + seed, e);
            }
        }
        assertThat(happened).containsAll(RARE);
    }
}
