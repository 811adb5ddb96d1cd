package bellpush.drivers.sim;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import bellpush.config.model.Command.Effect;
import bellpush.config.model.Device;
import bellpush.config.model.Framing;
import bellpush.config.model.Kind;
import bellpush.config.model.LinkState;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Rehearsal.Fault;
import bellpush.config.model.Source;
import bellpush.config.model.Template;
import bellpush.config.model.Value;
import bellpush.drivers.osc.OscDriver;
import bellpush.drivers.spi.Driver;
import bellpush.drivers.spi.Outcome;
import bellpush.drivers.spi.SimulatedDevice;
import bellpush.drivers.tcp.TcpDriver;
import bellpush.drivers.udp.UdpDriver;
import io.netty.channel.EventLoop;
import io.netty.channel.MultiThreadIoEventLoopGroup;
import io.netty.channel.nio.NioIoHandler;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.time.Duration;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** The real links against simulated devices over real sockets, one device in several protocols. */
class SimulatedGearTest {
    private static final Value ON = Value.of(true);
    private static final Value OFF = Value.of(false);
    private static final PropertyType LEVEL = new PropertyType.Number(-60, 10, 0.1, "dB", Optional.empty());
    private static MultiThreadIoEventLoopGroup loops;
    private static EventLoop gearLoop;
    private static EventLoop coreLoop;

    private final List<AutoCloseable> opened = new ArrayList<>();

    enum Way {
        LINES(new TcpDriver(), Words.TEXT, new Framing.Delimiter(new byte[]{'\r', '\n'})), // one a line
        COUNTED(new TcpDriver(), Words.HEX, new Framing.LengthPrefix(2, true, true)), //
        ESCAPED(new TcpDriver(), Words.HEX, new Framing.Slip()), //
        PACKETS(new UdpDriver(), Words.HEX, new Framing.None()), //
        TEXT_PACKETS(new UdpDriver(), Words.TEXT, new Framing.None()), //
        OSC_PACKETS(new OscDriver(), Words.OSC, new Framing.None()), //
        OSC_COUNTED(new OscDriver(), Words.OSC, new Framing.LengthPrefix(4, false, false)), //
        OSC_ESCAPED(new OscDriver(), Words.OSC, new Framing.Slip());

        private final Driver driver;
        private final Words words;
        private final Framing framing;

        Way(Driver driver, Words words, Framing framing) {
            this.driver = driver;
            this.words = words;
            this.framing = framing;
        }

        boolean stream() {
            return !(framing instanceof Framing.None);
        }

        private Template say(String word, int code, String... fields) {
            if (words == Words.OSC) {
                return words.message(word, code, fields); // the trade's OSC devices neither count nor acknowledge
            }
            String[] all = new String[fields.length + 1];
            all[0] = words == Words.HEX ? "sequence:u16" : "sequence";
            System.arraycopy(fields, 0, all, 1, fields.length);
            return words.message(word, code, all);
        }

        private String field(String name, String hexFormat) {
            return words == Words.HEX ? name + ":" + hexFormat : name;
        }

        Kinds kinds() {
            Kinds kinds = new Kinds().driver(driver.name()).framing(framing).again(5);
            if (words == Words.OSC && stream()) {
                kinds.stream(framing);
            }
            property(kinds, 0, "fill", Kinds.choice("slides", "titles", "camera"), "text", Value.of("slides"));
            property(kinds, 1, "level", LEVEL, "f32", Value.of(0));
            property(kinds, 2, "onAir", Kinds.FLAG, "u8", OFF);
            Map<String, Effect> effect = new LinkedHashMap<>();
            effect.put("onAir", new Effect.Opposite());
            effect.put("fill", new Effect.FromArgument("source"));
            kinds.command("fade", Map.of("source", Kinds.choice("slides", "titles", "camera")),
                    say("fade", 0x50, field("source", "text")), effect, Duration.ofMillis(30));
            if (words != Words.OSC) {
                kinds.ok(say("ok", 1)).refused(say("no", 2));
            }
            return kinds;
        }

        /** With a heartbeat so quick that a busy machine may miss some; for tests that wait until a link is noticed to be gone. */
        Kinds beating() {
            return kinds().heartbeat(say("alive?", 3), Optional.of(say("alive", 4)), Duration.ofMillis(200),
                    Duration.ofMillis(300));
        }

