package bellpush.tests.simulation;

import bellpush.config.model.Command;
import bellpush.config.model.Device;
import bellpush.config.model.Kind;
import bellpush.config.model.LinkState;
import bellpush.config.model.Property;
import bellpush.config.model.Value;
import bellpush.drivers.spi.Outcome;
import bellpush.drivers.spi.Request;
import bellpush.runtime.core.Input;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Deque;
import java.util.HashMap;
import java.util.HashSet;
import java.util.Iterator;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.SplittableRandom;

/**
 * One device with its link, played from its kind in virtual time. It keeps what {@code bellpush.drivers.spi} promises the core, in
 * meaning and not in bytes: every request has exactly one outcome, one request at a time where the kind takes turns, urgent ones
 * past all that waits, retries of datagrams, and open requests that fail once the link is down. Between the two is the weather. The
 * device obeys, refuses, is deaf, is switched off and on, and is changed by hand. Codecs and sockets are not in it.
 */
final class Gear {
    /** What a device and its link need of the evening. */
    interface World {
        long now();

        SplittableRandom random();

        void at(long dueAt, Agenda.Task task);

        void put(Input input);
    }

    private static final long MS = 1_000_000;

    private static final class Exchange {
        final Request request;
        int triesLeft;
        boolean open = true;

        Exchange(Request request, int triesLeft) {
            this.request = request;
            this.triesLeft = triesLeft;
        }
    }

    /** Properties on their way together. */
    private static final class Change {
        final Map<String, Value> targets;

        Change(Map<String, Value> targets) {
            this.targets = targets;
        }
    }

    final Device device;
    private final Kind kind;
    private final Told told;
    private final World world;
    private final Weather weather;
    private final int waitingMax;
    private final boolean datagrams;
    private final boolean acknowledges;
    private final boolean takesTurns;

    // The link.
    private LinkState link = LinkState.DOWN;
    private int connection;
    private final Deque<Exchange> waiting = new ArrayDeque<>();
    private final Set<Exchange> open = new LinkedHashSet<>();
    private Exchange talking;
    private long upFreeAt;
    private long downFreeAt;
    private final Map<String, Integer> lostInARow = new HashMap<>();
    private int linkTask;

    // The device.
    private final Map<String, Value> truth = new LinkedHashMap<>();
    private final Map<String, Change> moving = new HashMap<>();
    private boolean on = true;
    private boolean refusing;
    private boolean deaf;
    private int faultTask;

    /** When something last went wrong that may have cost a message. */
    private long troubleAt = Long.MIN_VALUE;
    private long upSince = Long.MAX_VALUE;
    /** Properties of which the last message was thrown away by the device itself, which nobody can notice. */
    private final Set<String> ignored = new HashSet<>();
    /** Properties that have changed without a word, since the device could not speak. */
    private final Set<String> untold = new HashSet<>();
    private final Map<String, Long> disturbedAt = new HashMap<>();
    private final Set<String> unheard = new HashSet<>();

    Gear(Device device, Told told, World world, Weather weather, int waitingMax) {
        this.device = device;
        this.kind = device.kind();
        this.told = told;
        this.world = world;
        this.weather = weather;
        this.waitingMax = waitingMax;
        datagrams = !kind.driver().equals("tcp") && !kind.stream();
        acknowledges = !kind.answers().ok().isEmpty();
        takesTurns = acknowledges
                || kind.properties().values().stream().anyMatch(p -> p.ask().isPresent() && p.answer().isPresent());
        asNew();
    }

    // ---- what the evening and the invariants may know

    LinkState link() {
        return link;
    }

    /** What the device itself is set to. */
    Value truth(String property) {
        return truth.get(property);
    }

    boolean isMoving(String property) {
        return moving.containsKey(property);
    }

    /** Whether it has changed since the device last told it, in silence. */
    boolean untold(String property) {
        return untold.contains(property);
    }

    /** Whether the device threw away the last message for this property, unnoticed by its link. */
    boolean ignored(String property) {
        return ignored.contains(property);
    }

    /** When the link last came up, or {@link Long#MAX_VALUE} if it is not. */
    long upSince() {
        return upSince;
    }

    /** Whether it was asked for last when the device could not hear it, and there is an end to how often a question is put again. */
    boolean unheard(String property) {
        return unheard.contains(property);
    }

