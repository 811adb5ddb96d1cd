package bellpush.drivers.link;

import static bellpush.drivers.link.TestKind.hex;
import static bellpush.drivers.link.TestKind.text;
import static java.nio.charset.StandardCharsets.ISO_8859_1;
import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Limits;
import bellpush.config.model.Move;
import bellpush.config.model.Property;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Source;
import bellpush.config.model.Value;
import bellpush.drivers.spi.Outcome;
import bellpush.drivers.spi.Request;
import java.time.Duration;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.Test;

class ConversationTest {
    private final HandTimers timers = new HandTimers();
    private final HandTransport transport = new HandTransport();
    private final Notebook host = new Notebook(null);
    private Conversation<byte[]> conversation;

    private void tcp(TestKind kind) {
        start(kind, false);
    }

    private void udp(TestKind kind) {
        start(kind, true);
    }

    private void start(TestKind kind, boolean datagrams) {
        var device = kind.at("127.0.0.1", 1);
        conversation = new Conversation<>(device, new Limits(1, 1, 1, 4, 1, 1000), new WireCodec(device.kind()), host,
                timers, transport, datagrams);
        conversation.opened("connected");
    }

    private void hears(String message) {
        conversation.received(message.getBytes(ISO_8859_1));
    }

    private void hearsHex(String hex) {
        conversation.received(HexFormat.of().parseHex(hex.replace(" ", "")));
    }

    private String sentHex(int index) {
        return HexFormat.of().formatHex(transport.sent.get(index).getBytes(ISO_8859_1));
    }

    private void set(long id, String property, double value) {
        conversation.send(new Request.SetProperty(id, property, Value.of(value)));
    }

    private void set(long id, String property, boolean value) {
        conversation.send(new Request.SetProperty(id, property, Value.of(value)));
    }

    private void ask(long id, String property) {
        conversation.send(new Request.AskProperty(id, property));
    }

    private void act(long id, String command) {
        conversation.send(new Request.DoCommand(id, command, Map.of(), Map.of()));
    }

    private static Outcome failed(String why) {
        return new Outcome.Failed(why);
    }

    // ---- writing ----

    @Test
    void aSetLeavesAtOnceAndCountsAsSentAfterItsLogLine() {
        tcp(TestKind.tcp().level("iris", false));
        set(7, "iris", 42);
        assertThat(transport.sent).containsExactly("iris 42");
        assertThat(host.packets).containsExactly("> iris 42 #7");
        assertThat(host.outcome(7)).isEqualTo(new Outcome.Sent());
        assertThat(host.order).containsExactly("link up", "sent", "outcome 7");
    }

    @Test
    void siteValuesBecomeWireValues() {
        tcp(TestKind.tcp().onOff("key", false));
        set(1, "key", true);
        assertThat(transport.sent).containsExactly("key ON");
        hears("key off");
        assertThat(host.beliefs).containsEntry("key", Value.of(false));
    }

    @Test
    void aCommandCarriesItsArgumentsAndPresentValues() {
        tcp(TestKind.tcp().onOff("key", false).command("mix", text("mix {frames:dec3} {key}"),
                Map.of("frames", new PropertyType.Whole(1, 250, "", Optional.empty()))));
        conversation.send(
                new Request.DoCommand(1, "mix", Map.of("frames", Value.of(25)), Map.of("key", Value.of(true))));
        assertThat(transport.sent).containsExactly("mix 025 ON");
    }

    @Test
    void aMessageThatCannotBeMadeFailsInWordsAndNothingIsSent() {
        tcp(TestKind.tcp().onOff("key", false).command("mix", text("mix {key}"), Map.of()));
        act(1, "mix");
        assertThat(transport.sent).isEmpty();
        assertThat(host.outcome(1)).isInstanceOf(Outcome.Failed.class);
        conversation.send(new Request.SetProperty(2, "nothing", Value.of(1)));
        assertThat(host.outcome(2).toString()).contains("no property nothing");
        conversation.send(new Request.SetProperty(3, "key", Value.of("maybe")));
        assertThat(host.outcome(3).toString()).contains("does not take \"maybe\"");
    }