        private void property(Kinds kinds, int index, String name, PropertyType type, String format, Value initial) {
            String value = field("value", format);
            kinds.property(name, type, initial, Duration.ZERO, Optional.of(say("set " + name, 0x10 + index, value)),
                    Optional.of(say("ask " + name, 0x20 + index)), Optional.empty(),
                    Optional.of(say("report " + name, 0x40 + index, value)));
        }
    }

    @BeforeAll
    static void loops() {
        loops = new MultiThreadIoEventLoopGroup(2, NioIoHandler.newFactory());
        gearLoop = loops.next();
        coreLoop = loops.next();
    }

    @AfterAll
    static void end() {
        loops.shutdownGracefully(0, 1, TimeUnit.SECONDS).awaitUninterruptibly();
    }

    @AfterEach
    void closeAll() throws Exception {
        for (AutoCloseable each : opened.reversed()) {
            each.close();
        }
    }

    private SimulatedDevice gear(Way way, Kind kind) {
        return gear(way, kind, 0);
    }

    private SimulatedDevice gear(Way way, Kind kind, int port) {
        SimulatedDevice gear = way.driver.simulate(device(kind, 1), gearLoop, 42,
                new InetSocketAddress(InetAddress.getLoopbackAddress(), port)).orElseThrow();
        opened.add(gear);
        return gear;
    }

    /** Waits until the fault is there: it begins soon, and a packet could be faster. */
    private static void begin(SimulatedDevice gear, Fault fault) {
        gear.fault(fault);
        gearLoop.submit(() -> {}).syncUninterruptibly();
    }

    private Console console(Way way, Kind kind, SimulatedDevice gear) {
        Console console = new Console(way.driver, device(kind, gear.address().getPort()), coreLoop);
        opened.add(console);
        return console;
    }

    private static Device device(Kind kind, int port) {
        return new Device("mixer", "Mixer", kind, "127.0.0.1", port, Map.of(), Source.NONE);
    }

    /** Sets until it is so: what a fault swallowed is sent again, as the core does. */
    private static void insist(Console console, SimulatedDevice gear, String property, Value value) {
        long[] request = {console.set(property, value)};
        console.await(property + " becomes " + value, () -> {
            if (value.equals(gear.values().get(property))) {
                return true;
            }
            if (console.outcomes.containsKey(request[0])) {
                request[0] = console.set(property, value);
            }
            return false;
        });
    }

    /** Asks until it is told so. */
    private static void learn(Console console, String property, Value value) {
        console.await(property + " is " + value, () -> {
            console.outcome(console.ask(property));
            return value.equals(console.reported.get(property));
        });
    }

    @ParameterizedTest
    @EnumSource
    void itIsSetAskedAndCommandedAndReports(Way way) {
        Kind kind = way.kinds().kind();
        SimulatedDevice gear = gear(way, kind);
        Console console = console(way, kind, gear);
        console.awaitUp();
        assertThat(console.outcome(console.ask("fill"))).isEqualTo(new Outcome.Done());
        assertThat(console.reported).containsEntry("fill", Value.of("slides"));

        Outcome set = console.outcome(console.set("fill", Value.of("titles")));
        assertThat(set).isIn(new Outcome.Done(), new Outcome.Sent());
        console.awaitReported("fill", Value.of("titles"));
        assertThat(gear.values()).containsEntry("fill", Value.of("titles"));

        console.outcome(console.act("fade", Map.of("source", Value.of("camera"))));
        console.awaitReported("fill", Value.of("camera"));
        console.awaitReported("onAir", ON);
        assertThat(gear.values()).containsEntry("fill", Value.of("camera")).containsEntry("onAir", ON);

        gear.change(Map.of("level", Value.of(-12.5)));
        console.awaitReported("level", Value.of(-12.5));
        assertThat(console.noted).isEmpty();
    }

    @ParameterizedTest
    @EnumSource
    void afterAThousandSetsItStandsWhereTheLastOnesPutIt(Way way) {
        Kind kind = way.kinds().kind();
        SimulatedDevice gear = gear(way, kind);
        Console console = console(way, kind, gear);
        console.awaitUp();
        Random random = new Random(7);
        RandomKinds values = new RandomKinds(7);
        Map<String, Value> last = new HashMap<>();
        List<String> names = List.copyOf(kind.properties().keySet());
        // Datagrams that nobody acknowledges may be lost when more are under way than the system has room for.
        boolean unanswered = !way.stream() && kind.answers().ok().isEmpty();
        for (int i = 0; i < 1_000; i++) {
            String name = names.get(random.nextInt(names.size()));
            Value value = values.anyAccepted(kind.properties().get(name).type());
            last.put(name, value);
            console.set(name, value);
            if (unanswered && i % 20 == 19) {
                console.await("the device is at " + last, () -> stands(gear, kind, last));
            }
        }
        console.await("every set has its outcome", () -> console.outcomes.size() == 1_000);
        console.await("the device is at " + last, () -> stands(gear, kind, last));
        console.await("the device has said so", () -> gear.values().entrySet().stream().allMatch(
                e -> !last.containsKey(e.getKey()) || kind.properties().get(e.getKey()).type().same(e.getValue(),
                        console.reported.getOrDefault(e.getKey(), OFF))));
    }