    /** When somebody last changed it at the device, or the device was switched on again. */
    long disturbedAt(String property) {
        return disturbedAt.getOrDefault(property, Long.MIN_VALUE);
    }

    /** When a message was last refused or lost for good, or the device last began or ceased to be in trouble. */
    long troubleAt() {
        return troubleAt;
    }

    /** Whether a message for it is open, or waits its turn in the link. */
    boolean underWay(String property) {
        return open.stream().anyMatch(each -> touched(each.request).contains(property))
                || waiting.stream().anyMatch(each -> touched(each.request).contains(property));
    }

    // ---- the link, from the core's side

    void send(Request request) {
        Exchange exchange = new Exchange(request, datagrams ? kind.answers().again() : 0);
        if (link == LinkState.DOWN) {
            soon(() -> finished(request, new Outcome.Failed("the link is down")));
        } else if (urgent(request)) {
            makeWay(exchange);
            write(exchange, false);
        } else if (takesTurns && (talking != null || !waiting.isEmpty())) {
            await(exchange);
        } else {
            write(exchange, takesTurns);
        }
    }

    private boolean urgent(Request request) {
        return switch (request) {
            case Request.SetProperty set -> set.urgent();
            case Request.DoCommand act -> kind.commands().get(act.command()).urgent();
            case Request.AskProperty _ -> false;
        };
    }

    private Collection<String> touched(Request request) {
        return switch (request) {
            case Request.SetProperty set -> List.of(set.property());
            case Request.DoCommand act -> kind.commands().get(act.command()).effect().keySet();
            case Request.AskProperty _ -> List.of();
        };
    }

    /** What waits and would undo it never leaves, and what has left is not repeated after it. */
    private void makeWay(Exchange urgent) {
        Collection<String> stopped = touched(urgent.request);
        for (Iterator<Exchange> each = waiting.iterator(); each.hasNext();) {
            Exchange other = each.next();
            if (touched(other.request).stream().anyMatch(stopped::contains)) {
                each.remove();
                boolean older = other.request instanceof Request.SetProperty
                        && urgent.request instanceof Request.SetProperty;
                soon(() -> finished(other.request, older
                        ? new Outcome.Replaced()
                        : new Outcome.Failed("something urgent went ahead of it")));
            }
        }
        for (Exchange other : open) {
            if (touched(other.request).stream().anyMatch(stopped::contains)) {
                other.triesLeft = 0;
            }
        }
    }

    private void await(Exchange exchange) {
        if (exchange.request instanceof Request.SetProperty set && waiting.peekLast() instanceof Exchange last
                && last.request instanceof Request.SetProperty older && older.property().equals(set.property())) {
            waiting.removeLast();
            soon(() -> finished(older, new Outcome.Replaced()));
        }
        if (waiting.size() >= waitingMax) {
            soon(() -> finished(exchange.request, new Outcome.Failed("too many messages are waiting already")));
        } else {
            waiting.add(exchange);
        }
    }

    private void write(Exchange exchange, boolean asTurn) {
        open.add(exchange);
        boolean asks = exchange.request instanceof Request.AskProperty;
        if (asTurn && (acknowledges || asks)) {
            talking = exchange;
        }
        transmit(exchange);
        if (acknowledges || asks) {
            expectAnswer(exchange);
        } else {
            at(world.random().nextLong(0, MS), () -> {
                if (exchange.open) {
                    conclude(exchange, new Outcome.Sent());
                }
            });
        }
    }

    private void expectAnswer(Exchange exchange) {
        at(kind.answers().within().toNanos(), () -> {
            if (!exchange.open) {
                return;
            }
            if (exchange.triesLeft > 0) {
                exchange.triesLeft--;
                transmit(exchange);
                expectAnswer(exchange);
            } else {
                conclude(exchange, new Outcome.Failed("no answer came"));
            }
        });
    }

    private void conclude(Exchange exchange, Outcome outcome) {
        exchange.open = false;
        open.remove(exchange);
        if (talking == exchange) {
            talking = null;
        }
        finished(exchange.request, outcome);
        while (link != LinkState.DOWN && talking == null && !waiting.isEmpty()) {
            write(waiting.removeFirst(), true);
        }
    }

