package bellpush.runtime.core;

import bellpush.config.model.Button;
import bellpush.config.model.Command;
import bellpush.config.model.Condition;
import bellpush.config.model.Device;
import bellpush.config.model.Kind;
import bellpush.config.model.Knob;
import bellpush.config.model.LinkState;
import bellpush.config.model.Look;
import bellpush.config.model.Property;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Site;
import bellpush.config.model.Step;
import bellpush.config.model.Switch;
import bellpush.config.model.Value;
import bellpush.drivers.spi.Outcome;
import bellpush.drivers.spi.Request;
import java.time.Duration;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.function.Consumer;
import java.util.function.Predicate;

/**
 * The state machine: gestures, macros, beliefs and lamps of one site. Deterministic: the same inputs give the same
 * effects. All calls from one thread; time comes in with each input.
 */
public final class Core {
    /** A knob's property may be asked to move again before the device has told where it is: so long, our own value counts. */
    private static final long KNOB_REMEMBERS_NANOS = 1_000_000_000L;
    /** After a device's declared time, a little more before it is asked where it is, if it only speaks when asked. */
    private static final long ASK_AFTER_NANOS = 20_000_000L;
    /** The same for a device that reports changes by itself: many say nothing where nothing has changed. */
    private static final long ASK_SILENT_AFTER_NANOS = 300_000_000L;
    /** A question that no answer came to is put again, so often and after so long, while the link is there. */
    private static final int ASK_AGAIN_TIMES = 3;
    private static final long ASK_AGAIN_NANOS = 2_000_000_000L;
    /** Presses of the last requests are kept, since packets and late outcomes come after the request is over. */
    private static final int RECENT_REQUESTS = 512;
    /** A device that says by itself what has changed, or how it is when somebody connects, has done so by then. */
    private static final long TELLS_WITHIN_NANOS = 3_000_000_000L;
    private static final Value STANDSTILL = Value.of(0);
    /** A fader that has rested for so long begins a new gesture. */
    private static final long SLIDE_NANOS = 1_000_000_000L;

    /** @param quiet one of the many speeds between start and stop of an axis, which would drown the log */
    private record Sent(String press, boolean quiet) {
        static final Sent UNKNOWN = new Sent("", false);
    }

    /** @param from the place in a run that it comes from, or null */
    private record Pending(Outbox.Parcel parcel, Run.Sender from, Belief before) {}

    /** The last turn that moved a property, and what it was to become; empty where that was not known. */
    private record KnobTurn(String knob, String press, long at, Optional<Value> wanted) {}

    /** The last move of a fader. @param told whether its gesture has set a value already, which was recorded */
    private record Slide(String press, long at, boolean told) {}

    private final Site site;
    private final Turn turn = new Turn();
    private final Beliefs beliefs;
    private final RunGear runGear = new RunGear();
    private final Runs runs;
    private final Judge judge;
    private final Contacts contacts;
    private final LampBoard lamps;
    private final Map<String, Outbox> outboxes = new LinkedHashMap<>();
    private final Map<Long, Pending> pending = new HashMap<>();
    private final Map<Long, Sent> recent = new LinkedHashMap<>() {
        private static final long serialVersionUID = 1L;

        @Override
        protected boolean removeEldestEntry(Map.Entry<Long, Sent> eldest) {
            return size() > RECENT_REQUESTS;
        }
    };
    private final Axes axes;
    private final Glides glides;
    private final Map<String, FaderReading> faders = new LinkedHashMap<>();
    private final Map<String, Slide> slides = new HashMap<>();
    private boolean ending;
    private final Map<Long, Run.Sender> senderOfRequest = new HashMap<>();
    private final Map<String, String> pressOfButton = new HashMap<>();
    private final Map<PropertyRef, KnobTurn> knobTurns = new HashMap<>();
    /** How often in a row no answer came to a question. */
    private final Map<PropertyRef, Integer> unanswered = new HashMap<>();
    private final Map<String, String> linkWhy = new HashMap<>();
    /** What waits to be asked, or has been and is not answered, by request. */
    private final Map<Long, PropertyRef> questions = new LinkedHashMap<>();
    private final Map<String, Long> askTimers = new HashMap<>();
    /** The timer after which a property is asked for; one for each, however often it is set. */
    private final Map<PropertyRef, Long> askOnceTimers = new HashMap<>();
    private long lastPress;
    private final Elsewhere elsewhere;
    private long lastRequest;

    public Core(Site site) {
        this(site, Elsewhere.NOTHING);
    }

    /** @param elsewhere asked for what no input has told */
    public Core(Site site, Elsewhere elsewhere) {
        this.site = site;
        this.elsewhere = elsewhere;
        beliefs = new Beliefs(turn, site, elsewhere);
        runs = new Runs(turn, site, runGear);
        contacts = new Contacts(turn, site.panel(), new PanelGestures());
        judge = new Judge(site, beliefs::asked, beliefs::link,
                control -> contacts.on(control).or(() -> elsewhere.on(control)),
                macro -> runs.isRunning(macro) || elsewhere.running(macro),
                macro -> runs.hasFailed(macro) || elsewhere.failed(macro));
        runs.judgedBy(judge);
        axes = new Axes(turn, site, new AxisGear());
        glides = new Glides(turn, site, new GlideGear());
        site.panel().faders().values().forEach(
                fader -> faders.put(fader.name(), new FaderReading(fader, site.property(fader.moves()).type())));
        lamps = new LampBoard(turn, site.panel(), judge, beliefs::link, contacts::finger, runs);
        site.devices().values().forEach(device -> outboxes.put(device.name(),
                new Outbox(turn, device, site.limits().waitingSends(), this::departs, this::ended)));
    }

