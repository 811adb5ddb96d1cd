package bellpush.drivers.sim;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Command.Effect;
import bellpush.config.model.Kind;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Template;
import bellpush.config.model.Value;
import java.time.Duration;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.Test;

class BehaviourTest {
    private static final Value ON = Value.of(true);
    private static final Value OFF = Value.of(false);
    private static final Duration SECOND = Duration.ofSeconds(1);

    private final VirtualTime time = new VirtualTime();
    private final List<String> said = new ArrayList<>();
    private final Peer<String> peer = message -> said.add("to you: " + message);
    private Behaviour<String> device;

    private void device(Kinds kinds) {
        device = device(kinds.kind(), 1);
    }

    private Behaviour<String> device(Kind kind, long seed) {
        return new Behaviour<>(kind, new PlainCodec(), time, seed, message -> said.add("to all: " + message));
    }

    private void receive(String message) {
        device.received(message, peer);
    }

    private static Kinds keyer() {
        return new Kinds()
                .property("key.fill", Kinds.choice("slides", "titles"), Value.of("slides"), "FILL {value}", "FILL?",
                        "FILL IS {value}", "FILL={value}")
                .property("key.onAir", Kinds.FLAG, OFF, "AIR {value}", "AIR ?", "", "AIR={value}").ok("OK")
                .refused(Kinds.text("NO"));
    }

    @Test
    void aSetIsAcknowledgedFirstAndThenReportedToAll() {
        device(keyer());
        receive("FILL titles");
        assertThat(said).containsExactly("to you: OK", "to all: FILL=titles");
        assertThat(device.values()).containsEntry("key.fill", Value.of("titles")).containsEntry("key.onAir", OFF);
    }

    @Test
    void aSetToWhatIsAlreadySoIsReportedToo() {
        device(keyer());
        receive("FILL slides");
        assertThat(said).containsExactly("to you: OK", "to all: FILL=slides");
    }

    @Test
    void aSetAndAQuestionThatLookAlikeAreToldApartByTheValue() {
        device(new Kinds().property("power", Kinds.FLAG, OFF, "POWR {value}", "POWR {any}", "", "POWR={value}"));
        receive("POWR ?");
        receive("POWR 1");
        assertThat(said).containsExactly("to you: POWR=0", "to all: POWR=1");
    }

    @Test
    void aQuestionThatIsMoreSpecificThanATextIsAQuestion() {
        device(new Kinds().property("name", new PropertyType.Text(20), Value.of("hall"), "NAME {value}", "NAME ?", "",
                "NAME={value}"));
        receive("NAME ?");
        receive("NAME ??");
        assertThat(said).containsExactly("to you: NAME=hall", "to all: NAME=??");
    }

    @Test
    void anAnswerGoesToTheOneWhoAskedAndIsTheAnswerBeforeTheReport() {
        device(keyer());
        receive("FILL?");
        receive("AIR ?");
        assertThat(said).containsExactly("to you: FILL IS slides", "to you: AIR=0");
    }

    @Test
    void anAnswerThatTellsTwoPropertiesIsSaidOnce() {
        device(new Kinds().property("pan", Kinds.whole(0, 9), Value.of(3), "", "WHERE?", "AT {value} {tilt}", "")
                .property("tilt", Kinds.whole(0, 9), Value.of(4), "", "WHERE?", "AT {pan} {value}", ""));
        receive("WHERE?");
        assertThat(said).containsExactly("to you: AT 3 4");
    }

    @Test
    void aValueThatTheTypeDoesNotTakeIsRefusedAndChangesNothing() {
        device(keyer());
        receive("FILL nothing");
        receive("");
        receive("\u0000\uffff");
        assertThat(said).containsExactly("to you: NO", "to you: NO", "to you: NO");
        assertThat(device.values()).containsEntry("key.fill", Value.of("slides"));
        assertThat(device.notUnderstood()).isEqualTo(3);
    }

