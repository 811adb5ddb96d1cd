package bellpush.drivers.sim;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import bellpush.config.model.Command.Effect;
import bellpush.config.model.Move;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Speeds;
import bellpush.config.model.Speeds.Entry;
import bellpush.config.model.Value;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** Simulated devices between two places. */
class MotionTest {
    private static final PropertyType METRES = new PropertyType.Number(0, 3, 0.01, "m", Optional.empty());
    private static final Speeds TABLE = Speeds.of("run", List.of(new Entry(10, 0.1), new Entry(100, 0.5)));
    private static final Move MOVE = new Move(Kinds.text("GLIDE {value} {over}"), Duration.ofMillis(40), true,
            Duration.ofSeconds(10), Optional.empty());

    private final VirtualTime time = new VirtualTime();
    private final List<String> said = new ArrayList<>();
    private Behaviour<String> rail;

    @BeforeEach
    void aRailAtOneMetre() {
        Kinds kinds = new Kinds().property("place", METRES, Value.of(1), "GO {value}", "WHERE", "", "AT {value}")
                .property("run", Kinds.whole(-100, 100), Value.of(0), "RUN {value}", "", "", "")
                .property("tilt", Kinds.whole(0, 90), Value.of(0), "TILT {value}", "", "", "TILTED {value}")
                .property("store", Kinds.choice("left", "right"), Value.of("left"), "STORE {value}", "", "", "")
                .command("stop", "STOP", Map.of("run", new Effect.Becomes(Value.of(0))))
                .changed("place", p -> p.moved(Optional.empty(), Optional.of(TABLE)))
                .changed("run", p -> p.unsettling(List.of("place", "store")))
                .changed("tilt", p -> p.moved(Optional.of(MOVE), Optional.empty()));
        rail = new Behaviour<>(kinds.kind(), new PlainCodec(), time, 1, said::add);
    }

    private void receive(String message) {
        rail.received(message, answer -> said.add("to you: " + answer));
    }

    private void pass(int ms) {
        time.advance(Duration.ofMillis(ms));
    }

    private double at(String name) {
        receive("nothing that it knows"); // whatever it hears, it looks where it is
        return ((Value.Num) rail.values().get(name)).number();
    }

    private void hasPlace(double metres) {
        assertThat(at("place")).isCloseTo(metres, within(1e-6));
    }

    @Test
    void drivenItMakesTheWayOfItsTableAndTellsItOnTheWay() {
        receive("RUN 100");
        pass(1_000);
        hasPlace(1.5);
        receive("RUN -10");
        pass(2_000);
        hasPlace(1.3);
        assertThat(said).hasSizeBetween(50, 65).contains("AT 1.25").allMatch(words -> words.startsWith("AT "));
    }

    @Test
    void itTellsWhereItIsAlsoWhileItIsToldAnotherSpeedAllTheTime() {
        for (int i = 0; i < 100; i++) {
            receive("RUN " + (50 + i % 3));
            pass(20);
        }
        assertThat(said).hasSizeBetween(38, 42);
    }

    @Test
    void itStandsWhereItWasWhenTheSpeedBecameZeroAndTellsThat() {
        receive("RUN 55");
        pass(1_010);
        said.clear();
        receive("RUN 0");
        assertThat(said).containsExactly("AT 1.303");
        pass(5_000);
        hasPlace(1.303);
        assertThat(said).hasSize(1);
        assertThat(time.waiting()).isZero();
    }

    @Test
    void aStopByACommandIsAStop() {
        receive("RUN 100");
        pass(200);
        receive("STOP");
        pass(500);
        hasPlace(1.1);
    }

    @Test
    void atTheEndOfItsRangeItStands() {
        receive("RUN 100");
        pass(10_000);
        hasPlace(3);
        assertThat(said.getLast()).isEqualTo("AT 3");
        assertThat(time.waiting()).isZero();
        receive("RUN -100");
        pass(1_000);
        hasPlace(2.5);
    }

    @Test
    void whatASpeedUnsettlesWithoutATableIsSomethingElse() {
        receive("RUN 10");
        assertThat(rail.values().get("store")).isEqualTo(Value.of("right"));
        hasPlace(1);
    }

    @Test
    void itGoesToWhereItIsSetAtItsGreatestSpeedAndArrivesExactly() {
        receive("GO 2.123");
        pass(1_000);
        hasPlace(1.5);
        pass(2_000);
        assertThat(rail.values().get("place")).isEqualTo(Value.of(2.123));
        assertThat(said.getLast()).isEqualTo("AT 2.123");
        receive("GO 2.123");
        assertThat(said.getLast()).as("said again, for certainty").isEqualTo("AT 2.123");
        assertThat(time.waiting()).isZero();
    }

    @Test
    void setSomewhereItIsDrivenNoLonger() {
        receive("RUN -100");
        pass(200);
        receive("GO 1.5");
        assertThat(rail.values().get("run")).isEqualTo(Value.of(0));
        pass(5_000);
        hasPlace(1.5);
    }

    @Test
    void aStandstillEndsTheWayToWhereItWasSet() {
        receive("GO 3");
        pass(1_000);
        receive("RUN 0");
        pass(5_000);
        hasPlace(1.5);
    }

    @Test
    void aMoveTakesItsTimeCountedInTheUnitOfTheDevice() {
        receive("GLIDE 80 50"); // 50 times 40 ms
        pass(500);
        assertThat(at("tilt")).isEqualTo(20);
        pass(1_499);
        assertThat(said.getLast()).isEqualTo("TILTED 78");
        assertThat(at("tilt")).isEqualTo(80);
        assertThat(time.waiting()).as("it is not there yet").isPositive();
        pass(1);
        assertThat(said.getLast()).isEqualTo("TILTED 80");
        assertThat(time.waiting()).isZero();
    }

    @Test
    void theLaterOfTwoMovesAndSetsWins() {
        receive("GLIDE 80 50");
        pass(1_000);
        receive("GLIDE 0 25");
        pass(500);
        assertThat(at("tilt")).isEqualTo(20);
        receive("TILT 7");
        assertThat(at("tilt")).isEqualTo(7);
        pass(5_000);
        assertThat(at("tilt")).isEqualTo(7);
    }

    @Test
    void aTimeThatTheDeviceDoesNotKnowIsNotUnderstood() {
        receive("GLIDE 80 9999");
        assertThat(rail.notUnderstood()).isEqualTo(1);
        assertThat(time.waiting()).isZero();
    }

    @Test
    void whoPushesTheCarriageByHandEndsItsWay() {
        receive("GO 3");
        pass(1_000);
        rail.change(Map.of("place", Value.of(0.5)));
        pass(5_000);
        hasPlace(0.5);
    }

    @Test
    void withoutPowerItStaysWhereItIs() {
        receive("RUN 100");
        pass(1_000);
        rail.stop();
        pass(1_000);
        assertThat(rail.values().get("place")).isEqualTo(Value.of(1.5));
        assertThat(time.waiting()).isZero();
        rail.restart();
        assertThat(rail.values().get("place")).isEqualTo(Value.of(1));
    }
}