    /**
     * Takes one input and hands out its effects: what is to be sent and shown in its order, then what is to be recorded in its
     * own. {@code effects} must not call back into the core.
     */
    public void accept(Input input, Consumer<Effect> effects) {
        turn.begin(input.at(), effects);
        if (ending && !countsAtTheEnd(input)) {
            turn.end();
            return;
        }
        boolean factsMayHaveChanged = switch (input) {
            case Input.Packet packet -> {
                Sent sent = recent.getOrDefault(packet.request(), Sent.UNKNOWN);
                if (!sent.quiet) {
                    turn.recordFor(sent.press, "packet", "device", packet.device(), "way",
                            packet.sent() ? "out" : "in", "shown", packet.shown());
                }
                yield false;
            }
            case Input.Noted noted -> {
                turn.record("note", "device", noted.device(), "text", noted.text());
                yield false;
            }
            case Input.Started _ -> {
                turn.record("start", "site", site.name(), "devices", (long) site.devices().size(), "macros",
                        (long) site.macros().size());
                yield true;
            }
            case Input.Found(_, String contact, boolean closed) -> {
                if (!axes.contact(contact, closed, true)) {
                    contacts.found(contact, closed);
                }
                yield true;
            }
            case Input.Contact(long at, String contact, boolean closed) -> {
                if (!axes.contact(contact, closed, false)) {
                    contacts.edge(at, contact, closed);
                }
                yield true;
            }
            case Input.Turned(_, String knob, int detents) -> {
                contacts.turned(knob, detents);
                yield true;
            }
            case Input.Moved(_, String moved, double share) -> {
                if (!axes.moved(moved, share) && faders.containsKey(moved)) {
                    if (Double.isFinite(share)) {
                        slid(faders.get(moved), share);
                    } else {
                        faders.get(moved).lost();
                    }
                }
                yield true;
            }
            case Input.Lost(_, String lost, String why) -> {
                if (!axes.lost(lost, why) && faders.containsKey(lost)) {
                    faders.get(lost).lost();
                    turn.record("note", "control", lost, "text", "cannot be read any more: " + why);
                }
                yield true;
            }
            case Input.Ending(_, String why) -> {
                end(why);
                yield false;
            }
            case Input.LinkChanged(_, String device, LinkState state, String why) -> {
                linkChanged(device, state, why);
                yield true;
            }
            case Input.Reported(_, String device, var values, long request) -> {
                reported(device, values, request);
                yield true;
            }
            case Input.Finished(_, _, long request, Outcome outcome) -> {
                Pending what = pending.remove(request);
                if (what != null) {
                    turn.blame(what.parcel.press());
                    finished(what, outcome);
                }
                yield true;
            }
            case Input.Due(_, long timer) -> {
                Wake wake = turn.fired(timer);
                if (wake != null) {
                    woken(wake);
                }
                yield true;
            }
            case Input.Asked(_, String macro) -> {
                String press = newPress();
                turn.blame(press);
                turn.record("asked", "macro", macro);
                runs.start(macro, "operator");
                yield true;
            }
        };
        if (factsMayHaveChanged && !ending) {
            while (runs.lookAgain()) {
                // a run that moved may have ended, and another may wait for just that
            }
            lamps.update();
        }
        turn.end();
    }

    /** Once the show ends, only what brings standstills on their way, and tells what has become of them. */
    private static boolean countsAtTheEnd(Input input) {
        return switch (input) {
            case Input.LinkChanged _,Input.Reported _,Input.Finished _,Input.Packet _,Input.Noted _,Input.Due _ -> true;
            case Input.Started _,Input.Found _,Input.Contact _,Input.Turned _,Input.Moved _,Input.Lost _,Input.Ending _,Input.Asked _ ->
                false;
        };
    }

    private void end(String why) {
        turn.record("ending", "why", why);
        ending = true;
        runs.endAll("the show ends");
        outboxes.values().forEach(outbox -> outbox.fail("the show ends"));
        glides.end();
        Set<PropertyRef> standing = new HashSet<>();
        site.panel().joysticks().values().forEach(stick -> stick.axes().values().forEach(axis -> {
            if (beliefs.of(axis.drives()).value().filter(STANDSTILL::equals).isPresent()) {
                standing.add(axis.drives());
            }
        }));
        axes.end(standing);
    }

    /** Whether no standstill is on its way, so that the links may be closed after {@link Input.Ending}. */
    public boolean atRest() {
        return axes.atRest();
    }

    /** Speeds whose standstill has not been told to have arrived. */
    public List<String> notStopped() {
        return axes.notStopped();
    }