    @Test
    void aSetMayNeedAnotherPropertyWhichTheLinkHasHeard() {
        tcp(TestKind.tcp().level("tilt", false).property(new Property("pan", "", TestKind.LEVEL,
                Optional.of(text("go {value} {tilt}")), Optional.empty(), Optional.empty(), Optional.empty(), false,
                Value.of(0), Duration.ZERO, Duration.ZERO, Optional.empty(), Source.NONE)));
        set(1, "pan", 5);
        assertThat(host.outcome(1)).isInstanceOf(Outcome.Failed.class);
        hears("tilt 9");
        set(2, "pan", 5);
        assertThat(transport.sent).containsExactly("go 5 9");
    }

    @Test
    void aMoveCarriesItsTimeInTheUnitOfTheDevice() {
        Property iris = new Property("iris", "", TestKind.LEVEL, Optional.of(text("iris {value}")), Optional.empty(),
                Optional.empty(), Optional.empty(), false, Value.of(0), Duration.ZERO, Duration.ZERO, Optional.empty(),
                Source.NONE);
        Move move = new Move(text("fade iris {value} in {over:dec4}"), Duration.ofMillis(40), true,
                Duration.ofSeconds(60), Optional.empty());
        tcp(TestKind.tcp().property(iris.moved(Optional.of(move), Optional.empty())).level("zoom", false));
        conversation.send(new Request.SetProperty(1, "iris", Value.of(42), false, Duration.ofSeconds(3)));
        conversation.send(new Request.SetProperty(2, "iris", Value.of(7)));
        conversation.send(new Request.SetProperty(3, "iris", Value.of(7), false, Duration.ofSeconds(61)));
        conversation.send(new Request.SetProperty(4, "zoom", Value.of(7), false, Duration.ofSeconds(1)));
        assertThat(transport.sent).containsExactly("fade iris 42 in 0075", "iris 7");
        assertThat(host.outcome(3).toString()).contains("over does not take \"1525\"");
        assertThat(host.outcome(4).toString()).contains("zoom has no move of the device's own");
    }

    @Test
    void aFailedWriteIsAFailedRequest() {
        tcp(TestKind.tcp().level("iris", false));
        transport.doneAtOnce = false;
        set(1, "iris", 1);
        assertThat(host.outcome(1)).isNull();
        transport.undone.getFirst().done("broken");
        assertThat(host.outcome(1)).isEqualTo(failed("it could not be sent: broken"));
    }

    // ---- turns and answers ----

    @Test
    void withOkAnswersOneRequestAtATimeIsUnderWay() {
        tcp(TestKind.tcp().level("iris", false).level("zoom", false).ok(text("OK")));
        set(1, "iris", 1);
        set(2, "zoom", 2);
        assertThat(transport.sent).containsExactly("iris 1");
        hears("OK");
        assertThat(host.outcome(1)).isEqualTo(new Outcome.Done());
        assertThat(transport.sent).containsExactly("iris 1", "zoom 2");
        assertThat(host.outcome(2)).isNull();
        hears("OK");
        assertThat(host.outcome(2)).isEqualTo(new Outcome.Done());
        assertThat(host.packets).contains("< OK #1", "< OK #2");
    }

    @Test
    void aRefusalHasTheKindsWords() {
        tcp(TestKind.tcp().level("iris", false).ok(text("OK")).refused(text("ERR{any}"), "not now"));
        set(1, "iris", 1);
        hears("ERR 3");
        assertThat(host.outcome(1)).isEqualTo(new Outcome.Refused("not now"));
    }

    @Test
    void aStreamIsNeverAskedTwice() {
        tcp(TestKind.tcp().level("iris", false).ok(text("OK")).within(500, 3));
        set(1, "iris", 1);
        timers.advanceMs(499);
        assertThat(host.outcome(1)).isNull();
        timers.advanceMs(1);
        assertThat(host.outcome(1)).isEqualTo(failed("no answer within 500 ms"));
        assertThat(transport.sent).hasSize(1);
    }