    @Test
    void aDeviceWithoutAWordForNoIsSilentAndCounts() {
        device(new Kinds().property("level", Kinds.whole(0, 10), Value.of(0), "L {value}", "", "", ""));
        receive("L 11");
        receive("L 1.5");
        assertThat(said).isEmpty();
        assertThat(device.notUnderstood()).isEqualTo(2);
    }

    @Test
    void aPropertyThatTakesTimeReportsWhenItIsThere() {
        device(new Kinds().property("pan", Kinds.whole(0, 100), Value.of(0), SECOND, "P {value}", "P?", "", "P={value}")
                .ok("OK"));
        receive("P 40");
        assertThat(said).containsExactly("to you: OK");
        assertThat(device.values()).containsEntry("pan", Value.of(0));
        time.advance(Duration.ofMillis(999));
        receive("P?");
        time.advance(Duration.ofMillis(1));
        assertThat(said).containsExactly("to you: OK", "to you: P=0", "to all: P=40");
        assertThat(device.values()).containsEntry("pan", Value.of(40));
    }

    @Test
    void theLaterOfTwoMovesWinsAndTheEarlierIsNeverSeen() {
        device(new Kinds().property("pan", Kinds.whole(0, 100), Value.of(0), SECOND, "P {value}", "P?", "",
                "P={value}"));
        receive("P 40");
        time.advance(Duration.ofMillis(500));
        receive("P 70");
        time.advance(Duration.ofSeconds(5));
        assertThat(said).containsExactly("to all: P=70");
    }

    @Test
    void aSetToWhereItStandsEndsAMoveInProgress() {
        device(new Kinds().property("pan", Kinds.whole(0, 100), Value.of(0), SECOND, "P {value}", "P?", "",
                "P={value}"));
        receive("P 40");
        receive("P 0");
        time.advance(Duration.ofSeconds(5));
        assertThat(said).containsExactly("to all: P=0");
        assertThat(device.values()).containsEntry("pan", Value.of(0));
    }

    @Test
    void manyMovesLeaveOneTimer() {
        device(new Kinds().property("pan", Kinds.whole(0, 100), Value.of(0), Duration.ofHours(1), "P {value}", "", "",
                ""));
        for (int i = 1; i <= 10_000; i++) {
            receive("P " + (1 + i % 100));
        }
        assertThat(time.waiting()).isEqualTo(1);
    }

    private static Kinds mixer(Duration takes) {
        Map<String, Effect> effect = new LinkedHashMap<>();
        effect.put("program", new Effect.FromProperty("preview"));
        effect.put("preview", new Effect.FromProperty("program"));
        effect.put("onAir", new Effect.Opposite());
        effect.put("frames", new Effect.FromArgument("frames"));
        effect.put("mode", new Effect.Becomes(Value.of("auto")));
        return new Kinds().property("program", Kinds.whole(1, 8), Value.of(1), "", "", "", "PGM={value}")
                .property("preview", Kinds.whole(1, 8), Value.of(2), "PVW {value}", "", "", "")
                .property("onAir", Kinds.FLAG, OFF, "", "", "", "AIR={value}")
                .property("frames", Kinds.whole(1, 250), Value.of(25), "", "", "", "")
                .property("mode", Kinds.choice("hand", "auto"), Value.of("hand"), "", "", "", "")
                .command("dissolve", Map.of("frames", Kinds.whole(1, 250)), Kinds.text("DISS {frames}"), effect, takes)
                .report(Kinds.text("STATE {preview},{mode},{frames}")).ok("OK {frames}");
    }

    @Test
    void aCommandHasAllItsEffectsFromTheValuesBefore() {
        device(mixer(Duration.ZERO));
        receive("DISS 50");
        assertThat(device.values())
                .isEqualTo(Map.of("program", Value.of(2), "preview", Value.of(1), "onAir", ON, "frames",
                        Value.of(50), "mode", Value.of("auto")));
        assertThat(said).as("what has its own report, then the shared report once").containsExactly("to you: OK 50",
                "to all: PGM=2", "to all: AIR=1", "to all: STATE 1,auto,50");
    }

