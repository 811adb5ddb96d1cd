package bellpush.drivers.link;

import bellpush.config.model.Command;
import bellpush.config.model.Device;
import bellpush.config.model.Kind;
import bellpush.config.model.Limits;
import bellpush.config.model.LinkState;
import bellpush.config.model.Move;
import bellpush.config.model.Property;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Template;
import bellpush.config.model.Value;
import bellpush.drivers.spi.LinkHost;
import bellpush.drivers.spi.Outcome;
import bellpush.drivers.spi.Request;
import java.time.Duration;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.IdentityHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;

/**
 * What is said between one device and us, without the socket: requests become messages, messages become reports and
 * outcomes, one at a time where the kind wants that, with retries (datagrams), time limits and heartbeats. Each request
 * has exactly one outcome. What is urgent waits for no turn, and nothing that it ends is repeated after it. It knows no threads: all calls, and all of its timers, are on the event loop.
 *
 * <p>A stream that goes silent after a request is not questioned further than by {@code within} and the heartbeat. Where
 * the protocol has no sequence numbers, an ok that comes later than {@code within} counts for whatever waits by then; a
 * kind's {@code within} must be longer than the device ever takes.
 */
public final class Conversation<F> {
    /** How long a new connection may stay silent when the kind says that the device greets. */
    public static final Duration GREETING_WITHIN = Duration.ofSeconds(5);

    /** Messages of the future (OSC time tags) held back at the same time, their bytes, and how far off they may be. */
    static final int HELD_MESSAGES_MAX = 256;
    static final int HELD_BYTES_MAX = 1 << 20;
    static final Duration HELD_MAX = Duration.ofMinutes(1);

    /** Without a heartbeat nothing tells that a port is reachable again but that sending to it causes no complaint. */
    private static final Duration REACHABLE_AFTER = Duration.ofSeconds(1);

    private final Kind kind;
    private final Limits limits;
    private final MessageCodec<F> codec;
    private final LinkHost host;
    private final Timers timers;
    private final Transport transport;
    private final boolean datagrams;

    private final Ear<F> ear;
    private final WaitingRequests waiting;
    private final Map<Template, Set<String>> fieldsByTemplate = new IdentityHashMap<>();
    private final boolean takesTurns;
    private final boolean acknowledges;
    private final Pulse pulse;
    private final BeatLog beatLog;

    private final Burst malformed;
    private final Burst notUnderstood;
    private final Burst unheld;
    private final Burst unawaited;
    private final Burst dropped;
    private final Burst unread;

    /** Everything written whose outcome is not known; a few at most, or as many as fit below the socket's high water. */
    private final Set<Exchange> open = new LinkedHashSet<>();
    /** Those of them that wait for the device, oldest first. */
    private final List<Exchange> awaiting = new ArrayList<>();
    private final Set<Timers.Alarm> held = new HashSet<>();
    private int heldBytes;

    /** What this link last heard or sent, for fields of other properties in a set or an ask. */
    private final Map<String, Value> known = new HashMap<>();

    private LinkState state = LinkState.DOWN;
    private boolean connected;
    private boolean closed;
    private boolean greeted;
    private boolean heardAnything;
    private boolean undeliverableTold;
    private String downBecause = "it has not been reached yet";
    private long sequence;
    private boolean beatDue;
    private long beatSequence = -1;
    private boolean pumping;
    private Timers.Alarm greetingAlarm;
    private Timers.Alarm reachableAlarm;