    private static boolean stands(SimulatedDevice gear, Kind kind, Map<String, Value> where) {
        return where.entrySet().stream().allMatch(
                e -> kind.properties().get(e.getKey()).type().same(e.getValue(), gear.values().get(e.getKey())));
    }

    @ParameterizedTest
    @EnumSource
    void switchedOffTheLinkSaysSoAndSwitchedOnItIsThereWithWhatItWasSetTo(Way way) {
        Kind kind = way.beating().kind();
        SimulatedDevice gear = gear(way, kind);
        InetSocketAddress address = gear.address();
        Console console = console(way, kind, gear);
        console.awaitUp();
        insist(console, gear, "fill", Value.of("titles"));
        gear.fault(new Fault.Off());
        console.await("the link is not up", () -> console.state != LinkState.UP);
        gear.change(Map.of("onAir", ON));
        gear.fault(new Fault.Works());
        console.awaitUp();
        assertThat(gear.address()).isEqualTo(address);
        learn(console, "fill", Value.of("titles"));
        learn(console, "onAir", ON);
    }

    @ParameterizedTest
    @EnumSource
    void aRestartForgets(Way way) {
        Kind kind = way.beating().kind();
        SimulatedDevice gear = gear(way, kind);
        Console console = console(way, kind, gear);
        console.awaitUp();
        insist(console, gear, "fill", Value.of("titles"));
        int ups = console.ups;
        gear.fault(new Fault.Restarts(Duration.ofMillis(700)));
        console.await("the link went and came", () -> console.ups > ups && console.state == LinkState.UP);
        assertThat(gear.values()).containsEntry("fill", Value.of("slides"));
        insist(console, gear, "fill", Value.of("camera"));
    }

    @ParameterizedTest
    @EnumSource
    void aDeafDeviceIsFoundOutByItsHeartbeatAndComesBack(Way way) {
        Kind kind = way.beating().kind();
        SimulatedDevice gear = gear(way, kind);
        Console console = console(way, kind, gear);
        console.awaitUp();
        gear.fault(new Fault.Deaf());
        console.await("the link is not up", () -> console.state != LinkState.UP);
        gear.fault(new Fault.Works());
        insist(console, gear, "fill", Value.of("camera"));
        console.awaitUp();
    }

    @ParameterizedTest
    @EnumSource
    void aRefusingDeviceStaysAsItIs(Way way) {
        Kind kind = way.kinds().kind();
        SimulatedDevice gear = gear(way, kind);
        Console console = console(way, kind, gear);
        console.awaitUp();
        begin(gear, new Fault.Refusing());
        Outcome outcome = console.outcome(console.set("fill", Value.of("titles")));
        if (kind.answers().refused().isEmpty()) {
            assertThat(outcome).isEqualTo(new Outcome.Sent());
        } else {
            assertThat(outcome).isEqualTo(new Outcome.Refused("not possible now"));
        }
        console.outcome(console.ask("fill"));
        assertThat(console.reported).containsEntry("fill", Value.of("slides"));
        assertThat(gear.values()).containsEntry("fill", Value.of("slides"));
        gear.fault(new Fault.Works());
        insist(console, gear, "fill", Value.of("titles"));
    }

    @ParameterizedTest
    @EnumSource
    void insistingGetsThroughABadLine(Way way) {
        Kind kind = way.kinds().within(Duration.ofMillis(150)).kind();
        SimulatedDevice gear = gear(way, kind);
        Console console = console(way, kind, gear);
        console.awaitUp();
        gear.fault(new Fault.Drops(0.3));
        for (int i = 0; i < 6; i++) {
            insist(console, gear, "fill", Value.of(i % 2 == 0 ? "titles" : "camera"));
        }
        gear.fault(new Fault.Works());
        insist(console, gear, "level", Value.of(-3));
    }