    private void finished(Request request, Outcome outcome) {
        if (outcome instanceof Outcome.Failed || outcome instanceof Outcome.Refused) {
            trouble();
        }
        world.put(new Input.Finished(world.now(), device.name(), request.id(), outcome));
    }

    private void trouble() {
        troubleAt = world.now();
    }

    // ---- on the way

    private void transmit(Exchange exchange) {
        maybeTell(true, exchange.request.id());
        Collection<String> what = switch (exchange.request) {
            case Request.AskProperty ask -> List.of("?" + ask.property());
            case Request.DoCommand act when touched(act).isEmpty() -> List.of(act.command());
            case Request.SetProperty _,Request.DoCommand _ -> touched(exchange.request);
        };
        if (!lost(what)) {
            upFreeAt = carry(upFreeAt, () -> arrived(exchange));
            if (doubled()) {
                upFreeAt = carry(upFreeAt, () -> arrived(exchange));
            }
        }
    }

    private void answer(String what, Runnable delivered) {
        if (!lost(List.of(what))) {
            downFreeAt = carry(downFreeAt, delivered);
            if (doubled()) {
                downFreeAt = carry(downFreeAt, delivered);
            }
        }
    }

    private boolean doubled() {
        return datagrams && weather.doubledShare() > 0 && world.random().nextDouble() < weather.doubledShare();
    }

    /** Never more in a row than the weather says, counted for each property: a command that stops it is one of the row. */
    private boolean lost(Collection<String> what) {
        if (!datagrams || weather.lostShare() == 0) {
            return false;
        }
        if (world.random().nextDouble() < weather.lostShare() && what.stream()
                .allMatch(each -> lostInARow.getOrDefault(each, 0) < weather.lostInARowMax())) {
            what.forEach(each -> lostInARow.merge(each, 1, Integer::sum));
            return true;
        }
        what.forEach(lostInARow::remove);
        return false;
    }

    /** Brings it to the other end, unless the connection has gone by then. Returns when the way is free for the next. */
    private long carry(long freeAt, Runnable delivered) {
        long due = world.now() + world.random().nextLong(100_000, weather.lateMaxNanos());
        if (!datagrams || !weather.overtaking()) {
            due = Math.max(due, freeAt);
        }
        int sentOn = connection;
        world.at(due, _ -> {
            if (datagrams || sentOn == connection) {
                delivered.run();
            }
        });
        return due;
    }

    private void maybeTell(boolean sent, long request) {
        if (weather.packetShare() > 0 && world.random().nextDouble() < weather.packetShare()) {
            soon(() -> world.put(new Input.Packet(world.now(), device.name(), sent, "a message", request)));
        }
    }

    // ---- the link, from the device's side

    /** The device has told something by itself. An ask that ends with a report ends with the first that has its property. */
    private void told(Map<String, Value> values) {
        if (link == LinkState.DOWN) {
            return;
        }
        if (link == LinkState.STALE) {
            comesUp("the device speaks again");
        }
        Exchange ask = null;
        for (Exchange each : open) {
            if (each.request instanceof Request.AskProperty question && values.containsKey(question.property())
                    && kind.properties().get(question.property()).answer().isEmpty()) {
                ask = each;
                break;
            }
        }
        maybeTell(false, ask == null ? 0 : ask.request.id());
        reported(values, ask);
    }

    private void reported(Map<String, Value> values, Exchange ask) {
        world.put(new Input.Reported(world.now(), device.name(), values, ask == null ? 0 : ask.request.id()));
        if (ask != null && ask.open) {
            conclude(ask, new Outcome.Done());
        }
    }

    void comesUp(String why) {
        if (link != LinkState.UP) {
            link = LinkState.UP;
            upSince = world.now();
            world.put(new Input.LinkChanged(world.now(), device.name(), LinkState.UP, why));
        }
    }

    /** The connection is lost; it comes back after so long, if the device is on by then. */
    void drops(String why, long backAfterNanos) {
        linkTask++;
        if (link != LinkState.DOWN) {
            connection++;
            link = LinkState.DOWN;
            upSince = Long.MAX_VALUE;
            trouble();
            talking = null;
            world.put(new Input.LinkChanged(world.now(), device.name(), LinkState.DOWN, why));
            List<Exchange> all = new ArrayList<>(open);
            all.addAll(waiting);
            open.clear();
            waiting.clear();
            all.forEach(each -> {
                each.open = false;
                finished(each.request, new Outcome.Failed("the link was lost: " + why));
            });
        }
        comesBack(backAfterNanos);
    }