    @Test
    void aDatagramIsSentAgainAsOftenAsTheKindSays() {
        udp(TestKind.udp().level("iris", false).ok(text("OK")).within(500, 2));
        set(1, "iris", 1);
        timers.advanceMs(1_000);
        assertThat(transport.sent).containsExactly("iris 1", "iris 1", "iris 1");
        assertThat(host.outcome(1)).isNull();
        timers.advanceMs(500);
        assertThat(host.outcome(1)).isEqualTo(failed("no answer within 500 ms, though it was sent 3 times"));
    }

    @Test
    void anAnswerAfterASecondTryIsDone() {
        udp(TestKind.udp().level("iris", false).ok(text("OK")).within(500, 2));
        set(1, "iris", 1);
        timers.advanceMs(600);
        hears("OK");
        assertThat(host.outcome(1)).isEqualTo(new Outcome.Done());
        timers.advanceMs(10_000);
        assertThat(transport.sent).hasSize(2);
    }

    @Test
    void anAskIsDoneByItsAnswerAndNotByAReportThatComesBetween() {
        tcp(TestKind.tcp().level("iris", true));
        ask(1, "iris");
        hears("iris 5");
        assertThat(host.outcome(1)).isNull();
        assertThat(host.reports).containsExactly(new Notebook.Said(Map.of("iris", Value.of(5)), 0));
        hears("iris=6");
        assertThat(host.outcome(1)).isEqualTo(new Outcome.Done());
        assertThat(host.reports.getLast()).isEqualTo(new Notebook.Said(Map.of("iris", Value.of(6)), 1));
        assertThat(host.order).endsWith("received", "reported", "outcome 1");
    }

    @Test
    void anAskWithoutAnAnswerOfItsOwnIsDoneByTheReportOfItsProperty() {
        tcp(TestKind.tcp().level("iris", false).level("zoom", false));
        ask(1, "iris");
        ask(2, "zoom");
        assertThat(transport.sent).containsExactly("iris?", "zoom?");
        hears("zoom 3");
        assertThat(host.outcome(2)).isEqualTo(new Outcome.Done());
        assertThat(host.outcome(1)).isNull();
        timers.advanceMs(1_000);
        assertThat(host.outcome(1)).isEqualTo(failed("no answer within 1 s"));
    }

    @Test
    void aReportOfTheWholeKindEndsAnAskToo() {
        tcp(TestKind.tcp().level("iris", false).level("zoom", false).report(text("lens {iris} {zoom}")));
        ask(1, "zoom");
        hears("lens 4 5");
        assertThat(host.outcome(1)).isEqualTo(new Outcome.Done());
        assertThat(host.beliefs).containsEntry("iris", Value.of(4)).containsEntry("zoom", Value.of(5));
    }

    @Test
    void okBeforeTheAnswerEndsNothing() {
        tcp(TestKind.tcp().level("iris", true).ok(text("OK")));
        ask(1, "iris");
        hears("OK");
        assertThat(host.outcome(1)).isNull();
        hears("iris=1");
        assertThat(host.outcome(1)).isEqualTo(new Outcome.Done());
        assertThat(host.notes).isEmpty();
    }

    @Test
    void onlyTheAnswerWithTheSameSequenceCounts() {
        udp(TestKind.udp().level("iris", false).envelope(hex("{sequence:u16} {body}")).ok(text("OK")));
        set(1, "iris", 1);
        assertThat(sentHex(0)).startsWith("0001");
        hearsHex("0009 4f4b");
        assertThat(host.outcome(1)).isNull();
        hearsHex("0001 4f4b");
        assertThat(host.outcome(1)).isEqualTo(new Outcome.Done());
        assertThat(host.notes).hasSize(1).first().asString().contains("no request is waiting");
    }

