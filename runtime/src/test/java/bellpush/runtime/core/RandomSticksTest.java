package bellpush.runtime.core;

import static bellpush.runtime.core.TestSite.act;
import static bellpush.runtime.core.TestSite.axis;
import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Fader.Calibration;
import bellpush.config.model.Joystick;
import bellpush.config.model.LinkState;
import bellpush.config.model.Pin;
import bellpush.config.model.Value;
import bellpush.drivers.spi.Outcome;
import bellpush.drivers.spi.Request;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.HashMap;
import java.util.Map;
import java.util.SplittableRandom;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Sticks pushed at random from a seed, while the link flaps, converters are lost, and the device refuses and loses messages.
 * Whenever every stick is at its centre and the link has been up for two seconds, the last value sent to each axis is 0, and the
 * device stands. A failure names its seed.
 */
class RandomSticksTest {
    private static final int WALKS = 150;
    private static final int INPUTS = 400;
    private static final long SETTLED_NANOS = 2_000_000_000L;
    private static final Map<String, String> DRIVES = Map.of("stick.pan", "turn", "rocker.rise", "rise");

    private static final class World {
        final SplittableRandom random;
        final Core core;
        final HandTurnedClock clock = new HandTurnedClock();
        final Deque<Effect.Send> open = new ArrayDeque<>();
        final Map<String, Double> lastSent = new HashMap<>();
        /** The device's own speeds. It goes on at them while the link is down. */
        final Map<String, Double> device = new HashMap<>();
        LinkState link = LinkState.DOWN;
        long calmSince;
        boolean stickOut;
        boolean downClosed;
        boolean upClosed;

        World(long seed) {
            random = new SplittableRandom(seed);
            TestSite site = new TestSite()
                    .joystick("stick",
                            axis("pan", new Joystick.Wire.Analogue(new Pin.OfChip("adc", "1", 1),
                                    new Calibration(0.1, 0.4, 0.9), 0.06, 2, 0.004), "camera.turn", 18))
                    .joystick("rocker", axis("rise", new Joystick.Wire.Contacts(new Pin.Gpio(16), new Pin.Gpio(20)),
                            "camera.rise", 1));
            site.macro("stop", act("camera.halt")).end();
            core = new Core(site.site());
        }

        void put(Input input) {
            core.accept(input, effect -> {
                clock.take(effect);
                if (effect instanceof Effect.Send send && send.request() instanceof Request.SetProperty set) {
                    assertThat(link).as("nothing is sent to a link that is down").isNotEqualTo(LinkState.DOWN);
                    lastSent.put(set.property(), ((Value.Num) set.value()).number());
                    open.add(send);
                } else if (effect instanceof Effect.Send send && send.request() instanceof Request.DoCommand) {
                    lastSent.put("turn", 0.0);
                    open.add(send);
                }
            });
            check();
        }

        private void check() {
            if (stickOut || downClosed || upClosed || link != LinkState.UP) {
                calmSince = Long.MAX_VALUE;
            } else if (calmSince == Long.MAX_VALUE) {
                calmSince = clock.now();
            } else if (clock.now() - calmSince >= SETTLED_NANOS) {
                DRIVES.values().forEach(property -> {
                    assertThat(lastSent.getOrDefault(property, 0.0)).as("last value sent to " + property).isZero();
                    assertThat(device.getOrDefault(property, 0.0)).as("the device's own " + property).isZero();
                });
            }
        }