    public Conversation(Device device, Limits limits, MessageCodec<F> codec, LinkHost host, Timers timers,
            Transport transport, boolean datagrams) {
        this.kind = device.kind();
        this.limits = limits;
        this.codec = codec;
        this.host = host;
        this.timers = timers;
        this.transport = transport;
        this.datagrams = datagrams;
        this.ear = new Ear<>(kind, codec);
        this.waiting = new WaitingRequests(kind, limits.waitingSends(), (request, outcome) -> host.outcome(request.id(),
                outcome));
        this.acknowledges = !kind.answers().ok().isEmpty();
        this.takesTurns = acknowledges
                || kind.properties().values().stream().anyMatch(p -> p.ask().isPresent() && p.answer().isPresent());
        this.pulse = kind.heartbeat().map(heartbeat -> new Pulse(heartbeat, timers, new Heart())).orElse(null);
        this.beatLog = new BeatLog(timers, text -> {
            if (!closed) {
                host.noted(text);
            }
        });
        this.malformed = burst("malformed messages");
        this.notUnderstood = burst("messages that fit nothing in this kind");
        this.unheld = burst("values that their properties cannot hold");
        this.unawaited = burst("answers that no request waits for");
        this.dropped = burst("troubles on this link");
        this.unread = burst("requests while the device does not read");
    }

    private Burst burst(String what) {
        return new Burst(timers, text -> {
            if (!closed) {
                host.noted(text);
            }
        }, what);
    }

    // ---- what the socket tells ----

    /** The socket is ready. {@code where} is for people: {@code "connected to 192.168.40.11:9910"}. */
    public void opened(String where) {
        if (closed) {
            return;
        }
        connected = true;
        heardAnything = false;
        known.clear();
        beatLog.opened();
        if (datagrams && pulse != null) {
            pulse.start(true);
            return;
        }
        greeted = datagrams || kind.greeting().isEmpty();
        if (greeted) {
            up(where);
        } else {
            greetingAlarm = timers.after(GREETING_WITHIN.toNanos(), () -> transport
                    .drop("the device took the connection but did not greet within " + words(GREETING_WITHIN)));
        }
    }

    private void up(String why) {
        greeted = true;
        greetingAlarm = cancel(greetingAlarm);
        if (pulse != null && !datagrams) {
            pulse.start(false);
        }
        setState(LinkState.UP, why);
    }

    /** The socket is gone: every open request fails. Harmless when it was gone already. */
    public void lost(String why) {
        if (!connected) {
            downBecause = why;
            return;
        }
        connected = false;
        silence();
        downBecause = why;
        setState(LinkState.DOWN, why);
        failAll("the link was lost: " + why);
    }

    /** Closes for good. Open requests fail; nothing is said to the host afterwards. */
    public void close() {
        if (closed) {
            return;
        }
        connected = false;
        silence();
        failAll("the link was closed");
        closed = true;
        for (Burst burst : List.of(malformed, notUnderstood, unheld, unawaited, dropped, unread)) {
            burst.close();
        }
        beatLog.close();
    }

    private void silence() {
        greetingAlarm = cancel(greetingAlarm);
        reachableAlarm = cancel(reachableAlarm);
        if (pulse != null) {
            pulse.stop();
        }
        beatDue = false;
        held.forEach(Timers.Alarm::cancel);
        held.clear();
        heldBytes = 0;
    }

    private void failAll(String why) {
        for (Exchange exchange : List.copyOf(open)) {
            conclude(exchange, new Outcome.Failed(why));
        }
        waiting.fail(why);
    }

    /** The other end reads again. */
    public void writableAgain() {
        pump();
    }

    /** A frame or datagram of the device. */
    public void received(byte[] frame) {
        if (!connected) {
            return;
        }
        if (pulse != null) {
            pulse.heard();
            if (beatDue) { // it waited for its turn, and is not needed any more
                beatDue = false;
                pulse.skipped();
            }
        }
        List<MessageCodec.Arrival<F>> arrivals;
        try {
            arrivals = codec.parse(frame);
        } catch (MalformedMessageException e) {
            malformed.add("a malformed message was dropped: " + e.getMessage());
            return;
        }
        for (var arrival : arrivals) {
            if (arrival.delayNanos() <= 0) {
                hear(arrival.message());
            } else {
                holdBack(arrival, frame.length);
            }
            if (!connected) {
                return;
            }
        }
    }

    /** Bytes of the stream that never became a message. {@code why} is for people. */
    public void droppedBytes(String why) {
        dropped.add(why);
    }

    /** Something that a socket noticed and that is no message: a foreign sender, an odd error. At most a line in 10 s. */
    public void trouble(String what) {
        dropped.add(what);
    }