    @Test
    void theSequenceStartsAgainWhenItsFieldIsFull() {
        udp(TestKind.udp().level("iris", false).envelope(hex("{sequence:u8} {body}")));
        for (int i = 1; i <= 600; i++) {
            set(i, "iris", 1);
            assertThat(host.outcome(i)).isEqualTo(new Outcome.Sent());
        }
        assertThat(sentHex(254)).startsWith("ff");
        assertThat(sentHex(255)).startsWith("00");
        assertThat(sentHex(511)).startsWith("00");
    }

    // ---- urgent commands ----

    @Test
    void aStopWaitsForNoAnswerAndNoQueueAndNoMoveFollowsIt() {
        tcp(TestKind.tcp().level("pan", false).level("iris", false).urgent("stop", text("stop"), "pan")
                .command("home", text("home"), Map.of()).ok(text("OK")));
        act(1, "home");
        set(2, "iris", 1);
        set(3, "pan", 5);
        act(4, "home");
        set(5, "iris", 2);
        act(6, "stop");
        assertThat(transport.sent).containsExactly("home", "stop");
        assertThat(host.outcome(3)).isEqualTo(failed("stop went ahead of it"));
        hears("OK");
        assertThat(host.outcome(1)).isEqualTo(new Outcome.Done());
        assertThat(host.outcome(6)).isNull();
        hears("OK");
        assertThat(host.outcome(6)).isEqualTo(new Outcome.Done());
        hears("OK");
        hears("OK");
        assertThat(transport.sent).containsExactly("home", "stop", "iris 1", "home", "iris 2");
    }

    @Test
    void aStopGoesBeforeAHeartbeatThatIsDueAndPastOneThatIsNotAnswered() {
        tcp(TestKind.tcp().level("pan", false).urgent("stop", text("stop"), "pan").ok(text("OK"))
                .heartbeat(text("alive"), text("yes"), 1_000, 500));
        timers.advanceMs(1_000);
        assertThat(transport.sent).containsExactly("alive");
        act(1, "stop");
        assertThat(transport.sent).containsExactly("alive", "stop");
    }

    @Test
    void aMoveIsNotRepeatedAfterAStop() {
        udp(TestKind.udp().level("pan", false).level("iris", false).urgent("stop", text("stop"), "pan").ok(text("OK"))
                .within(500, 2));
        set(1, "pan", 5);
        timers.advanceMs(100);
        act(2, "stop");
        assertThat(transport.sent).containsExactly("pan 5", "stop");
        timers.advanceMs(450);
        assertThat(host.outcome(1)).isEqualTo(failed("no answer within 500 ms"));
        timers.advanceMs(5_000);
        assertThat(transport.sent).containsExactly("pan 5", "stop", "stop", "stop");
    }

    // ---- what is not believed ----

    @Test
    void aValueThatThePropertyCannotHoldIsNotedAndNotBelieved() {
        tcp(TestKind.tcp().level("iris", false).level("zoom", false).report(text("lens {iris} {zoom}")));
        hears("iris 101");
        assertThat(host.reports).isEmpty();
        assertThat(host.notes).containsExactly("the device says \"101\" for iris, which that property cannot hold");
        hears("lens 500 7");
        assertThat(host.beliefs).containsOnly(Map.entry("zoom", Value.of(7)));
    }

    @Test
    void anAnswerThatThePropertyCannotHoldFailsTheAsk() {
        tcp(TestKind.tcp().level("iris", true));
        ask(1, "iris");
        hears("iris=400");
        assertThat(host.outcome(1).toString()).startsWith("Failed").contains("400");
        assertThat(host.beliefs).isEmpty();
    }

    @Test
    void strangeMessagesAreNotedOnceAndThenCounted() {
        tcp(TestKind.tcp().level("iris", false));
        for (int i = 0; i < 5_000; i++) {
            hears("\u0001\u001b[2Jwhat" + i);
        }
        assertThat(host.notes).hasSize(1);
        assertThat(host.notes.getFirst()).contains("test-kind").doesNotContain("\u001b");
        timers.advanceMs(10_000);
        assertThat(host.notes).hasSize(2).last().asString().startsWith("4999 more");
    }

