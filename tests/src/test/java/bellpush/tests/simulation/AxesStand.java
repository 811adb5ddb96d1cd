package bellpush.tests.simulation;

import bellpush.config.model.Command;
import bellpush.config.model.Fader;
import bellpush.config.model.Joystick;
import bellpush.config.model.Kind;
import bellpush.config.model.Operand;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Site;
import bellpush.config.model.Step;
import bellpush.config.model.Value;
import bellpush.drivers.spi.Request;
import bellpush.runtime.core.Effect;
import bellpush.runtime.core.Event;
import bellpush.runtime.core.Input;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;

/**
 * What a stick drives stands once the stick is at rest and the link has been up, without trouble, for a while: the last speed that was
 * sent is 0, and the device itself stands. Axes whose speed macros, knobs or faders set as well are left out, for those may leave one.
 */
final class AxesStand implements Invariant {
    private static final long SETTLED_NANOS = 1_000_000_000L;
    private static final Value STANDSTILL = Value.of(0);

    private final class Axis {
        final String name;
        final PropertyRef drives;
        final Gear gear;
        final double deadZone;
        final Fader.Calibration calibration;
        final long settledNanos;
        boolean down;
        boolean up;
        boolean out;
        /** Since when the stick is at rest, or {@link Long#MAX_VALUE}. */
        long restSince;
        /** A glide moves it until then, if nothing ends it sooner. */
        long glidesUntil = Long.MIN_VALUE;
        /** Null: nothing was sent, or something that leads nobody knows where. */
        Value last;
        /** The log has said loudly that it may still be moving. */
        boolean loud;

        Axis(String name, Joystick.Axis axis, Gear gear) {
            this.name = name;
            this.gear = gear;
            drives = axis.drives();
            Kind kind = gear.device.kind();
            settledNanos = SETTLED_NANOS + kind.answers().within().toNanos() * (kind.answers().again() + 2);
            if (axis.wire().orElse(null) instanceof Joystick.Wire.Analogue wire) {
                deadZone = wire.deadZone();
                calibration = wire.calibration();
            } else {
                deadZone = 0;
                calibration = Fader.Calibration.NONE;
            }
        }

        boolean deflected(double share) {
            double way = share - calibration.centre();
            double end = way > 0 == calibration.high() > calibration.centre() ? calibration.high() : calibration.low();
            return Math.abs(way) > deadZone * Math.abs(end - calibration.centre());
        }

        void look() {
            boolean rests = !out && !down && !up;
            if (!rests) {
                restSince = Long.MAX_VALUE;
                loud = false;
            } else if (restSince == Long.MAX_VALUE) {
                restSince = now;
            }
        }
    }

    private final Map<String, Axis> axes = new HashMap<>();
    private final List<Axis> all = new ArrayList<>();
    private final Map<PropertyRef, List<Axis>> byProperty = new HashMap<>();
    private final Map<String, Gear> gear;
    private long now;
    private long stalledAt;

    /** @param now the time of the evening */
    AxesStand(Site site, Map<String, Gear> gear, long now) {
        this.gear = gear;
        this.now = now;
        stalledAt = now;
        Set<PropertyRef> alsoByOthers = new HashSet<>();
        site.macros().values().forEach(macro -> set(site, macro.steps(), alsoByOthers));
        site.panel().knobs().values().forEach(knob -> {
            alsoByOthers.add(knob.turns());
            knob.push().flatMap(push -> push.turns()).ifPresent(turns -> alsoByOthers.add(turns.property()));
        });
        site.panel().faders().values().forEach(fader -> alsoByOthers.add(fader.moves()));
        site.panel().joysticks().values().forEach(stick -> stick.axes().values().forEach(axis -> {
            if (!alsoByOthers.contains(axis.drives())) {
                Axis made = new Axis(stick.name() + "." + axis.name(), axis, gear.get(axis.drives().device()));
                axes.put(made.name, made);
                all.add(made);
                byProperty.computeIfAbsent(made.drives, _ -> new ArrayList<>()).add(made);
            }
        }));
    }

    private static void set(Site site, List<Step> steps, Set<PropertyRef> into) {
        for (Step step : steps) {
            switch (step) {
                case Step.Set set -> set.values().forEach((ref, value) -> {
                    if (!value.equals(Operand.of(STANDSTILL))) {
                        into.add(ref);
                    }
                });
                case Step.Restore restore -> into.add(restore.property());
                case Step.Do act -> command(site, act.device(), act.command()).effect().forEach((name, effect) -> {
                    if (!(effect instanceof Command.Effect.Becomes becomes && becomes.value().equals(STANDSTILL))) {
                        into.add(new PropertyRef(act.device(), name));
                    }
                });
                case Step.If branch -> {
                    set(site, branch.then(), into);
                    set(site, branch.otherwise(), into);
                }
                case Step.Together together -> together.branches().forEach(branch -> set(site, branch, into));
                case Step.Guarded guarded -> set(site, List.of(guarded.step()), into);
                default -> {
                }
            }
        }
    }