    /** Whether the device has said anything that makes a message since the socket was opened. */
    public boolean heardAnything() {
        return heardAnything;
    }

    public LinkState state() {
        return state;
    }

    /** A datagram could not be delivered; {@code why} is for people. */
    public void undeliverable(String why) {
        if (!connected) {
            return;
        }
        reachableAlarm = cancel(reachableAlarm);
        if (state == LinkState.UP) {
            setState(LinkState.STALE, why);
        } else if (state == LinkState.DOWN && !undeliverableTold) {
            undeliverableTold = true; // each heartbeat fails like this until the device is there; once is enough
            host.noted(Printable.text(why));
        }
    }

    private void holdBack(MessageCodec.Arrival<F> arrival, int bytes) {
        if (arrival.delayNanos() > HELD_MAX.toNanos()) {
            dropped.add("a message for a time more than " + words(HELD_MAX) + " ahead was dropped");
        } else if (held.size() >= HELD_MESSAGES_MAX || heldBytes + bytes > HELD_BYTES_MAX) {
            dropped.add("a message for a later time was dropped: " + held.size() + " are waiting for theirs already");
        } else {
            heldBytes += bytes;
            var alarm = new Timers.Alarm[1];
            alarm[0] = timers.after(arrival.delayNanos(), () -> {
                held.remove(alarm[0]);
                heldBytes -= bytes;
                hear(arrival.message());
            });
            held.add(alarm[0]);
        }
    }

    // ---- listening ----

    private void hear(F message) {
        heardAnything = true;
        boolean beatAnswered = pulse != null && pulse.awaiting() && ear.answersHeartbeat(message, beatSequence);
        Heard heard = ear.understand(message, awaiting, !greeted && !datagrams);
        if (datagrams && state != LinkState.UP) {
            heardAgain(heard, beatAnswered);
        }
        act(message, heard, beatAnswered);
        if (beatAnswered) {
            beatLog.answered();
            pulse.answered();
        }
        pump();
    }

    private void act(F message, Heard heard, boolean beatAnswered) {
        switch (heard) {
            case Heard.Answered(Exchange ask, var values, String problem) -> {
                log(message, ask.request.id());
                tell(values, ask);
                if (problem.isEmpty()) {
                    conclude(ask, new Outcome.Done());
                } else {
                    unheld.add(problem);
                    conclude(ask, new Outcome.Failed(problem));
                }
            }
            case Heard.Accepted(Exchange exchange, var values) -> {
                log(message, exchange.request.id());
                tell(values, null);
                conclude(exchange, new Outcome.Done());
            }
            case Heard.Refused(Exchange exchange, String means) -> {
                log(message, exchange.request.id());
                conclude(exchange, new Outcome.Refused(means));
            }
            case Heard.Told(var values, var wire) -> {
                Exchange ask = askedFor(values, wire);
                log(message, ask == null ? 0 : ask.request.id());
                tell(values, ask);
                if (ask != null) {
                    conclude(ask, new Outcome.Done());
                }
            }
            case Heard.Beat _ when beatAnswered -> logBeat(message);
            case Heard.Beat _ -> log(message, 0);
            case Heard.Greeting _ -> {
                log(message, 0);
                if (!greeted) {
                    up("the device has greeted: " + codec.show(message));
                }
            }
            case Heard.Unawaited(String what) -> {
                if (beatAnswered) {
                    logBeat(message); // an ok to a heartbeat that names no reply
                } else {
                    unawaited.add(what + ": " + codec.show(message));
                }
            }
            case Heard.Unheld(var values, String problem) -> {
                log(message, 0);
                unheld.add(problem);
                tell(values, null);
            }
            case Heard.Strange _ -> {
                if (beatAnswered) {
                    logBeat(message);
                } else {
                    notUnderstood
                            .add("a message fits nothing in the kind \"" + kind.name() + "\": " + codec.show(message));
                }
            }
        }
    }