    // ---- back-pressure ----

    @Test
    void whileTheDeviceDoesNotReadTheNewestValueOfEachPropertyWaits() {
        tcp(TestKind.tcp().level("iris", false).level("zoom", false));
        transport.writable = false;
        for (int i = 1; i <= 1_000; i++) {
            set(2 * i, "iris", i % 100);
            set(2 * i + 1, "zoom", i % 100);
        }
        assertThat(transport.sent).isEmpty();
        transport.writable = true;
        conversation.writableAgain();
        assertThat(transport.sent).containsExactly("iris 0", "zoom 0");
        for (int id = 2; id < 2_000; id++) {
            assertThat(host.outcome(id)).isEqualTo(new Outcome.Replaced());
        }
        assertThat(host.outcome(2_001)).isEqualTo(new Outcome.Sent());
        assertThat(host.notes).hasSize(1);
    }

    @Test
    void whileTheDeviceDoesNotReadACommandFailsWithTheReason() {
        tcp(TestKind.tcp().command("go", text("go"), Map.of()));
        transport.writable = false;
        act(1, "go");
        assertThat(host.outcome(1)).isEqualTo(failed("the device does not read what it is sent"));
    }

    @Test
    void switchesKeepTheirOrderAroundWhatStandsBetweenThem() {
        tcp(TestKind.tcp().onOff("key", false).level("left", false).ok(text("OK")));
        set(1, "left", 9); // takes the turn
        set(2, "key", false);
        set(3, "left", 1);
        set(4, "key", true);
        for (int i = 0; i < 4; i++) {
            hears("OK");
        }
        assertThat(transport.sent).containsExactly("left 9", "key OFF", "left 1", "key ON");
    }

    @Test
    void aCommandThatWaitsItsTurnKeepsItsPlace() {
        tcp(TestKind.tcp().level("left", false).command("go", text("go"), Map.of()).ok(text("OK")));
        set(1, "left", 1);
        set(2, "left", 2);
        act(3, "go");
        set(4, "left", 4);
        for (int i = 0; i < 4; i++) {
            hears("OK");
        }
        assertThat(transport.sent).containsExactly("left 1", "left 2", "go", "left 4");
    }

    @Test
    void whenAllPlacesAreTakenTheNewestValueStillGetsThroughAndANewcomerFails() {
        tcp(TestKind.tcp().level("left", false).level("top", false).command("go", text("go"), Map.of()).ok(text("OK")));
        set(1, "left", 1);
        set(2, "left", 2);
        act(3, "go");
        act(4, "go");
        act(5, "go"); // four wait now
        set(6, "left", 6);
        assertThat(host.outcome(2)).isEqualTo(new Outcome.Replaced());
        set(7, "top", 7);
        assertThat(host.outcome(7)).isEqualTo(failed("4 messages are waiting for the device already"));
        act(8, "go");
        assertThat(host.outcome(8)).isInstanceOf(Outcome.Failed.class);
        for (int i = 0; i < 5; i++) {
            hears("OK");
        }
        assertThat(transport.sent).containsExactly("left 1", "go", "go", "go", "left 6");
    }

    // ---- up, down, stale ----

    @Test
    void aStreamIsUpWhenConnectedAndFailsWhatIsOpenWhenLost() {
        tcp(TestKind.tcp().level("iris", true));
        ask(1, "iris");
        ask(2, "iris");
        conversation.lost("cable");
        assertThat(host.states).containsExactly("up: connected", "down: cable");
        assertThat(host.outcome(1)).isEqualTo(failed("the link was lost: cable"));
        assertThat(host.outcome(2)).isEqualTo(failed("the link was lost: cable"));
        set(3, "iris", 1);
        assertThat(host.outcome(3)).isEqualTo(failed("the link is down: cable"));
        assertThat(timers.pending()).isZero();
        conversation.opened("connected");
        set(4, "iris", 1);
        assertThat(host.outcome(4)).isEqualTo(new Outcome.Sent());
    }