    @ParameterizedTest
    @EnumSource
    void aSlowDeviceIsLateWithEverythingItSays(Way way) {
        Kind kind = way.kinds().kind();
        SimulatedDevice gear = gear(way, kind);
        Console console = console(way, kind, gear);
        console.awaitUp();
        begin(gear, new Fault.Slow(Duration.ofMillis(150)));
        long before = System.nanoTime();
        console.await("a question gets its answer", () -> {
            long asked = console.ask("level");
            return console.outcome(asked) instanceof Outcome.Done;
        });
        assertThat(System.nanoTime() - before).isGreaterThan(Duration.ofMillis(140).toNanos());
        insist(console, gear, "fill", Value.of("camera"));
        console.awaitReported("fill", Value.of("camera"));
    }

    /** On a stream the sender's buffers fill: that is how a link learns that nobody reads. */
    @Test
    void aDeafStreamStopsReading() {
        Kind kind = new Kinds().property("title", new PropertyType.Text(60_000), Value.of(""), "T {value}", "", "", "")
                .kind();
        SimulatedDevice gear = gear(Way.LINES, kind);
        Console console = console(Way.LINES, kind, gear);
        console.awaitUp();
        begin(gear, new Fault.Deaf());
        String page = "x".repeat(50_000);
        for (int i = 0; i < 400; i++) {
            console.set("title", Value.of(i + page));
        }
        console.await("newer values take the place of older ones",
                () -> console.outcomes.containsValue(new Outcome.Replaced()));
        assertThat(gear.values()).containsEntry("title", Value.of(""));
        gear.fault(new Fault.Works());
        console.await("the newest arrives", () -> Value.of(399 + page).equals(gear.values().get("title")));
    }

    @Test
    void theGreetingOpensAConversation() {
        Kind kind = new Kinds().property("a", Kinds.FLAG, OFF, "A {value}", "A?", "", "A={value}")
                .greeting("HELLO A={a}")
                .kind();
        SimulatedDevice gear = gear(Way.LINES, kind);
        Console console = console(Way.LINES, kind, gear);
        console.awaitUp();
        begin(gear, new Fault.Deaf());
        Console second = console(Way.LINES, kind, gear);
        assertThat(console.outcome(console.ask("a"))).isInstanceOf(Outcome.Failed.class);
        assertThat(second.state).as("a deaf device greets nobody").isEqualTo(LinkState.DOWN);
        gear.fault(new Fault.Works());
        second.awaitUp();
    }

    @ParameterizedTest
    @EnumSource(names = {"LINES", "PACKETS"})
    void allWhoAreConnectedHearOfAChangeUpToSixteen(Way way) {
        Kind kind = way.kinds().kind();
        SimulatedDevice gear = gear(way, kind);
        List<Console> consoles = new ArrayList<>();
        for (int i = 0; i < 16; i++) {
            Console console = console(way, kind, gear);
            console.awaitUp();
            learn(console, "fill", Value.of("slides")); // the device has taken the connection, not the system alone
            consoles.add(console);
        }
        gear.change(Map.of("fill", Value.of("titles")));
        consoles.forEach(c -> c.awaitReported("fill", Value.of("titles")));
        if (way.stream()) {
            Console late = console(way, kind, gear);
            late.await("one too many is turned away",
                    () -> late.noted.stream().anyMatch(n -> !n.isEmpty())
                            || late.ups > 0 && late.state == LinkState.DOWN);
            consoles.getFirst().close();
            late.awaitUp();
            insist(late, gear, "fill", Value.of("camera"));
        }
    }

    @ParameterizedTest
    @EnumSource(names = {"LINES", "PACKETS"})
    void aPortIsTakenOnceAndGivenBack(Way way) {
        Kind kind = way.kinds().kind();
        SimulatedDevice gear = gear(way, kind);
        int port = gear.address().getPort();
        assertThatThrownBy(() -> gear(way, kind, port)).isInstanceOf(java.io.UncheckedIOException.class)
                .hasMessageContaining("mixer").hasMessageContaining("" + port);
        gear.fault(new Fault.Off());
        gear.close();
        SimulatedDevice next = gear(way, kind, port);
        assertThat(next.address().getPort()).isEqualTo(port);
        gear.fault(new Fault.Works());
        gear.close();
        console(way, kind, next).awaitUp();
    }

    @Test
    void whatTheKindDoesNotHaveCannotBeChanged() {
        Kind kind = Way.LINES.kinds().kind();
        SimulatedDevice gear = gear(Way.LINES, kind);
        assertThatThrownBy(() -> gear.change(Map.of("level", Value.of(11)))).hasMessageContaining("level")
                .hasMessageContaining("11");
        assertThat(gear.values()).containsEntry("level", Value.of(0));
    }
}