    private void comesBack(long afterNanos) {
        int mine = ++linkTask;
        at(afterNanos, () -> {
            if (mine == linkTask) {
                if (on && !deaf) {
                    comesUp("connected");
                } else {
                    comesBack(500 * MS);
                }
            }
        });
    }

    /** Nothing has been heard of the device for a while. Only a link of datagrams can be so. */
    void goesStale(long forNanos) {
        if (datagrams && link == LinkState.UP) {
            link = LinkState.STALE;
            upSince = Long.MAX_VALUE;
            trouble();
            world.put(new Input.LinkChanged(world.now(), device.name(), LinkState.STALE, "it does not answer"));
            comesBack(forNanos);
        }
    }

    /** It is no device of the site any more; it stays as it is, and nobody speaks to it. */
    void isLeftAlone() {
        reopens(0);
        linkTask++;
    }

    /** The link is made anew, as when the program begins: closed without a word, and up after so long. */
    void reopens(long upAfterNanos) {
        connection++;
        link = LinkState.DOWN;
        upSince = Long.MAX_VALUE;
        talking = null;
        open.forEach(each -> each.open = false);
        open.clear();
        waiting.clear();
        trouble();
        comesBack(upAfterNanos);
    }

    // ---- trouble at the device

    void refuses(long forNanos) {
        refusing = true;
        endFaultAfter(forNanos);
    }

    /** It hears nothing and says nothing. The heartbeat finds out, where there is one and it lasts that long. */
    void goesDeaf(long forNanos) {
        deaf = true;
        endFaultAfter(forNanos);
        noticed(forNanos);
    }

    /** Off, and after so long on again, as when new. */
    void restarts(long forNanos) {
        on = false;
        moving.clear();
        endFaultAfter(forNanos);
        if (datagrams) {
            noticed(forNanos);
        } else {
            drops("the device has closed the connection", forNanos + world.random().nextLong(250 * MS, 3_000 * MS));
        }
    }

    private void noticed(long forNanos) {
        kind.heartbeat().ifPresent(beat -> {
            long after = 2 * (beat.every().toNanos() + beat.within().toNanos());
            if (forNanos > after) {
                int fault = faultTask;
                at(after, () -> {
                    if (fault != faultTask) {
                        return; // it was over before
                    }
                    if (datagrams) {
                        goesStale(Math.max(MS, forNanos - after) + beat.every().toNanos());
                    } else {
                        drops("two heartbeats were not answered", forNanos);
                    }
                });
            }
        });
    }

    private void endFaultAfter(long nanos) {
        trouble();
        int mine = ++faultTask;
        at(nanos, () -> {
            if (mine == faultTask) {
                worksAgain();
            }
        });
    }

    void worksAgain() {
        faultTask++;
        if (!on) {
            asNew();
        }
        on = true;
        refusing = false;
        deaf = false;
        trouble();
    }

    private void asNew() {
        kind.properties().forEach((name, property) -> {
            truth.put(name, property.initial());
            disturbedAt.put(name, world.now());
        });
        moving.clear();
        untold.addAll(truth.keySet());
    }

    /** Somebody changes a property at the device itself. */
    void changedByHand(String property, Value value) {
        if (on) {
            moving.remove(property);
            truth.put(property, value);
            disturbedAt.put(property, world.now());
            report(List.of(property));
        }
    }

    // ---- the device obeys

    private void arrived(Exchange exchange) {
        boolean asks = exchange.request instanceof Request.AskProperty;
        if (!on || deaf || refusing && !asks) {
            if (exchange.request instanceof Request.AskProperty ask) {
                unheard.add(ask.property());
            } else {
                ignored.addAll(touched(exchange.request));
            }
            if (on && !deaf && !kind.answers().refused().isEmpty()) {
                answer("no", () -> {
                    if (exchange.open) {
                        conclude(exchange, new Outcome.Refused("the device does not want to"));
                    }
                });
            }
            return;
        }
        switch (exchange.request) {
            case Request.SetProperty set -> obey(exchange, targets(set), takes(set));
            case Request.DoCommand act -> obey(exchange, targets(act),
                    kind.commands().get(act.command()).takes().toNanos());
            case Request.AskProperty ask -> {
                unheard.remove(ask.property());
                tell(exchange, ask.property());
            }
        }
    }