    @Test
    void aDeviceThatGreetsIsUpAfterItsGreeting() {
        tcp(TestKind.tcp().level("iris", false).greeting(text("HELLO {any}")));
        assertThat(host.states).isEmpty();
        set(1, "iris", 1);
        assertThat(host.outcome(1)).isInstanceOf(Outcome.Failed.class);
        hears("HELLO there");
        assertThat(host.states).containsExactly("up: the device has greeted: HELLO there");
        timers.advanceMs(60_000);
        assertThat(transport.dropped).isNull();
    }

    @Test
    void aDeviceThatDoesNotGreetIsDropped() {
        tcp(TestKind.tcp().level("iris", false).greeting(text("HELLO")));
        hears("GO AWAY");
        timers.advanceMs(5_000);
        assertThat(transport.dropped).contains("did not greet within 5 s");
    }

    @Test
    void twoMissedHeartbeatsDropAStream() {
        tcp(TestKind.tcp().level("iris", false).heartbeat(text("ping"), text("pong"), 2_000, 1_000));
        timers.advanceMs(2_000);
        assertThat(transport.sent).containsExactly("ping");
        hears("pong");
        timers.advanceMs(2_000);
        assertThat(transport.sent).hasSize(2);
        timers.advanceMs(1_000);
        assertThat(transport.dropped).isNull();
        timers.advanceMs(1_000);
        assertThat(transport.sent).hasSize(3);
        timers.advanceMs(1_000);
        assertThat(transport.dropped).isEqualTo("the device left 2 heartbeats in a row unanswered");
        assertThat(host.notes).isEmpty();
    }

    @Test
    void aLivelyDeviceNeedsNoHeartbeat() {
        tcp(TestKind.tcp().level("iris", false).heartbeat(text("ping"), text("pong"), 2_000, 1_000));
        for (int i = 0; i < 100; i++) {
            timers.advanceMs(1_900);
            hears("iris 1");
        }
        assertThat(transport.sent).isEmpty();
    }

    @Test
    void aHeartbeatWithoutAReplyTakesAnythingAsLife() {
        tcp(TestKind.tcp().level("iris", false).heartbeat(text("ping"), null, 2_000, 1_000));
        for (int i = 0; i < 10; i++) {
            timers.advanceMs(2_000);
            hears("ERROR unknown command");
        }
        assertThat(transport.sent).hasSize(10);
        assertThat(transport.dropped).isNull();
        assertThat(host.notes).isEmpty();
    }

    @Test
    void heartbeatsThatGoWellAreCountedAndNotLoggedUntilOneDoesNot() {
        tcp(TestKind.tcp().level("iris", false).heartbeat(text("ping"), text("pong"), 2_000, 1_000));
        for (int i = 0; i < 400; i++) {
            timers.advanceMs(2_000);
            hears("pong");
        }
        assertThat(transport.sent).hasSize(400);
        assertThat(host.packets).hasSize(2 * BeatLog.SHOWN_AFTER_CHANGE + 2).contains("> ping", "< pong");
        assertThat(host.notes).singleElement().asString().contains("heartbeats").contains("answered");
        int before = host.packets.size();
        timers.advanceMs(3_000);
        assertThat(host.notes).last().asString().contains("a heartbeat was not answered");
        timers.advanceMs(1_000);
        hears("pong");
        assertThat(host.packets.subList(before, host.packets.size())).containsExactly("> ping", "< pong");
    }