    private static Command command(Site site, String device, String command) {
        return site.devices().get(device).kind().commands().get(command);
    }

    @Override
    public void begins(Machine machine) {
        all.forEach(axis -> {
            axis.last = null;
            axis.glidesUntil = Long.MIN_VALUE;
            axis.loud = false;
            axis.out = false; // as far as this core knows
            axis.down = false;
            axis.up = false;
            axis.restSince = now;
        });
    }

    @Override
    public void stalled(long at, long nanos) {
        stalledAt = at;
    }

    @Override
    public void before(Input input) {
        now = Math.max(now, input.at());
        switch (input) {
            case Input.Moved moved when axes.get(moved.input()) instanceof Axis axis -> {
                axis.out = Double.isFinite(moved.share()) && axis.deflected(moved.share());
                axis.look();
            }
            case Input.Lost lost when axes.get(lost.input()) instanceof Axis axis -> {
                axis.out = false;
                axis.look();
            }
            case Input.Contact edge -> contact(edge.contact(), edge.closed());
            case Input.Found found -> contact(found.contact(), found.closed());
            case Input.LinkChanged change -> all.forEach(axis -> {
                if (axis.drives.device().equals(change.device())) {
                    axis.loud = false;
                }
            });
            default -> {
            }
        }
    }

    private void contact(String contact, boolean closed) {
        if (contact.endsWith(".down") && axes.get(contact.substring(0, contact.length() - 5)) instanceof Axis axis) {
            axis.down = closed;
            axis.look();
        } else if (contact.endsWith(".up")
                && axes.get(contact.substring(0, contact.length() - 3)) instanceof Axis axis) {
            axis.up = closed;
            axis.look();
        }
    }

    @Override
    public void effect(Effect effect, long at) {
        switch (effect) {
            case Effect.Send send -> sent(send.device(), send.request());
            case Effect.Record line when line.event().what().equals("glide") -> glides(line.event(), at);
            case Effect.Record line -> loud(line.event());
            default -> {
            }
        }
    }

    private void sent(String device, Request request) {
        switch (request) {
            case Request.SetProperty set -> byProperty.getOrDefault(new PropertyRef(device, set.property()), List.of())
                    .forEach(axis -> axis.last = set.value());
            case Request.DoCommand act -> gear.get(device).device.kind().commands().get(act.command()).effect()
                    .forEach((name, effect) -> byProperty.getOrDefault(new PropertyRef(device, name), List.of())
                            .forEach(axis -> axis.last = effect instanceof Command.Effect.Becomes becomes
                                    ? becomes.value()
                                    : null));
            case Request.AskProperty _ -> {
            }
        }
    }

    /** A glide may drive the speed while the stick is at rest; after its time the speed has to be 0 as ever. */
    private void glides(Event event, long at) {
        String written = (String) event.details().get("property");
        int dot = written.indexOf('.');
        String device = written.substring(0, dot);
        long until = at + ((Number) event.details().get("overMs")).longValue() * 1_000_000;
        gear.get(device).device.kind().properties().get(written.substring(dot + 1)).speeds()
                .ifPresent(speeds -> byProperty.getOrDefault(new PropertyRef(device, speeds.by()), List.of())
                        .forEach(axis -> axis.glidesUntil = until));
    }

    private void loud(Event event) {
        if (event.what().equals("error") && axes.get(event.details().get("control")) instanceof Axis axis) {
            axis.loud = true;
        }
    }

    @Override
    public void after(long at) {
        now = Math.max(now, at);
        for (Axis axis : all) {
            long from = Math.max(Math.max(axis.restSince, stalledAt),
                    Math.max(axis.glidesUntil, Math.max(axis.gear.upSince(), axis.gear.troubleAt())));
            if (from < now - axis.settledNanos && !axis.loud) {
                check(axis);
            }
        }
    }

    @Override
    public void calm(long at) {
        after(at);
    }

    /** The show has ended a while ago: what could be reached was stopped, whatever the stick does. */
    void ended(long endedAt) {
        for (Axis axis : all) {
            boolean reachable = axis.gear.upSince() < endedAt && axis.gear.troubleAt() < endedAt;
            if (reachable && !STANDSTILL.equals(axis.last)) {
                throw new Broken("standstill", "the show has ended, and the last that was sent to " + axis.drives
                        + " is " + axis.last);
            }
        }
    }

    private void check(Axis axis) {
        String name = axis.drives.property();
        if (!STANDSTILL.equals(axis.last)) {
            throw new Broken("standstill", axis.name + " is at rest and the link is up, but the last that was sent to "
                    + axis.drives + " is " + axis.last);
        }
        Value truth = axis.gear.truth(name);
        if (!STANDSTILL.equals(truth) && !axis.gear.ignored(name) && !axis.gear.underWay(name)) {
            throw new Broken("standstill", axis.name + " is at rest and the link is up, but " + axis.drives
                    + " still moves at " + truth);
        }
    }
}