    public Belief belief(PropertyRef property) {
        return beliefs.of(property);
    }

    /** Whether a condition holds, as far as devices have reported. */
    public Verdict judge(Condition condition) {
        return judge.forCertain(condition);
    }

    /** In words: what keeps a condition from holding for certain; empty if it holds. */
    public Optional<String> missing(Condition condition) {
        return judge.missing(condition);
    }

    public LinkState link(String device) {
        return beliefs.link(device);
    }

    /** Whether a switch of the panel is on; empty as long as that is not known. */
    public Optional<Boolean> on(String control) {
        return contacts.on(control);
    }

    public Look look(String lamp) {
        return lamps.look(lamp);
    }

    /** Names of macros that are running, in the order in which they started. */
    public List<String> running() {
        return runs.running();
    }

    private String newPress() {
        return "p" + ++lastPress;
    }

    private void woken(Wake wake) {
        if (ending && !(wake instanceof Wake.OutboxDue || wake instanceof Wake.StopAgain
                || wake instanceof Wake.StopOnceMore)) {
            return;
        }
        glides.arrive(); // before the run goes on that waited for it
        switch (wake) {
            case Wake.GlideDue(long axis) -> glides.due(axis);
            case Wake.RockerQuiet(String axis) -> axes.settled(axis);
            case Wake.StopAgain(String axis) -> axes.stopAgain(axis);
            case Wake.StopOnceMore(String axis) -> axes.stopOnceMore(axis);
            case Wake.OfContact ofContact -> contacts.woken(ofContact);
            case Wake.StrandDue(long run, int strand) -> runs.due(run, strand);
            case Wake.MacroOver(long run) -> runs.limitReached(run);
            case Wake.PromiseOver(long run) -> runs.promiseOver(run);
            case Wake.OutboxDue(String device) -> outboxes.get(device).timerFired();
            case Wake.FailureShown(String family) -> runs.failureShown(family);
            case Wake.AskOnce(String device, String property, long sentAt) -> {
                askOnceTimers.remove(new PropertyRef(device, property));
                Belief belief = beliefs.of(new PropertyRef(device, property));
                if ((belief.basis() != Belief.Basis.REPORTED || belief.since() <= sentAt)
                        && !isUnsettled(device, property)) {
                    ask(device, property);
                }
            }
            case Wake.AskAgain(String device) -> {
                askTimers.remove(device);
                if (beliefs.link(device) != LinkState.DOWN) {
                    askAll(device);
                }
            }
        }
    }

    // --- the panel

    private final class PanelGestures implements Contacts.Gestures {
        @Override
        public void touched(Button button) {
            newPress(button);
            turn.record("press", "control", button.name());
        }

        @Override
        public void pressed(Button button) {
            blame(button);
            button.press().ifPresent(macro -> runs.start(macro, button.name()));
        }

        @Override
        public void pressedTwice(Button button) {
            newPress(button);
            turn.record("double", "control", button.name());
            button.twice().ifPresent(twice -> runs.start(twice.run(), button.name()));
        }

        @Override
        public void released(Button button) {
            blame(button);
            turn.record("release", "control", button.name());
            button.release().ifPresent(macro -> runs.start(macro, button.name()));
        }

        @Override
        public void givenUp(Button button) {
            released(button);
        }

        @Override
        public void heldLongEnough(Button button) {
            blame(button);
            turn.record("held", "control", button.name());
            button.hold().ifPresent(hold -> runs.start(hold.run(), button.name()));
        }

        private void newPress(Button button) {
            pressOfButton.put(button.name(), Core.this.newPress());
            blame(button);
        }

        private void blame(Button button) {
            turn.blame(pressOfButton.getOrDefault(button.name(), ""));
        }

        @Override
        public void switched(Switch control, boolean on) {
            turn.blame(Core.this.newPress());
            turn.record("switch", "control", control.name(), "to", SwitchReading.word(on));
            (on ? control.on() : control.off()).ifPresent(macro -> runs.start(macro, control.name()));
        }

        @Override
        public void turned(Knob knob, int detents, int steps, boolean pushed) {
            Knob.Turning moves = pushed
                    ? knob.push().orElseThrow().turns().orElseThrow()
                    : new Knob.Turning(knob.turns(), knob.step());
            Core.this.turned(knob, detents, moves.property(), moves.step() * steps, pushed);
        }
    }

    private void turned(Knob knob, int detents, PropertyRef property, double by, boolean pushed) {
        Optional<KnobTurn> recent = Optional.ofNullable(knobTurns.get(property))
                .filter(before -> turn.now() - before.at <= KNOB_REMEMBERS_NANOS);
        boolean goesOn = recent.filter(before -> before.knob.equals(knob.name())).isPresent();
        String press = goesOn ? recent.get().press : newPress();
        turn.blame(press);
        if (!goesOn && pushed) {
            turn.record("turn", "control", knob.name(), "detents", (long) detents, "pushed", true);
        } else if (!goesOn) {
            turn.record("turn", "control", knob.name(), "detents", (long) detents);
        }
        Optional<Value> base = recent.flatMap(KnobTurn::wanted).or(() -> beliefs.of(property).value());
        Optional<Value> wanted = Optional.empty();
        if (base.isPresent() && base.get() instanceof Value.Num(double from)) {
            wanted = Optional.of(Value.of(Operands.moved(site.property(property).type(), from, by)));
            if (!wanted.equals(base)) {
                setBy("", property, wanted);
                send(new Request.SetProperty(++lastRequest, property.property(), wanted.get()), property.device(), null,
                        true, "");
            }
        } else if (!goesOn) {
            turn.record("note", "control", knob.name(), "text",
                    property + " is not known, so it cannot be turned up or down");
        }
        knobTurns.put(property, new KnobTurn(knob.name(), press, turn.now(), wanted));
    }

