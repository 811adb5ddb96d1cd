package bellpush.tests.simulation;

import bellpush.config.model.Command;
import bellpush.config.model.Condition;
import bellpush.config.model.Device;
import bellpush.config.model.LinkState;
import bellpush.config.model.Property;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Site;
import bellpush.config.model.Value;
import bellpush.drivers.spi.Outcome;
import bellpush.drivers.spi.Request;
import bellpush.runtime.core.Effect;
import bellpush.runtime.core.Event;
import bellpush.runtime.core.Input;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * What may be taken as a fact, worked out beside the core from what went in and came out: a value that its device has told since the
 * last message that touched the property, over a link that has been up ever since. Where a kind never tells a property, what was
 * sent is all that can be known. Written from the README's words and not from the core's code, so that the two can disagree.
 */
final class Facts implements Invariant {
    /** One property. {@code value} is null where nobody knows. */
    private static final class Cell {
        final Place place;
        final Property property;
        final PropertyType type;
        final List<Runnable> watchers = new ArrayList<>();
        Value value;
        boolean told;
        /** The last message that touched it, and what the device had told before that. */
        long touchedBy;
        Value before;

        Cell(Place place, Property property) {
            this.place = place;
            this.property = property;
            this.type = property.type();
        }

        void changed() {
            watchers.forEach(Runnable::run);
        }

        void forget() {
            value = null;
            told = false;
            touchedBy = 0;
            before = null;
            changed();
        }

        void touched(Value now, long request) {
            before = told ? value : null;
            told = false;
            value = now;
            touchedBy = request;
            changed();
        }
    }

    /** One device. */
    private static final class Place {
        final Device device;
        final Map<String, Cell> cells = new LinkedHashMap<>();
        final List<Runnable> watchers = new ArrayList<>();
        LinkState link = LinkState.DOWN;

        Place(Device device) {
            this.device = device;
        }
    }

    /** Decides a condition as far as facts allow. */
    interface Asked {
        Answer answer();
    }

    enum Answer {
        YES, NO, UNSURE;

        static Answer of(boolean holds) {
            return holds ? YES : NO;
        }
    }

    private final Site site;
    private final Map<String, Place> places = new LinkedHashMap<>();
    private final Map<Long, Request> sent = new HashMap<>();
    private final Map<String, Boolean> switches = new HashMap<>();
    private final Map<String, List<Runnable>> switchWatchers = new HashMap<>();

    Facts(Site site) {
        this.site = site;
        site.devices().values().forEach(device -> {
            Place place = new Place(device);
            device.kind().properties().values()
                    .forEach(property -> place.cells.put(property.name(), new Cell(place, property)));
            places.put(device.name(), place);
        });
    }

    @Override
    public void begins(Machine machine) {
        sent.clear();
        switches.clear();
        site.panel().switches().values().forEach(control -> {
            if (control.pin().isEmpty()) {
                switches.put(control.name(), false);
            }
        });
        places.values().forEach(place -> {
            place.link = LinkState.DOWN;
            place.watchers.forEach(Runnable::run);
            place.cells.values().forEach(Cell::forget);
        });
    }

    // ---- what goes in

    @Override
    public void before(Input input) {
        switch (input) {
            case Input.LinkChanged change -> link(places.get(change.device()), change.state());
            case Input.Reported report -> reported(places.get(report.device()), report.values(), report.request());
            case Input.Finished end -> finished(places.get(end.device()), end.request(), end.outcome());
            default -> {
            }
        }
    }

    private static void link(Place place, LinkState state) {
        LinkState before = place.link;
        place.link = state;
        place.watchers.forEach(Runnable::run);
        if (state == LinkState.DOWN || state == LinkState.UP && before != LinkState.UP) {
            place.cells.values().forEach(Cell::forget);
        }
    }

    private static void reported(Place place, Map<String, Value> values, long request) {
        values.forEach((name, value) -> {
            Cell cell = place.cells.get(name);
            boolean answersOlderQuestion = request != 0 && request < cell.touchedBy && !cell.told;
            if (!answersOlderQuestion) {
                cell.value = value;
                cell.told = true;
                cell.before = null;
                cell.changed();
            }
        });
    }

    private void finished(Place place, long id, Outcome outcome) {
        Request request = sent.remove(id);
        if (request == null || !(outcome instanceof Outcome.Failed || outcome instanceof Outcome.Refused)) {
            return;
        }
        for (String name : touched(place, request)) {
            Cell cell = place.cells.get(name);
            if (cell.told) {
                continue; // it has told by itself what it is
            }
            boolean stands = outcome instanceof Outcome.Refused && request instanceof Request.SetProperty
                    && cell.touchedBy == id && cell.before != null;
            cell.value = stands ? cell.before : null;
            cell.told = stands;
            cell.changed();
        }
    }

    // ---- what comes out

    @Override
    public void effect(Effect effect, long now) {
        switch (effect) {
            case Effect.Send send -> sent(places.get(send.device()), send.request());
            case Effect.Record line -> switched(line.event());
            default -> {
            }
        }
    }