    @Test
    void aCommandThatTakesTimeIsAcknowledgedAtOnceAndReportedAtItsEnd() {
        device(mixer(SECOND));
        receive("DISS 50");
        assertThat(said).hasSize(1);
        time.advance(SECOND);
        assertThat(said).containsExactly("to you: OK 25", "to all: PGM=2", "to all: AIR=1", "to all: STATE 1,auto,50");
    }

    @Test
    void aSetDuringACommandWinsForItsPropertyAlone() {
        device(mixer(SECOND));
        receive("DISS 50");
        receive("PVW 7");
        time.advance(SECOND);
        assertThat(device.values()).containsEntry("preview", Value.of(7)).containsEntry("program", Value.of(2))
                .containsEntry("onAir", ON);
    }

    @Test
    void anArgumentOutOfRangeIsRefused() {
        device(mixer(Duration.ZERO).refused(Kinds.text("NO {frames}")));
        receive("DISS 251");
        assertThat(said).containsExactly("to you: NO 25");
        assertThat(device.values()).containsEntry("program", Value.of(1));
    }

    @Test
    void anUnknownEffectIsAnotherValueAndTheSameForTheSameSeed() {
        Kind kind = new Kinds().property("shot", Kinds.whole(1, 100), Value.of(1), "", "", "", "S={value}")
                .property("light", Kinds.choice("warm", "cold", "blue"), Value.of("warm"), "", "", "", "")
                .property("zoom", new PropertyType.Number(0, 1, 0.1, "", Optional.empty()), Value.of(0), "", "", "", "")
                .property("name", new PropertyType.Text(3), Value.of(""), "", "", "", "")
                .property("lock", Kinds.FLAG, OFF, "", "", "", "")
                .command("surprise", "SURPRISE",
                        Map.of("shot", new Effect.Unknown(), "light", new Effect.Unknown(), "zoom",
                                new Effect.Unknown(),
                                "name", new Effect.Unknown(), "lock", new Effect.Unknown()))
                .kind();
        Behaviour<String> one = device(kind, 7);
        Behaviour<String> same = device(kind, 7);
        Behaviour<String> other = device(kind, 8);
        boolean differs = false;
        for (int i = 0; i < 50; i++) {
            Map<String, Value> before = one.values();
            List.of(one, same, other).forEach(d -> d.received("SURPRISE", peer));
            differs |= !one.values().equals(other.values());
            assertThat(one.values()).isEqualTo(same.values());
            one.values().forEach((name, value) -> {
                assertThat(kind.properties().get(name).type().accepts(value)).as("%s %s", name, value).isTrue();
                assertThat(value).as(name).isNotEqualTo(before.get(name));
            });
        }
        assertThat(differs).isTrue();
    }

    /** A head whose stop is, byte for byte, the message that sets both its speeds to 0. */
    private static Kinds head(Duration takes) {
        Map<String, Effect> stop = new LinkedHashMap<>();
        stop.put("pan", new Effect.Unknown());
        stop.put("preset", new Effect.Unknown());
        stop.put("pan.speed", new Effect.Becomes(Value.of(0)));
        stop.put("tilt.speed", new Effect.Becomes(Value.of(0)));
        return new Kinds()
                .property("pan", Kinds.whole(0, 1000), Value.of(500), takes, "TO {value}", "", "", "P={value}")
                .property("preset", Kinds.whole(0, 1000), Value.of(1), "", "", "", "")
                .speed("pan.speed", "RUN {value} {tilt.speed}", "pan", "preset")
                .speed("tilt.speed", "RUN {pan.speed} {value}", "pan", "preset").command("stop", "RUN 0 0", stop);
    }

    @Test
    void aStopOfWhatStandsMovesNothing() {
        device(head(Duration.ZERO));
        receive("RUN 0 0");
        receive("RUN 0 0");
        assertThat(device.values()).containsEntry("pan", Value.of(500)).containsEntry("preset", Value.of(1));
        assertThat(said).isEmpty();
    }