    /**
     * A run or a control sets what a knob may be turning: the knob goes on from there. A fader has to meet the value, and a
     * stick to be let go, before they move it again.
     *
     * @param control the fader or axis that sets it, or empty text
     */
    private void setBy(String control, PropertyRef property, Optional<Value> value) {
        knobTurns.computeIfPresent(property, (_, last) -> new KnobTurn(last.knob, last.press, last.at, value));
        faders.forEach((name, fader) -> {
            if (!name.equals(control) && fader.fader().moves().equals(property)) {
                fader.setElsewhere(turn.now(), value);
            }
        });
        if (!axes.has(control)) {
            axes.setElsewhere(property, value.orElse(null) instanceof Value.Num(double speed) ? speed : Double.NaN);
        } else if (value.filter(STANDSTILL::equals).isPresent()) {
            glides.halting(property);
            return;
        }
        glides.setElsewhere(control, property);
    }

    private void slid(FaderReading reading, double share) {
        String name = reading.fader().name();
        PropertyRef property = reading.fader().moves();
        boolean found = reading.found();
        boolean followed = reading.follows();
        boolean down = beliefs.link(property.device()) == LinkState.DOWN;
        Optional<Value> present = down ? Optional.empty() : beliefs.atBest(property);
        boolean wait = mayBeTold(reading);
        OptionalDouble wanted = reading.moved(turn.now(), share, present, wait);
        boolean waits = !reading.follows();
        if (!found || waits && present.isEmpty() && !wait) {
            return;
        }
        Slide before = slides.get(name);
        boolean goesOn = before != null && turn.now() - before.at <= SLIDE_NANOS;
        String press = goesOn ? before.press : newPress();
        boolean told = goesOn && before.told;
        slides.put(name, new Slide(press, turn.now(), told || wanted.isPresent()));
        turn.blame(press);
        if (!goesOn && waits) {
            turn.record("note", "control", name, "text", present.isPresent()
                    ? "has to meet " + shown(property, present.get()) + ", which is what " + property
                            + " is, before it moves it"
                    : down
                            ? "moves nothing: the link to " + property.device() + " is down"
                            : "moves nothing yet: it is not known what " + property + " is");
            if (present.isEmpty() && site.property(property).ask().isPresent()) {
                ask(property.device(), property.property());
            }
        }
        if (!followed && !waits && present.isEmpty()) {
            turn.record("note", "control", name, "text",
                    "sets " + property + " to where it stands, since nobody can tell what it is");
        }
        if (wanted.isPresent()) {
            Value value = Value.of(wanted.getAsDouble());
            if (!told) {
                turn.record("slide", "control", name, "to", plain(value));
            }
            setBy(name, property, Optional.of(value));
            send(new Request.SetProperty(++lastRequest, property.property(), value), property.device(), null, true,
                    name);
        }
    }

    /** As its property counts it: what comes off the wire as -7.9999988 dB is -8 dB. */
    private Value shown(PropertyRef property, Value value) {
        return value instanceof Value.Num(double number)
                ? Value.of(Rounded.of(site.property(property).type(), number))
                : value;
    }

    /** Whether it is worth waiting for the value of a fader's property, if it is not known. */
    private boolean mayBeTold(FaderReading fader) {
        PropertyRef property = fader.fader().moves();
        if (beliefs.link(property.device()) != LinkState.UP) {
            return true;
        }
        if (!site.property(property).reported()) {
            return false;
        }
        Kind kind = site.devices().get(property.device()).kind();
        Predicate<PropertyRef> telling = asked -> asked.device().equals(property.device())
                && Questions.oneServes(kind, asked.property(), property.property());
        return turn.now() - fader.unsureSince() < TELLS_WITHIN_NANOS || questions.values().stream().anyMatch(telling)
                || unanswered.entrySet().stream()
                        .anyMatch(again -> again.getValue() <= ASK_AGAIN_TIMES && telling.test(again.getKey()));
    }

    /** What all that drives gear sees of it. */
    private abstract class Seen {
        public final LinkState link(String device) {
            return beliefs.link(device);
        }

        public final Belief belief(PropertyRef property) {
            return beliefs.asked(property);
        }
    }

    private final class AxisGear extends Seen implements Axes.Gear {
        @Override
        public void send(PropertyRef property, Value speed, boolean stop, String control) {
            setBy(control, property, Optional.of(speed));
            Core.this.send(new Request.SetProperty(++lastRequest, property.property(), speed, stop), property.device(),
                    null, true, control);
            if (stop) {
                glides.halted(property);
            }
        }