    /** An ask that ends with a report ends with the first report of its property. */
    private Exchange askedFor(Map<String, Value> values, Map<String, Value> wire) {
        for (Exchange exchange : awaiting) {
            if (exchange.awaits == Exchange.Awaits.REPORT && values.containsKey(exchange.property())
                    && Ear.sequenceFits(wire, exchange.sequence)) {
                return exchange;
            }
        }
        return null;
    }

    private void log(F message, long request) {
        host.packet(false, codec.show(message), request);
    }

    private void logBeat(F message) {
        if (beatLog.shown()) {
            log(message, 0);
        }
    }

    private void tell(Map<String, Value> values, Exchange answers) {
        if (!values.isEmpty()) {
            known.putAll(values);
            host.reported(values, answers == null ? 0 : answers.request.id());
        }
    }

    /** A silent datagram device has spoken. Noise on its port does not bring up what never answered. */
    private void heardAgain(Heard heard, boolean beatAnswered) {
        boolean sense = beatAnswered || !(heard instanceof Heard.Strange || heard instanceof Heard.Unheld);
        if (state == LinkState.STALE || sense) {
            setState(LinkState.UP, state == LinkState.STALE ? "the device speaks again" : "the device has answered");
        }
    }

    // ---- speaking ----

    /** Sends the request, lets it wait its turn, or fails it. See {@link bellpush.drivers.spi.Link#send}. */
    public void send(Request request) {
        if (closed) {
            return;
        }
        if (state == LinkState.DOWN) {
            host.outcome(request.id(), new Outcome.Failed("the link is down: " + downBecause));
            return;
        }
        if (!transport.writable()) {
            unread.add("the device does not read what it is sent; the newest value of each property waits");
            if (request instanceof Request.DoCommand) {
                host.outcome(request.id(), new Outcome.Failed("the device does not read what it is sent"));
                return;
            }
        }
        if (waiting.urgent(request)) {
            waiting.addUrgent(request);
        } else if (!pumping && waiting.isEmpty() && free()) {
            pumping = true;
            dispatch(request);
            pumping = false;
        } else {
            waiting.add(request);
        }
        pump();
    }

    private boolean free() {
        boolean turn = takesTurns
                ? awaiting.isEmpty() && !beatDue && !(pulse != null && pulse.awaiting())
                : awaiting.size() < limits.waitingSends();
        return connected && turn && transport.writable();
    }

    private void pump() {
        if (pumping) {
            return;
        }
        pumping = true;
        sendUrgent();
        if (beatDue && beatFree()) {
            beat();
        }
        while (!waiting.isEmpty() && free()) {
            dispatch(waiting.next());
            sendUrgent();
        }
        pumping = false;
    }

    private void sendUrgent() {
        while (waiting.nextIsUrgent() && connected && transport.writable()) {
            Request act = waiting.next();
            for (Exchange exchange : awaiting) {
                exchange.overtaken |= waiting.undoesWhenRepeated(exchange.request, act)
                        && !(waiting.urgent(exchange.request) && exchange.request instanceof Request.DoCommand);
            }
            dispatch(act);
        }
    }

    private void dispatch(Request request) {
        Exchange exchange;
        F message;
        try {
            Template template = template(request);
            message = encode(template, fields(request, template));
            exchange = new Exchange(request, awaits(request), codec.format(message), sequence, this::written);
        } catch (IllegalArgumentException e) {
            host.outcome(request.id(), new Outcome.Failed(e.getMessage()));
            return;
        }
        open.add(exchange);
        if (exchange.waits()) {
            awaiting.add(exchange);
        }
        write(exchange, message);
        remember(request);
    }

    /** @param message to be shown in the log, which is made only after the write; null when this is not the first one */
    private void write(Exchange exchange, F message) {
        exchange.beginWrite();
        try {
            transport.write(exchange.message, exchange);
        } catch (IllegalArgumentException e) {
            conclude(exchange, new Outcome.Failed(e.getMessage()));
            return;
        }
        if (message != null) {
            exchange.shown = codec.show(message);
        }
        if (exchange.failure() == null) {
            host.packet(true, exchange.shown, exchange.request.id());
            expectReachable();
        }
        if (exchange.waits() && !exchange.concluded) {
            exchange.alarm = timers.after(kind.answers().within().toNanos(), () -> unanswered(exchange));
        }
        exchange.begun();
    }