        void something() {
            pass(random.nextLong(0, 60_000_000));
            switch (random.nextInt(24)) {
                case 0, 1, 2, 3, 4 -> stick(random.nextDouble());
                case 5, 6 -> stick(0.4);
                case 7, 8 -> rocker(random.nextBoolean(), random.nextBoolean());
                case 9 -> {
                    rocker(false, false);
                    rocker(true, false);
                }
                case 10 -> {
                    LinkState next = LinkState.values()[random.nextInt(3)];
                    if (next == LinkState.DOWN) {
                        drop();
                    }
                    link = next;
                    put(new Input.LinkChanged(clock.now(), "camera", next, "random"));
                }
                case 11, 12 -> {
                    link = LinkState.UP;
                    put(new Input.LinkChanged(clock.now(), "camera", LinkState.UP, "random " + random.nextInt()));
                }
                case 13 -> put(new Input.Lost(clock.now(), "stick.pan", "random"));
                case 14 -> {
                    put(new Input.Contact(clock.now(), "stop", true));
                    put(new Input.Contact(clock.now(), "stop", false));
                }
                case 15 -> calm();
                default -> answer();
            }
        }

        /** Everything is let go for three seconds, and the link is up. */
        private void calm() {
            stick(0.4);
            rocker(false, false);
            rocker(true, false);
            link = LinkState.UP;
            put(new Input.LinkChanged(clock.now(), "camera", LinkState.UP, "calm"));
            for (int i = 0; i < 60; i++) {
                while (!open.isEmpty()) {
                    answer();
                }
                pass(50_000_000);
            }
        }

        private void pass(long nanos) {
            clock.pass(nanos, this::put);
            check();
        }

        private void stick(double share) {
            stickOut = share != 0.4;
            put(new Input.Moved(clock.now(), "stick.pan", share));
        }

        private void rocker(boolean upper, boolean closed) {
            if (upper) {
                upClosed = closed;
            } else {
                downClosed = closed;
            }
            put(new Input.Contact(clock.now(), "rocker.rise." + (upper ? "up" : "down"), closed));
        }

        /** What is on its way when the link goes may have arrived or not. */
        private void drop() {
            while (!open.isEmpty()) {
                Effect.Send send = open.removeFirst();
                if (random.nextBoolean()) {
                    obey(send.request());
                }
                put(new Input.Finished(clock.now(), "camera", send.request().id(), new Outcome.Failed("dropped")));
            }
        }

        private void answer() {
            if (open.isEmpty()) {
                return;
            }
            Effect.Send send = open.removeFirst();
            Outcome outcome = switch (random.nextInt(8)) {
                case 0 -> new Outcome.Refused("random");
                case 1 -> new Outcome.Failed("random");
                default -> new Outcome.Sent();
            };
            // What failed may have arrived all the same, but not before what has been sent after it.
            if (outcome instanceof Outcome.Sent || outcome instanceof Outcome.Failed && random.nextBoolean()) {
                obey(send.request());
            }
            put(new Input.Finished(clock.now(), "camera", send.request().id(), outcome));
        }

        private void obey(Request request) {
            switch (request) {
                case Request.SetProperty set -> device.put(set.property(), ((Value.Num) set.value()).number());
                case Request.DoCommand _ -> device.put("turn", 0.0);
                case Request.AskProperty _ -> {
                }
            }
        }
    }

    @ParameterizedTest
    @ValueSource(longs = {1, 1_000_001, 2_000_003})
    void whatNobodyPushesStands(long firstSeed) {
        for (long seed = firstSeed; seed < firstSeed + WALKS; seed++) {
            try {
                World world = new World(seed);
                world.put(new Input.Started(world.clock.now()));
                world.put(new Input.Moved(world.clock.now(), "stick.pan", 0.4));
                for (int i = 0; i < INPUTS; i++) {
                    world.something();
                }
                world.calm();
                assertThat(world.calmSince).isLessThan(world.clock.now() - SETTLED_NANOS);
                world.stick(0.9);
                world.put(new Input.Ending(world.clock.now(), "random"));
                while (!world.open.isEmpty()) {
                    world.obey(world.open.getLast().request());
                    world.open.clear();
                }
                assertThat(world.lastSent.get("turn")).isZero();
            } catch (AssertionError | RuntimeException e) {
                throw new AssertionError("seed " + seed, e);
            }
        }
    }
}