        @Override
        public String newPress() {
            return Core.this.newPress();
        }
    }

    // --- the gear

    private final class RunGear extends Seen implements Runs.Gear {
        @Override
        public void set(Run.Sender from, PropertyRef property, Value value) {
            setBy("", property, Optional.of(value));
            axes.setBy(from.run().id, property);
            send(new Request.SetProperty(++lastRequest, property.property(), value), property.device(), from, false,
                    "");
        }

        @Override
        public void command(Run.Sender from, String device, String name, Map<String, Value> arguments) {
            act(from, device, name, arguments);
        }

        @Override
        public Glides.Start glide(Run.Sender from, long due, Step.Glide step, Map<PropertyRef, Value> targets) {
            return glides.start(from, due, step, targets);
        }

        @Override
        public void stopGlides(Strand strand) {
            glides.stop(strand);
        }

        @Override
        public boolean leaving(PropertyRef property) {
            return outboxes.get(property.device()).holds(property.property());
        }

        @Override
        public void halt(Run run) {
            axes.runBroken(run.id, run.macro.name(), run.failure != null ? "failed" : "was stopped");
        }

        @Override
        public void drop(Run run) {
            glides.forget(run.id);
            outboxes.values().forEach(outbox -> outbox.drop(run.id).forEach(Core.this::dropped));
        }

        @Override
        public void haltAll() {
            glides.forgetAll().forEach((property, run) -> outboxes.get(property.device())
                    .drop(run, property.property()).forEach(Core.this::dropped));
            axes.haltAll();
        }
    }

    private final class GlideGear extends Seen implements Glides.Gear {
        @Override
        public void send(Run.Sender from, PropertyRef property, Value value, Duration over, String control) {
            setBy(control, property, Optional.of(value));
            axes.setBy(from.run().id, property);
            Core.this.send(new Request.SetProperty(++lastRequest, property.property(), value, false, over),
                    property.device(), from, Glides.streams(control), control);
        }

        @Override
        public void again(long run, PropertyRef property, Value value) {
            hand(new Outbox.Parcel(property.device(),
                    new Request.SetProperty(++lastRequest, property.property(), value), turn.press(), run, false, ""));
        }

        @Override
        public Duration step() {
            return elsewhere.glideStep();
        }

        @Override
        public void halt(PropertyRef speed) {
            axes.halt(speed);
        }

        @Override
        public void stop(String device, String command) {
            if (beliefs.link(device) != LinkState.DOWN) {
                act(null, device, command, Map.of());
            }
        }

        @Override
        public void ask(PropertyRef property) {
            if (site.property(property).ask().isPresent()) {
                askIn(ASK_SILENT_AFTER_NANOS, property.device(), property.property());
            }
        }

        @Override
        public void failed(Run.Sender from, String why) {
            runs.sendFailed(from, why);
        }
    }

    /** @param from the place in a run that it comes from, or null */
    private void act(Run.Sender from, String device, String name, Map<String, Value> arguments) {
        Device of = site.devices().get(device);
        of.kind().commands().get(name).effect().forEach((property, effect) -> {
            setBy("", new PropertyRef(device, property),
                    effect instanceof Command.Effect.Becomes(Value value) ? Optional.of(value) : Optional.empty());
            if (from != null) {
                axes.setBy(from.run().id, new PropertyRef(device, property));
            }
        });
        send(new Request.DoCommand(++lastRequest, name, arguments, beliefs.present(of)), device, from, false, "");
    }

    /** The run that it comes from was stopped before it could leave. */
    private void dropped(Outbox.Parcel parcel) {
        senderOfRequest.remove(parcel.request().id());
        turn.recordFor(parcel.press(), "unsent", "request", parcel.request().id(), "why", "did not "
                + words(parcel.request()) + " on " + parcel.device() + ", since its macro was stopped");
        touched(parcel).forEach(property -> axes.inDoubt(new PropertyRef(parcel.device(), property)));
    }

    private void send(Request request, String device, Run.Sender from, boolean fromKnob, String control) {
        if (from != null && !tooLate(request)) {
            senderOfRequest.put(request.id(), from);
        }
        hand(new Outbox.Parcel(device, request, turn.press(), from == null ? 0 : from.run().id, fromKnob, control));
    }

    private void hand(Outbox.Parcel parcel) {
        if (!tooLate(parcel.request())) {
            outboxes.get(parcel.device()).send(parcel, beliefs.link(parcel.device()));
        }
    }

    /** Once the show ends, nothing leaves but what stops something. */
    private boolean tooLate(Request request) {
        return ending && !(request instanceof Request.SetProperty set && set.urgent());
    }

    /**
     * Asks later, unless the device has told it by then. What was to be asked sooner or later than that is not: it would be an answer to
     * what has changed since.
     */
    private void askIn(long nanos, String device, String property) {
        Long timer = askOnceTimers.put(new PropertyRef(device, property),
                turn.start(turn.now() + nanos, new Wake.AskOnce(device, property, turn.now())));
        if (timer != null) {
            turn.stop(timer);
        }
    }