    @Test
    void aStopOfWhatRunsLeavesItSomewhere() {
        device(head(Duration.ZERO));
        receive("RUN 0 3");
        Value running = device.values().get("pan");
        receive("RUN 0 0");
        assertThat(device.values()).containsEntry("tilt.speed", Value.of(0)).doesNotContainEntry("pan", running);
        Value stopped = device.values().get("pan");
        receive("RUN 0 0");
        assertThat(device.values()).containsEntry("pan", stopped);
    }

    @Test
    void aStopOnTheWayToAPlaceEndsTheMove() {
        device(head(SECOND));
        receive("TO 900");
        receive("RUN 0 0");
        Value stopped = device.values().get("pan");
        time.advance(SECOND);
        assertThat(stopped).isNotEqualTo(Value.of(500));
        assertThat(device.values()).containsEntry("pan", stopped);
    }

    @Test
    void theFirstFormOfDoneThatCanBeSaidIsSaid() {
        device(keyer().command("flash", "FLASH", Map.of()));
        device = device(new Kinds().property("a", Kinds.whole(0, 9), Value.of(0), "A {value}", "", "", "")
                .command("flash", "FLASH", Map.of()).ok("DONE {value}", "DONE").kind(), 1);
        receive("A 4");
        receive("FLASH");
        assertThat(said).containsExactly("to you: DONE 4", "to you: DONE");
    }

    @Test
    void theSequenceNumberComesBack() {
        device(new Kinds().property("a", Kinds.whole(0, 9), Value.of(0), "{sequence} A {value}", "{sequence} A?", "",
                "{sequence} A={value}").ok("{sequence} OK").refused(Kinds.text("{sequence} NO")));
        receive("41 A 3");
        receive("42 A?");
        receive("43 A 77");
        assertThat(said).containsExactly("to you: 41 OK", "to all: 0 A=3", "to you: 42 A=3", "to you: 43 NO");
    }

    @Test
    void aNumberedCommandThatIsSentAgainIsAcknowledgedAgainButDoneOnce() {
        device(new Kinds().property("onAir", Kinds.FLAG, OFF, "", "", "", "AIR={value}")
                .command("toggle", "{sequence} TOGGLE", Map.of("onAir", new Effect.Opposite())).ok("{sequence} OK"));
        receive("1 TOGGLE");
        receive("1 TOGGLE");
        assertThat(device.values()).containsEntry("onAir", ON);
        receive("2 TOGGLE");
        assertThat(device.values()).containsEntry("onAir", OFF);
        assertThat(said).containsExactly("to you: 1 OK", "to all: AIR=1", "to you: 1 OK", "to you: 2 OK",
                "to all: AIR=0");
    }

    @Test
    void aSetThatCarriesAnotherPropertySetsBoth() {
        device(new Kinds().property("pan", Kinds.whole(0, 9), Value.of(0), "GO {value} {tilt}", "", "", "P={value}")
                .property("tilt", Kinds.whole(0, 9), Value.of(0), "GO {pan} {value}", "", "", "T={value}"));
        receive("GO 3 4");
        assertThat(device.values()).containsEntry("pan", Value.of(3)).containsEntry("tilt", Value.of(4));
        assertThat(said).containsExactly("to all: P=3", "to all: T=4");
    }

    @Test
    void aHeartbeatGetsItsReplyElseAnAcknowledgementElseAnything() {
        Template beat = Kinds.text("ALIVE?");
        device(keyer().heartbeat(beat, Optional.of(Kinds.text("ALIVE")), SECOND, SECOND));
        receive("ALIVE?");
        device(keyer().heartbeat(beat, Optional.empty(), SECOND, SECOND));
        receive("ALIVE?");
        device(new Kinds().property("a", Kinds.FLAG, OFF, "", "", "", "A={value}").heartbeat(beat, Optional.empty(),
                SECOND,
                SECOND));
        receive("ALIVE?");
        assertThat(said).containsExactly("to you: ALIVE", "to you: OK", "to you: A=0");
    }