    @Test
    void aHeartbeatWaitsForItsTurnAndRequestsWaitForIt() {
        tcp(TestKind.tcp().level("iris", false).ok(text("OK")).within(5_000, 0).heartbeat(text("ping"), text("OK"),
                2_000,
                1_000));
        set(1, "iris", 1);
        timers.advanceMs(2_500);
        assertThat(transport.sent).containsExactly("iris 1");
        timers.advanceMs(2_500);
        assertThat(host.outcome(1)).isInstanceOf(Outcome.Failed.class);
        assertThat(transport.sent).containsExactly("iris 1", "ping");
        set(2, "iris", 2);
        assertThat(transport.sent).hasSize(2);
        hears("OK");
        assertThat(host.outcome(2)).isNull();
        assertThat(transport.sent).containsExactly("iris 1", "ping", "iris 2");
    }

    @Test
    void datagramsWithAHeartbeatAreUpAfterTheFirstReplyStaleAfterTwoMissesAndUpAgain() {
        udp(TestKind.udp().level("iris", false).heartbeat(text("ping"), text("pong"), 2_000, 1_000));
        timers.advanceMs(0);
        assertThat(transport.sent).containsExactly("ping");
        assertThat(host.states).isEmpty();
        hears("noise");
        assertThat(host.states).isEmpty();
        hears("pong");
        assertThat(host.states).containsExactly("up: the device has answered");
        timers.advanceMs(5_000);
        assertThat(host.states).last().asString().isEqualTo("stale: the device left 2 heartbeats in a row unanswered");
        set(1, "iris", 1);
        assertThat(host.outcome(1)).isEqualTo(new Outcome.Sent());
        timers.advanceMs(60_000);
        assertThat(host.states).hasSize(2);
        hears("iris 3");
        assertThat(host.states).hasSize(3).last().asString().startsWith("up: ");
        assertThat(host.order).containsSubsequence("link stale", "link up", "reported");
    }

    @Test
    void datagramsWithoutAHeartbeatAreUpAtOnceAndStaleWhenThePortIsClosed() {
        udp(TestKind.udp().level("iris", false));
        assertThat(host.states).hasSize(1);
        conversation.undeliverable("nothing listens there");
        conversation.undeliverable("nothing listens there");
        assertThat(host.states).containsExactly("up: connected", "stale: nothing listens there");
        set(1, "iris", 1);
        timers.advanceMs(500);
        conversation.undeliverable("nothing listens there");
        timers.advanceMs(5_000);
        assertThat(host.states).hasSize(2);
        set(2, "iris", 1);
        timers.advanceMs(1_000);
        assertThat(host.states).hasSize(3).last().asString().startsWith("up: ");
    }

    @Test
    void closingFailsWhatIsOpenAndThenSaysNothingMore() {
        tcp(TestKind.tcp().level("iris", true).heartbeat(text("ping"), null, 1_000, 500));
        ask(1, "iris");
        ask(2, "iris");
        conversation.close();
        assertThat(host.outcome(1)).isEqualTo(failed("the link was closed"));
        assertThat(host.outcome(2)).isEqualTo(failed("the link was closed"));
        int said = host.order.size();
        set(3, "iris", 1);
        hears("iris 1");
        conversation.lost("gone");
        conversation.opened("again");
        hears("iris 1");
        timers.advanceMs(100_000);
        assertThat(host.order).hasSize(said);
    }

    @Test
    void theLogShowsBytesAsHexWhereTheyAreNotText() {
        assertThat(Printable.bytes("iris 5".getBytes(ISO_8859_1))).isEqualTo("iris 5");
        assertThat(Printable.bytes(new byte[]{(byte) 0x81, 1, (byte) 0xff})).isEqualTo("81 01 ff");
        assertThat(Printable.bytes("a\u001b[31m".getBytes(ISO_8859_1))).isEqualTo("61 1b 5b 33 31 6d");
        assertThat(Printable.bytes(new byte[100_000])).hasSizeLessThanOrEqualTo(400);
        assertThat(Printable.bytes("x".repeat(1_000).getBytes(ISO_8859_1))).hasSize(400).endsWith("…");
        assertThat(List.of(Printable.text("line\u2028forged\u202e"))).containsExactly("line?forged?");
    }
}