    /** The same, but what is to be asked already is left to its time. */
    private void askAtLeastIn(long nanos, String device, String property) {
        if (!askOnceTimers.containsKey(new PropertyRef(device, property))) {
            askIn(nanos, device, property);
        }
    }

    private void ask(String device, String property) {
        Kind kind = site.devices().get(device).kind();
        if (ending) {
            return;
        }
        boolean asked = questions.values().stream()
                .anyMatch(q -> q.device().equals(device) && Questions.oneServes(kind, q.property(), property));
        if (!asked && beliefs.link(device) != LinkState.DOWN) {
            Request.AskProperty ask = new Request.AskProperty(++lastRequest, property);
            questions.put(ask.id(), new PropertyRef(device, property));
            send(ask, device, null, false, "");
        }
    }

    private void askAll(String device) {
        Kind kind = site.devices().get(device).kind();
        kind.asks().forEach(property -> ask(device, property));
        if (kind.askEvery().isPositive() && !askTimers.containsKey(device)) {
            askTimers.put(device, turn.start(turn.now() + kind.askEvery().toNanos(), new Wake.AskAgain(device)));
        }
    }

    /** A message leaves now. */
    private void departs(Outbox.Parcel parcel) {
        String press = turn.press();
        turn.blame(parcel.press());
        Run.Sender from = senderOfRequest.remove(parcel.request().id());
        Belief before = Belief.NOTHING;
        String device = parcel.device();
        turn.emit(new Effect.Send(device, parcel.request()));
        long id = parcel.request().id();
        switch (parcel.request()) {
            case Request.SetProperty(_, String property, Value value, _, Duration over) -> {
                PropertyRef ref = new PropertyRef(device, property);
                before = beliefs.of(ref);
                beliefs.sent(ref, value, id);
                glides.departed(parcel.control(), value);
                if (over.isPositive()) {
                    turn.record("send", "request", id, "set", ref.toString(), "value", plain(value), "overMs",
                            over.toMillis());
                } else if (!quiet(parcel)) {
                    turn.record("send", "request", id, "set", ref.toString(), "value", plain(value));
                }
            }
            case Request.DoCommand(_, String command, var arguments, _) -> {
                beliefs.sent(device, site.devices().get(device).kind().commands().get(command), arguments, id);
                turn.record("send", "request", id, "do", device + "." + command, "with", plain(arguments));
            }
            case Request.AskProperty(_, String property) -> turn.record("send", "request", id, "ask",
                    device + "." + property);
        }
        pending.put(id, new Pending(parcel, from, before));
        recent.put(id, new Sent(parcel.press(), quiet(parcel)));
        turn.blame(press);
    }

    private boolean quiet(Outbox.Parcel parcel) {
        return Glides.streams(parcel.control())
                || axes.has(parcel.control()) && parcel.request() instanceof Request.SetProperty set && !set.urgent();
    }

    /** A message will never leave. */
    private void ended(Outbox.Parcel parcel, Outcome outcome) {
        String press = turn.press();
        turn.blame(parcel.press());
        finished(new Pending(parcel, senderOfRequest.remove(parcel.request().id()), Belief.NOTHING), outcome);
        turn.blame(press);
    }

    private void finished(Pending what, Outcome outcome) {
        settle(what, outcome);
        tellControl(what.parcel, outcome);
    }

    private void settle(Pending what, Outcome outcome) {
        Outbox.Parcel parcel = what.parcel;
        long id = parcel.request().id();
        questions.remove(id);
        switch (outcome) {
            case Outcome.Sent() -> {
                if (!quiet(parcel)) {
                    turn.record("sent", "request", id);
                }
                askAfter(parcel);
            }
            case Outcome.Done() -> {
                if (!quiet(parcel)) {
                    turn.record("answered", "request", id);
                }
                askAfter(parcel);
            }
            case Outcome.Replaced() -> {
                if (!quiet(parcel)) {
                    turn.record("replaced", "request", id);
                }
            }
            case Outcome.Refused(String why) -> {
                String words = parcel.device() + " refused to " + words(parcel.request()) + ": " + why;
                turn.record("refusal", "request", id, "why", words);
                if (parcel.request() instanceof Request.SetProperty set) {
                    beliefs.takeBack(new PropertyRef(parcel.device(), set.property()), id, what.before);
                }
                afterTrouble(parcel);
                failRun(what, words);
            }
            case Outcome.Failed(String why) -> {
                String words = "could not " + words(parcel.request()) + " on " + parcel.device() + ": " + why;
                turn.record("unsent", "request", id, "why", words);
                if (parcel.request() instanceof Request.AskProperty(_, String property)) {
                    askOnceMore(new PropertyRef(parcel.device(), property));
                }
                afterTrouble(parcel);
                failRun(what, words);
            }
        }
    }