    private void obey(Exchange exchange, Map<String, Value> targets, long takes) {
        ignored.removeAll(touched(exchange.request));
        boolean at = takes == 0 || targets.isEmpty();
        targets.keySet().forEach(name -> {
            Change before = moving.remove(name);
            if (before != null) {
                before.targets.remove(name);
            }
        });
        if (at) {
            truth.putAll(targets);
        } else {
            Change change = new Change(targets);
            targets.keySet().forEach(name -> moving.put(name, change));
            at(takes, () -> arrive(change));
        }
        if (acknowledges) {
            acknowledge(exchange);
        }
        if (at) {
            report(targets.keySet());
        }
    }

    private void acknowledge(Exchange exchange) {
        answer("yes", () -> {
            if (exchange.open) {
                conclude(exchange, new Outcome.Done());
            }
        });
    }

    private void arrive(Change change) {
        if (on && moving.values().removeIf(each -> each == change)) {
            truth.putAll(change.targets);
            report(change.targets.keySet());
        }
    }

    private long takes(Request.SetProperty set) {
        Property property = kind.properties().get(set.property());
        if (set.over().isPositive()) {
            return set.over().toNanos();
        }
        return property.type().same(set.value(), truth.get(set.property())) ? 0 : property.takes().toNanos();
    }

    private Map<String, Value> targets(Request.SetProperty set) {
        Property property = kind.properties().get(set.property());
        Map<String, Value> targets = new LinkedHashMap<>();
        targets.put(set.property(), RandomValues.overTheWire(property.type(), set.value()));
        if (!property.type().same(set.value(), truth.get(set.property()))) {
            property.unsettles().forEach(other -> targets.putIfAbsent(other,
                    RandomValues.of(kind.properties().get(other).type(), world.random())));
        }
        return targets;
    }

    private Map<String, Value> targets(Request.DoCommand act) {
        Map<String, Value> targets = new LinkedHashMap<>();
        kind.commands().get(act.command()).effect().forEach((name, effect) -> {
            Value value = switch (effect) {
                case Command.Effect.Becomes becomes -> becomes.value();
                case Command.Effect.Opposite _ ->
                    truth.get(name) instanceof Value.Flag flag ? Value.of(!flag.on()) : null;
                case Command.Effect.FromArgument from -> act.arguments().get(from.argument());
                case Command.Effect.FromProperty from -> truth.get(from.property());
                case Command.Effect.Unknown _ ->
                    RandomValues.of(kind.properties().get(name).type(), world.random());
            };
            if (value != null && kind.properties().get(name).type().accepts(value)) {
                targets.put(name, value);
            }
        });
        return targets;
    }

    private void tell(Exchange exchange, String property) {
        List<String> names = told.whenAsked(property);
        if (names.isEmpty()) {
            return;
        }
        Map<String, Value> values = snapshot(names);
        boolean own = kind.properties().get(property).answer().isPresent();
        answer("!" + property, () -> {
            if (!own) {
                told(values);
            } else if (exchange.open) {
                if (link == LinkState.STALE) {
                    comesUp("the device speaks again");
                }
                maybeTell(false, exchange.request.id());
                reported(values, exchange);
            }
        });
    }

    private void report(Collection<String> changed) {
        if (!on || deaf) {
            untold.addAll(changed);
            return;
        }
        List<String> done = null;
        for (String name : changed) {
            List<String> names = told.whenChanged(name);
            if (names.isEmpty()) {
                untold.add(name);
            } else if (!names.equals(done)) {
                done = names; // what is told together is told once
                Map<String, Value> values = snapshot(names);
                answer("!" + name, () -> told(values));
            }
        }
    }

    private Map<String, Value> snapshot(List<String> names) {
        Map<String, Value> values = LinkedHashMap.newLinkedHashMap(names.size());
        names.forEach(name -> {
            values.put(name, truth.get(name));
            untold.remove(name);
        });
        return values;
    }

    private void soon(Runnable task) {
        world.at(world.now(), _ -> task.run());
    }

    private void at(long afterNanos, Runnable task) {
        world.at(world.now() + afterNanos, _ -> task.run());
    }
}