    @Test
    void aRefusingDeviceSaysNoToWhatChangesItAndStillAnswers() {
        device(keyer().command("cut", "CUT", Map.of("key.onAir", new Effect.Opposite())));
        device.refusing(true);
        receive("FILL titles");
        receive("CUT");
        receive("FILL?");
        device.refusing(false);
        receive("FILL titles");
        assertThat(said).containsExactly("to you: NO", "to you: NO", "to you: FILL IS slides", "to you: OK",
                "to all: FILL=titles");
    }

    @Test
    void aRefusingDeviceWithoutAWordForNoIgnores() {
        device(new Kinds().property("a", Kinds.FLAG, OFF, "A {value}", "", "", "A={value}"));
        device.refusing(true);
        receive("A 1");
        assertThat(said).isEmpty();
        assertThat(device.values()).containsEntry("a", OFF);
    }

    @Test
    void aChangeAtTheDeviceItselfIsReportedAndEndsAMove() {
        device(new Kinds().property("pan", Kinds.whole(0, 100), Value.of(0), SECOND, "P {value}", "P?", "", "P={value}")
                .ok("OK"));
        receive("P 40");
        device.change(Map.of("pan", Value.of(5)));
        time.advance(Duration.ofSeconds(5));
        assertThat(said).containsExactly("to you: OK", "to all: P=5");
        assertThat(device.values()).containsEntry("pan", Value.of(5));
    }

    @Test
    void aPropertyThatIsOnlyToldWhenAskedIsNotReported() {
        device(new Kinds().property("a", Kinds.FLAG, OFF, "A {value}", "A?", "A={value}", ""));
        receive("A 1");
        assertThat(said).isEmpty();
        receive("A?");
        assertThat(said).containsExactly("to you: A=1");
    }

    @Test
    void oneQuestionForSeveralPropertiesGetsTheSharedReportOnce() {
        device(new Kinds().property("a", Kinds.FLAG, OFF, "", "STATE?", "", "")
                .property("b", Kinds.FLAG, ON, "", "STATE?", "", "").report(Kinds.text("IGNORED"))
                .report(Kinds.text("STATE {a}{b}")));
        receive("STATE?");
        assertThat(said).containsExactly("to you: STATE 01");
    }

    @Test
    void aQuestionThatNothingAnswersIsRefused() {
        device(new Kinds().property("a", Kinds.FLAG, OFF, "A {value}", "A?", "", "").refused(Kinds.text("NO")));
        receive("A?");
        assertThat(said).containsExactly("to you: NO");
    }

    @Test
    void aValueThatCannotBeSaidIsNotSaid() {
        device(new Kinds().property("a", Kinds.FLAG, OFF, "A {value}", "A?", "", "A={value} {missing}"));
        receive("A 1");
        receive("A?");
        assertThat(said).isEmpty();
        assertThat(device.values()).containsEntry("a", ON);
    }

    @Test
    void itGreetsWithWhatItIs() {
        device(keyer().greeting("HELLO {key.fill}"));
        assertThat(device.greeting()).contains("HELLO slides");
    }

    @Test
    void switchedOffAMoveStopsWhereItWasAndARestartIsAsNew() {
        device(new Kinds().property("pan", Kinds.whole(0, 100), Value.of(0), SECOND, "P {value}", "P?", "", "P={value}")
                .property("a", Kinds.FLAG, OFF, "A {value}", "", "", ""));
        receive("A 1");
        receive("P 40");
        device.stop();
        time.advance(Duration.ofSeconds(5));
        assertThat(device.values()).containsEntry("pan", Value.of(0)).containsEntry("a", ON);
        device.restart();
        assertThat(device.values()).containsEntry("a", OFF);
        assertThat(said).isEmpty();
    }

    @Test
    void complaintsNameWhatIsWrong() {
        Kind kind = keyer().kind();
        assertThat(Behaviour.complaint(kind, Map.of("key.fill", Value.of("titles")))).isEmpty();
        assertThat(Behaviour.complaint(kind, Map.of("key.file", ON)).orElseThrow()).contains("key.file");
        assertThat(Behaviour.complaint(kind, Map.of("key.fill", ON)).orElseThrow()).contains("key.fill")
                .contains("true");
    }
}