    /** The control that sent it hears what has become of it. */
    private void tellControl(Outbox.Parcel parcel, Outcome outcome) {
        boolean trouble = outcome instanceof Outcome.Refused || outcome instanceof Outcome.Failed;
        if (axes.has(parcel.control()) && parcel.request() instanceof Request.SetProperty set) {
            axes.finished(parcel.control(), set.value(), outcome);
        } else if (trouble) {
            touched(parcel).forEach(property -> {
                glides.inDoubt(new PropertyRef(parcel.device(), property));
                if (!Glides.streams(parcel.control()) || beliefs.link(parcel.device()) != LinkState.DOWN) {
                    axes.inDoubt(new PropertyRef(parcel.device(), property)); // else it moves as it did before
                }
            });
            if (parcel.request() instanceof Request.SetProperty set
                    && faders.get(parcel.control()) instanceof FaderReading fader) {
                fader.notTaken(set.value());
            }
        } else if (outcome instanceof Outcome.Sent || outcome instanceof Outcome.Done) {
            touched(parcel).forEach(property -> {
                if (stands(parcel, property)) {
                    axes.leftElsewhere(new PropertyRef(parcel.device(), property));
                }
            });
        }
    }

    private void askOnceMore(PropertyRef property) {
        int asked = unanswered.merge(property, 1, Integer::sum);
        if (asked <= ASK_AGAIN_TIMES && beliefs.link(property.device()) != LinkState.DOWN) {
            askAtLeastIn(ASK_AGAIN_NANOS, property.device(), property.property());
        }
    }

    private void failRun(Pending what, String why) {
        if (what.from != null && !ending && !glides.failed(what.parcel.control(), why)) {
            runs.sendFailed(what.from, why);
        }
    }

    /** What the message would have changed is in doubt; ask the device, if it can be asked. */
    private void afterTrouble(Outbox.Parcel parcel) {
        for (String property : touched(parcel)) {
            beliefs.doubt(new PropertyRef(parcel.device(), property));
            if (site.devices().get(parcel.device()).kind().properties().get(property).ask().isPresent()) {
                ask(parcel.device(), property);
            }
        }
        if (parcel.request() instanceof Request.SetProperty set) {
            Map<String, Property> properties = site.devices().get(parcel.device()).kind().properties();
            for (String unsettled : properties.get(set.property()).unsettles()) {
                askSoon(parcel.device(), properties.get(unsettled));
            }
        }
    }

    /** Asks, if it can be asked and has not told by itself by then. */
    private void askSoon(String device, Property property) {
        if (property.ask().isPresent()) {
            askAtLeastIn(patienceNanos(property), device, property.name());
        }
    }

    private static long patienceNanos(Property property) {
        boolean speaks = property.answer().isEmpty() || property.report().isPresent();
        return speaks ? ASK_SILENT_AFTER_NANOS : ASK_AFTER_NANOS;
    }

    /** A device that does not tell what has become of what it was sent is asked. */
    private void askAfter(Outbox.Parcel parcel) {
        if (Glides.streams(parcel.control())) {
            return; // more of them follow
        }
        Kind kind = site.devices().get(parcel.device()).kind();
        for (String name : settled(kind, parcel)) {
            Property property = kind.properties().get(name);
            if (property.ask().isPresent()) {
                unanswered.remove(new PropertyRef(parcel.device(), name)); // what was asked before was about what it is no longer
                askIn(takesNanos(kind, property, parcel.request()) + patienceNanos(property), parcel.device(), name);
            }
        }
    }

    private static long takesNanos(Kind kind, Property property, Request request) {
        return switch (request) {
            case Request.DoCommand act -> kind.commands().get(act.command()).takes().toNanos();
            case Request.SetProperty set when set.over().isPositive() -> set.over().toNanos();
            case Request.SetProperty _,Request.AskProperty _ -> property.takes().toNanos();
        };
    }

    /** What comes to a new value by then: what was touched, and of a standstill also what the motion had unsettled. */
    private Set<String> settled(Kind kind, Outbox.Parcel parcel) {
        Set<String> settled = new LinkedHashSet<>();
        for (String name : touched(parcel)) {
            settled.add(name);
            if (stands(parcel, name)) {
                settled.addAll(kind.properties().get(name).unsettles());
            }
        }
        return settled;
    }

    /** Whether it brings a property that it changes to 0. */
    private boolean stands(Outbox.Parcel parcel, String property) {
        return switch (parcel.request()) {
            case Request.SetProperty set -> set.value().equals(STANDSTILL);
            case Request.DoCommand act -> site.devices().get(parcel.device()).kind().commands().get(act.command())
                    .effect().get(property) instanceof Command.Effect.Becomes(Value value) && value.equals(STANDSTILL);
            case Request.AskProperty _ -> false;
        };
    }

    /** Whether something is believed to be under way that unsettles it; once that stands, it is asked for again. */
    private boolean isUnsettled(String device, String property) {
        return site.devices().get(device).kind().properties().values().stream()
                .anyMatch(other -> other.unsettles().contains(property)
                        && beliefs.of(new PropertyRef(device, other.name())).value()
                                .filter(value -> value instanceof Value.Num && !value.equals(STANDSTILL)).isPresent());
    }

    private Iterable<String> touched(Outbox.Parcel parcel) {
        return switch (parcel.request()) {
            case Request.SetProperty set -> List.of(set.property());
            case Request.DoCommand(_, String name, _, _) -> {
                Command command = site.devices().get(parcel.device()).kind().commands().get(name);
                yield command.effect().keySet();
            }
            case Request.AskProperty _ -> List.of();
        };
    }