    /** The result of a write, after its log line. */
    private void written(Exchange exchange) {
        if (exchange.failure() != null) {
            conclude(exchange, new Outcome.Failed("it could not be sent: " + exchange.failure()));
            pump();
        } else if (!exchange.waits()) {
            conclude(exchange, new Outcome.Sent());
        }
    }

    private void unanswered(Exchange exchange) {
        if (datagrams && !exchange.overtaken && exchange.writes <= kind.answers().again()) {
            write(exchange, null);
            return;
        }
        String tries = exchange.writes == 1 ? "" : ", though it was sent " + exchange.writes + " times";
        conclude(exchange, new Outcome.Failed("no answer within " + words(kind.answers().within()) + tries));
        pump();
    }

    private void conclude(Exchange exchange, Outcome outcome) {
        if (exchange.concluded) {
            return;
        }
        exchange.concluded = true;
        exchange.alarm = cancel(exchange.alarm);
        open.remove(exchange);
        awaiting.remove(exchange);
        host.outcome(exchange.request.id(), outcome);
    }

    private Template template(Request request) {
        return switch (request) {
            case Request.SetProperty set when set.over().isPositive() -> property(set.property()).move().map(Move::send)
                    .orElseThrow(() -> new IllegalArgumentException(
                            set.property() + " has no move of the device's own"));
            case Request.SetProperty set -> property(set.property()).set()
                    .orElseThrow(() -> new IllegalArgumentException(set.property() + " cannot be set"));
            case Request.AskProperty ask -> property(ask.property()).ask()
                    .orElseThrow(() -> new IllegalArgumentException(ask.property() + " cannot be asked for"));
            case Request.DoCommand act -> command(act.command()).send();
        };
    }

    private Property property(String name) {
        Property property = kind.properties().get(name);
        if (property == null) {
            throw new IllegalArgumentException("the kind \"" + kind.name() + "\" has no property " + name);
        }
        return property;
    }

    private Command command(String name) {
        Command command = kind.commands().get(name);
        if (command == null) {
            throw new IllegalArgumentException("the kind \"" + kind.name() + "\" has no command " + name);
        }
        return command;
    }

    private Exchange.Awaits awaits(Request request) {
        if (!(request instanceof Request.AskProperty ask)) {
            return acknowledges ? Exchange.Awaits.OK : Exchange.Awaits.WRITE;
        }
        Property property = property(ask.property());
        return property.answer().isPresent()
                ? Exchange.Awaits.ANSWER
                : property.reported() ? Exchange.Awaits.REPORT : Exchange.Awaits.WRITE;
    }

    /** Wire values of the fields that the template names. One that nobody knows is left out; encoding says so in words. */
    private Map<String, Value> fields(Request request, Template template) {
        var fields = new HashMap<String, Value>();
        for (String field : fieldsByTemplate.computeIfAbsent(template, Fields::of)) {
            switch (request) {
                case Request.SetProperty set when field.equals("value") ->
                    fields.put(field, toWire(set.property(), property(set.property()).type(), set.value()));
                case Request.SetProperty set when set.over().isPositive() && field.equals("over") ->
                    fields.put(field, over(property(set.property()), set.over()));
                case Request.DoCommand act when act.arguments().containsKey(field) -> fields.put(field,
                        toWire(field, command(act.command()).arguments().get(field), act.arguments().get(field)));
                default -> {
                    Property other = kind.properties().get(field);
                    Value value = request instanceof Request.DoCommand act && act.present().containsKey(field)
                            ? act.present().get(field)
                            : known.get(field);
                    if (value == null && other != null && !other.reported() && request instanceof Request.SetProperty) {
                        value = other.initial(); // the device will never tell, so nothing better is to be had
                    }
                    if (other != null && value != null) {
                        fields.put(field, toWire(field, other.type(), value));
                    }
                }
            }
        }
        return fields;
    }