    private void sent(Place place, Request request) {
        if (request instanceof Request.AskProperty) {
            return;
        }
        sent.put(request.id(), request);
        if (request instanceof Request.SetProperty set) {
            Cell cell = place.cells.get(set.property());
            boolean there = set.value().equals(cell.value);
            cell.touched(set.value(), set.id());
            if (!there) {
                cell.property.unsettles().forEach(other -> place.cells.get(other).touched(null, set.id()));
            }
        } else if (request instanceof Request.DoCommand act) {
            Map<Cell, Optional<Value>> after = new LinkedHashMap<>();
            place.device.kind().commands().get(act.command()).effect().forEach((name, effect) -> {
                Cell cell = place.cells.get(name);
                after.put(cell, Optional.ofNullable(switch (effect) {
                    case Command.Effect.Becomes becomes -> becomes.value();
                    case Command.Effect.Opposite _ ->
                        cell.value instanceof Value.Flag flag ? Value.of(!flag.on()) : null;
                    case Command.Effect.FromArgument from -> act.arguments().get(from.argument());
                    case Command.Effect.FromProperty from -> place.cells.get(from.property()).value;
                    case Command.Effect.Unknown _ -> null;
                }));
            });
            after.forEach((cell, value) -> cell.touched(value.orElse(null), act.id()));
        }
    }

    private static Collection<String> touched(Place place, Request request) {
        return switch (request) {
            case Request.SetProperty set -> List.of(set.property());
            case Request.DoCommand act -> place.device.kind().commands().get(act.command()).effect().keySet();
            case Request.AskProperty _ -> List.of();
        };
    }

    /** What a switch means to the core comes out of its contact's bounce, which is not what is looked at here. */
    private void switched(Event event) {
        Object control = event.details().get("control");
        if (control == null || !switchWatchers.containsKey(control)) {
            return;
        }
        String name = (String) control;
        switch (event.what()) {
            case "switch" -> stands(name, event.details().get("to").equals("on"));
            case "note" -> {
                String text = (String) event.details().get("text");
                if (text.contains("stands on")) {
                    stands(name, true);
                } else if (text.contains("stands off")) {
                    stands(name, false);
                } else if (text.startsWith("chatters")) {
                    switches.remove(name);
                    switchWatchers.get(name).forEach(Runnable::run);
                }
            }
            default -> {
            }
        }
    }

    private void stands(String control, boolean on) {
        switches.put(control, on);
        switchWatchers.get(control).forEach(Runnable::run);
    }

    // ---- questions

    LinkState link(String device) {
        return places.get(device).link;
    }

    /** Puts a condition into a form that is quick to ask; {@code changed} is run when the answer may have changed. */
    Asked asked(Condition condition, Runnable changed) {
        return switch (condition) {
            case Condition.Is is -> is(is.property(), is.test(), changed);
            case Condition.All all -> {
                List<Asked> parts = all.of().stream().map(part -> asked(part, changed)).toList();
                yield () -> all(parts);
            }
            case Condition.Any any -> {
                List<Asked> parts = any.of().stream().map(part -> asked(part, changed)).toList();
                yield () -> any(parts);
            }
            case Condition.Not not -> {
                Asked part = asked(not.of(), changed);
                yield () -> not(part.answer());
            }
            case Condition.LinkIs is -> {
                Place place = places.get(is.device());
                place.watchers.add(changed);
                yield () -> Answer.of(place.link == is.state());
            }
            case Condition.SwitchIs is -> {
                switchWatchers.computeIfAbsent(is.control(), _ -> new ArrayList<>()).add(changed);
                yield () -> {
                    Boolean on = switches.get(is.control());
                    return on == null ? Answer.UNSURE : Answer.of(on == is.on());
                };
            }
            case Condition.Running _,Condition.Failed _ -> throw new IllegalArgumentException(
                    "which macros run and have failed is nothing that gear has told");
        };
    }

    private Asked is(PropertyRef ref, Condition.Test test, Runnable changed) {
        Place place = places.get(ref.device());
        Cell cell = place.cells.get(ref.property());
        place.watchers.add(changed);
        cell.watchers.add(changed);
        return () -> {
            boolean fact = place.link == LinkState.UP && cell.value != null && (cell.told || !cell.property.reported());
            return fact ? Answer.of(passes(cell, test)) : Answer.UNSURE;
        };
    }

    private static boolean passes(Cell cell, Condition.Test test) {
        return switch (test) {
            case Condition.Test.Equal equal -> cell.type.same(cell.value, equal.value());
            case Condition.Test.Above above -> ((Value.Num) cell.value).number() > above.limit();
            case Condition.Test.Below below -> ((Value.Num) cell.value).number() < below.limit();
        };
    }

    private static Answer all(List<Asked> parts) {
        Answer all = Answer.YES;
        for (Asked part : parts) {
            switch (part.answer()) {
                case NO -> {
                    return Answer.NO;
                }
                case UNSURE -> all = Answer.UNSURE;
                case YES -> {
                }
            }
        }
        return all;
    }

    private static Answer any(List<Asked> parts) {
        Answer any = Answer.NO;
        for (Asked part : parts) {
            switch (part.answer()) {
                case YES -> {
                    return Answer.YES;
                }
                case UNSURE -> any = Answer.UNSURE;
                case NO -> {
                }
            }
        }
        return any;
    }

    private static Answer not(Answer answer) {
        return switch (answer) {
            case YES -> Answer.NO;
            case NO -> Answer.YES;
            case UNSURE -> Answer.UNSURE;
        };
    }
}