    private void linkChanged(String device, LinkState state, String why) {
        LinkState before = beliefs.link(device);
        if (before == state && why.equals(linkWhy.get(device))) {
            return;
        }
        linkWhy.put(device, why);
        turn.record("link", "device", device, "state", state.word(), "why", why);
        if (before == state) {
            return; // a link that keeps failing in the same way says so once
        }
        beliefs.link(device, state);
        glides.link(device, state);
        if (state != LinkState.STALE) {
            faders.values().stream().filter(fader -> fader.fader().moves().device().equals(device))
                    .forEach(fader -> fader.setElsewhere(turn.now(), Optional.empty()));
        }
        switch (state) {
            case UP -> {
                unanswered.keySet().removeIf(ref -> ref.device().equals(device));
                if (!elsewhere.settled()) {
                    axes.link(device, state);
                    askAll(device);
                }
            }
            case DOWN -> {
                Long timer = askTimers.remove(device);
                if (timer != null) {
                    turn.stop(timer);
                }
                outboxes.get(device).fail("the link to " + device + " went down");
                // Questions that were on their way are asked again after the next connect.
                pending.values().removeIf(p -> p.parcel.device().equals(device)
                        && p.parcel.request() instanceof Request.AskProperty);
                questions.values().removeIf(asked -> asked.device().equals(device));
                axes.link(device, state);
            }
            case STALE -> {
                axes.link(device, state);
            }
        }
    }

    private void reported(String device, Map<String, Value> values, long request) {
        String press = recent.getOrDefault(request, Sent.UNKNOWN).press;
        turn.blame(press.isEmpty() ? beliefs.cause(device, values) : press);
        Map<String, Object> told = new LinkedHashMap<>();
        Map<String, Object> was = new LinkedHashMap<>();
        values.forEach((name, value) -> {
            told.put(name, plain(value));
            Belief belief = beliefs.of(new PropertyRef(device, name));
            PropertyType type = site.devices().get(device).kind().properties().get(name).type();
            if (belief.value().filter(held -> type.same(held, value)).isEmpty()) {
                was.put(name, belief.value().map(Core::plain).orElse("unknown"));
            }
        });
        values.keySet().forEach(name -> unanswered.remove(new PropertyRef(device, name)));
        Map<PropertyRef, Value> changed = new LinkedHashMap<>();
        Set<PropertyRef> takenFromGlides = new LinkedHashSet<>();
        values.forEach((name, value) -> {
            PropertyRef property = new PropertyRef(device, name);
            boolean taken = glides.takenAtDevice(property, value);
            if (taken || !axes.moves(property) && !glides.moves(property)
                    && beliefs.changedElsewhere(property, value)) {
                beliefs.of(property).value().ifPresent(from -> changed.put(property, from));
            }
            if (taken) {
                takenFromGlides.add(property);
            }
        });
        List<String> outdated = beliefs.reported(device, values, request);
        changed.forEach((property, from) -> {
            if (!outdated.contains(property.property())) {
                turn.recordFor("", "elsewhere", "property", property.toString(), "from", plain(from), "to",
                        plain(values.get(property.property())));
            }
        });
        takenFromGlides.stream().filter(property -> !outdated.contains(property.property())).forEach(glides::giveUp);
        for (String name : outdated) { // it was asked too early, and while that was open nobody asked again
            askSoon(device, site.devices().get(device).kind().properties().get(name));
        }
        values.forEach((name, value) -> {
            if (!outdated.contains(name)) {
                faders.values().stream().filter(f -> f.fader().moves().equals(new PropertyRef(device, name)))
                        .forEach(f -> f.reported(turn.now(), value));
            }
        });
        if (!values.isEmpty() && values.entrySet().stream()
                .allMatch(one -> glides.moves(new PropertyRef(device, one.getKey()))
                        || !one.getValue().equals(STANDSTILL)
                                && axes.moves(new PropertyRef(device, one.getKey())))) {
            return; // one of many, between start and stop
        }
        if (!outdated.isEmpty()) {
            turn.record("report", "device", device, "values", told, "outdated", outdated);
        } else if (was.isEmpty()) {
            turn.record("report", "device", device, "values", told);
        } else {
            turn.record("report", "device", device, "values", told, "was", was);
        }
    }

    private static String words(Request request) {
        return switch (request) {
            case Request.SetProperty set -> "set " + set.property() + " to " + set.value();
            case Request.DoCommand(_, String command, _, _) -> "do " + command;
            case Request.AskProperty(_, String property) -> "tell " + property;
        };
    }

    private static Object plain(Value value) {
        return switch (value) {
            case Value.Flag(boolean on) -> on;
            case Value.Num(double n) when n == Math.rint(n) && Math.abs(n) < 1e15 -> (long) n;
            case Value.Num(double n) -> n;
            case Value.Text(String text) -> text;
        };
    }

    private static Map<String, Object> plain(Map<String, Value> values) {
        Map<String, Object> plain = LinkedHashMap.newLinkedHashMap(values.size());
        values.forEach((name, value) -> plain.put(name, plain(value)));
        return plain;
    }
}