    private Value over(Property property, Duration over) {
        Move move = property.move().orElseThrow();
        return toWire("over", move.type(), move.wire(over));
    }

    private Value toWire(String name, PropertyType type, Value value) {
        if (type == null || !type.accepts(value)) {
            throw new IllegalArgumentException(name + " does not take \"" + Printable.text(value.toString()) + "\"");
        }
        return type.toWire(value);
    }

    /** Encodes with the next sequence number. One that is too great for its field begins again at 0. */
    private F encode(Template template, Map<String, Value> fields) {
        long next = sequence + 1;
        fields.put("sequence", Value.of(next));
        F message;
        try {
            message = codec.encode(template, fields);
        } catch (IllegalArgumentException tooGreat) {
            if (next == 1) {
                throw tooGreat;
            }
            next = 0;
            fields.put("sequence", Value.of(next));
            try {
                message = codec.encode(template, fields);
            } catch (IllegalArgumentException _) {
                throw tooGreat;
            }
        }
        sequence = next;
        return message;
    }

    private void remember(Request request) {
        switch (request) {
            case Request.SetProperty set -> known.put(set.property(), set.value());
            case Request.DoCommand act -> command(act.command()).effect().forEach((property, effect) -> {
                if (effect instanceof Command.Effect.Becomes(Value value)) {
                    known.put(property, value);
                } else {
                    known.remove(property);
                }
            });
            case Request.AskProperty _ -> {
            }
        }
    }

    // ---- staying alive ----

    private final class Heart implements Pulse.Heart {
        @Override
        public void beat() {
            beatDue = true;
            pump();
        }

        @Override
        public void missed(int inARow) {
            beatLog.missed();
            if (inARow >= 2) {
                String why = "the device left " + inARow + " heartbeats in a row unanswered";
                if (!datagrams) {
                    transport.drop(why);
                    return;
                }
                if (state == LinkState.UP) {
                    setState(LinkState.STALE, why);
                }
            }
            pump();
        }
    }

    private boolean beatFree() {
        return connected && (!takesTurns || awaiting.isEmpty());
    }

    private void beat() {
        beatDue = false;
        if (!transport.writable()) {
            pulse.sent(); // it could only wait behind what is not read; but something must still come in
            return;
        }
        try {
            Template template = kind.heartbeat().orElseThrow().send();
            var fields = new HashMap<String, Value>();
            for (String field : fieldsByTemplate.computeIfAbsent(template, Fields::of)) {
                Property property = kind.properties().get(field);
                if (property != null && known.containsKey(field)) {
                    fields.put(field, property.type().toWire(known.get(field)));
                }
            }
            F message = encode(template, fields);
            beatSequence = sequence;
            transport.write(codec.format(message), _ -> {});
            beatLog.sent();
            if (beatLog.shown()) {
                host.packet(true, codec.show(message), 0);
            }
        } catch (IllegalArgumentException e) {
            dropped.add("the heartbeat cannot be sent: " + e.getMessage());
        }
        pulse.sent();
    }

    private void expectReachable() {
        if (state == LinkState.STALE && pulse == null && reachableAlarm == null) {
            reachableAlarm = timers.after(REACHABLE_AFTER.toNanos(), () -> {
                reachableAlarm = null;
                setState(LinkState.UP, "the device's port takes packets again");
            });
        }
    }

    private void setState(LinkState next, String why) {
        if (state != next && !closed) {
            state = next;
            undeliverableTold &= next != LinkState.UP;
            host.link(next, Printable.text(why));
        }
    }

    private static Timers.Alarm cancel(Timers.Alarm alarm) {
        if (alarm != null) {
            alarm.cancel();
        }
        return null;
    }

    private static String words(Duration time) {
        return time.toMillis() % 1000 == 0
                ? time.toSeconds() + " s"
                : time.toMillis() < 1000 ? time.toMillis() + " ms" : time.toMillis() / 1000.0 + " s";
    }
}
